package main

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"text/tabwriter"

	"furrow/emit/machine"

	"github.com/spf13/pflag"
)

var recipesCommand = command{
	name:     "recipes",
	synopsis: "[list | show ID | check FILE.toml | save ID | export ID -o FILE.toml | import FILE.toml] [flags]",
	summary:  "list, show, save, export and import settings that suit a material",
	about: `list        every recipe --recipe knows: your own, then the built-in examples
show ID     one recipe, as its file reads
check FILE  read a recipe and say what is wrong with it
save ID     keep settings as a recipe of your own: --machine, --material and the
            fill's flags, on top of --recipe if one is named
export ID   write a recipe to the file -o names, to hand on
import FILE check a recipe and keep it as your own

Your own recipes are the files furrow/recipes/*.toml in your settings folder. The
built-in ones are examples with invented numbers, proved on no material. There is
never a recipe for PVC or vinyl: they give off hydrogen chloride.`,
	words: recipeVerbs,
	setup: func(fs *pflag.FlagSet) runner {
		var c recipesFlags
		c.out.flags(fs, "the recipe")
		quietFlag(fs)
		fs.StringVar(&c.like, "recipe", "", "what save starts from: an `ID` or FILE.toml")
		fs.StringVar(&c.machine, "machine", "", "list: recipes of this `ID`; save: the machine they were tried on")
		fs.StringVar(&c.material, "material", "", "list: recipes for this `WORD`; save: the material")
		fs.Var(oneOf{&c.purpose, machine.Purposes()}, "purpose", "`WHAT` the mark is for: engrave, mark or outline (default engrave)")
		fs.StringVar(&c.tested, "tested-on", "", "save: `DATE` of the trial on scrap, as 2026-11-25")
		fs.StringVar(&c.notes, "notes", "", "save: `TEXT`")
		c.fill.flags(fs)
		return c.run
	},
}

var recipeVerbs = []string{"list", "show", "check", "save", "export", "import"}

type recipesFlags struct {
	out                                    output
	like, machine, material, tested, notes string
	purpose                                *string
	fill                                   fillSpec
}

func (c *recipesFlags) run(a *app, args []string) error {
	verb, rest := "list", args
	if len(args) > 0 {
		verb, rest = args[0], args[1:]
	}
	if verb == "list" {
		if len(rest) > 0 {
			return usagef("recipes list takes no names").hintf("furrow recipes show %s", rest[0])
		}
		return c.list(a)
	}
	do, ok := map[string]func(*app, string) error{
		"show": c.show, "check": c.check, "save": c.save, "export": c.export, "import": c.adopt,
	}[verb]
	if !ok {
		return usagef("recipes: unknown word %q", verb).hintf("%s", suggest(verb, recipeVerbs))
	}
	name, err := oneFile(rest, "recipe")
	if err != nil {
		return err
	}
	return do(a, name)
}

func (c *recipesFlags) list(a *app) error {
	all, err := allRecipes()
	if err != nil {
		return err
	}
	machine := c.machine
	if m, err := findMachine(machine); err == nil {
		machine = m.ID
	} else if machine != "" && !slices.ContainsFunc(all, func(r recipe) bool { return r.Machine == machine }) {
		return err
	}
	t := tabwriter.NewWriter(a.stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "ID\tMATERIAL\tMACHINE\tFOR\tSPEED\tPOWER\tSPACING\tTESTED")
	for _, r := range all {
		if machine != "" && r.Machine != machine || !sameMaterial(r.Material, c.material) || r.Purpose != or(c.purpose, r.Purpose) {
			continue
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%g mm/s\t%g %%\t%g mm\t%s\n",
			r.ID, r.Material, r.Machine, r.Purpose, r.SpeedMMPerS, r.PowerPercent, r.SpacingMM, r.tested())
	}
	return t.Flush()
}

// sameMaterial compares the names of materials; no name asked for suits all.
func sameMaterial(have, asked string) bool {
	return asked == "" || strings.EqualFold(strings.Join(strings.Fields(have), " "), strings.Join(strings.Fields(asked), " "))
}

func (c *recipesFlags) show(a *app, name string) error {
	r, err := findRecipe(name)
	if err != nil {
		return err
	}
	text, err := recipeTOML(r.Recipe)
	if err != nil {
		return err
	}
	_, err = a.stdout.Write(text)
	return err
}

// recipeTOML writes a recipe as the commented file it can be read from.
func recipeTOML(r machine.Recipe) ([]byte, error) {
	var b bytes.Buffer
	b.WriteString("# Recipe for furrow. Prove it on scrap of the same batch before an order.\n")
	err := writeCommented(&b, r)
	return b.Bytes(), err
}

func (c *recipesFlags) export(a *app, name string) error {
	r, err := findRecipe(name)
	if err != nil {
		return err
	}
	if err := c.out.check(r.file); err != nil {
		return err
	}
	text, err := recipeTOML(r.Recipe)
	if err != nil {
		return err
	}
	return c.out.writeBytes(a, text)
}

// adopt copies a recipe's file into the user's own folder.
func (c *recipesFlags) adopt(a *app, file string) error {
	r, err := readUsable(file)
	if err != nil {
		return err
	}
	return c.keep(a, r.Recipe)
}

func (c *recipesFlags) save(a *app, id string) error {
	r, err := c.settings(id)
	if err != nil {
		return err
	}
	m, err := findMachine(r.Machine)
	if err != nil {
		return err
	}
	r.Machine = m.ID // which a file may have named
	if err := validateRecipe("the recipe", nil, r); err != nil {
		return err
	}
	if err := m.suits(r); err != nil {
		return err
	}
	return c.keep(a, r)
}

// readUsable reads a recipe that its machine, which must be known, can do.
func readUsable(file string) (recipe, error) {
	r, err := readRecipe(file)
	if err != nil {
		return recipe{}, err
	}
	m, err := findMachine(r.Machine)
	if err == nil {
		err = m.suits(r.Recipe)
	}
	if err != nil {
		return recipe{}, fmt.Errorf("%s: %w", file, err)
	}
	return r, nil
}

// suits refuses a recipe that the machine cannot do.
func (m machineFile) suits(r machine.Recipe) error {
	if err := recipeFill(r).complete(&m, ""); err != nil {
		return err
	}
	return m.reaches(r.SpeedMMPerS)
}

// reaches refuses a speed that no move of the machine can have.
func (m machineFile) reaches(mmPerS float64) error {
	most := fastest(m.Profile)
	if mmPerS <= most {
		return nil
	}
	return usagef("%g mm/s is faster than %s goes, which is %.4g mm/s", mmPerS, m.ID, most).hintf("%s", perMinuteHint(mmPerS, most))
}

// fastest returns the greatest speed of a machine in any direction, mm/s.
func fastest(p machine.Profile) float64 {
	if p.Gantry != nil {
		return math.Hypot(p.Gantry.MaxSpeedMMPerS[0], p.Gantry.MaxSpeedMMPerS[1])
	}
	return p.Galvo.MaxSpeedMMPerS
}

// perMinuteHint says what a speed is that may be meant in mm/min, or "".
func perMinuteHint(speed, most float64) string {
	if speed/60 > most {
		return ""
	}
	return fmt.Sprintf("speeds are in mm/s: %g mm/min is %.4g mm/s", speed, speed/60)
}

func (c *recipesFlags) check(a *app, file string) error {
	r, err := readUsable(file)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(a.notes, "%s: for %s on %s, %s; nothing wrong with it\n", file, r.Material, r.Machine, r.tested())
	return err
}

// settings makes a recipe of the command line.
func (c *recipesFlags) settings(id string) (machine.Recipe, error) {
	r := machine.Recipe{Name: id, Purpose: "engrave"}
	fill := c.fill
	if c.like != "" {
		old, err := findRecipe(c.like)
		if err != nil {
			return machine.Recipe{}, err
		}
		r = old.Recipe
		r.Name, r.TestedOn, r.Notes = id, "", ""
		fill, _ = resolve(layer{"command line", c.fill}, layer{"recipe", recipeFill(r)})
	}
	r.Furrow, r.ID = 1, id
	r.Machine, r.Material = firstWord(c.machine, r.Machine), firstWord(c.material, r.Material)
	r.Purpose, r.TestedOn, r.Notes = or(c.purpose, r.Purpose), c.tested, c.notes
	if r.Machine == "" || r.Material == "" {
		return machine.Recipe{}, usagef("a recipe needs a machine and a material").hintf("add --machine and --material")
	}
	setRecipe(&r, fill)
	return r, nil
}

// setRecipe is recipeFill the other way.
func setRecipe(r *machine.Recipe, f fillSpec) {
	r.SpacingMM = or(f.Spacing, spacingMM{}).mm
	r.SpeedMMPerS, r.PowerPercent = float64(or(f.Speed, 0)), float64(or(f.Power, 0))
	r.FrequencyKHz = or(f.Frequency, frequencyHz{}).hz / 1000
	r.PulseNS = float64(or(f.Pulse, 0))
	r.AnglesDegrees, r.CrossDegrees = or(f.Angle, nil), float64(or(f.Cross, 0))
	r.Passes, r.PassTurnDegrees = int(or(f.Passes, 0)), float64(or(f.PassTurn, 0))
	r.OneWay, r.Outline, r.Air = or(f.OneWay, false), or(f.Outline, ""), or(f.Air, false)
	r.MarkWidthMM, r.FocusOffsetMM = float64(or(f.MarkWidth, 0)), float64(or(f.FocusOffset, 0))
}

// keep writes a recipe to the user's own folder.
func (c *recipesFlags) keep(a *app, r machine.Recipe) error {
	dir, err := userFolder("recipes")
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return workf("%w", err)
	}
	out := output{path: filepath.Join(dir, r.ID+".toml"), force: c.out.force}
	if err := out.check(); err != nil {
		return err
	}
	if err := idIsFree(r.ID, out.path); err != nil {
		return err
	}
	text, err := recipeTOML(r)
	if err != nil {
		return err
	}
	if err := out.writeBytes(a, text); err != nil {
		return err
	}
	_, err = fmt.Fprintf(a.notes, "kept as %s\n", out.path)
	return err
}

// idIsFree refuses a second recipe of the user's own with the id of one in
// another file.
func idIsFree(id, file string) error {
	all, err := allRecipes()
	if err != nil {
		return err
	}
	for _, other := range all {
		if other.ID == id && !other.builtIn() && other.file != file {
			return sameID(id, other.file, file)
		}
	}
	return nil
}
