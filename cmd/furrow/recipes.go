package main

import (
	"cmp"
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
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
            fill's flags, on top of --recipe if one is named; or --from CARD.toml with
            --patch C4, or --between C4,C5 for the middle of two
export ID   write a recipe to the file -o names, to hand on
import FILE check a recipe and keep it as your own

Your own recipes are the files furrow/recipes/*.toml in your settings folder. The
built-in ones are examples with invented numbers, proved on no material. There is
never a recipe for PVC or vinyl: they give off hydrogen chloride.`,
	example: `furrow recipes save oak --machine mine --material "oak veneer" --speed 200 --power 40 --spacing 0.1mm`,
	words:   recipeVerbs,
	keeps:   "recipes",
	setup: func(fs *pflag.FlagSet) runner {
		var c recipesFlags
		outputFlags(fs, &c.out, "the recipe")
		quietFlag(fs)
		fs.StringVar(&c.like, "recipe", "", "what save starts from: an `ID` or FILE.toml")
		fs.StringVar(&c.machine, "machine", "", "list: recipes of this `ID`; save: the machine they were tried on")
		fs.StringVar(&c.material, "material", "", "list: recipes for this `WORD`; save: the material")
		value.Word(fs, &c.purpose, machine.Purposes(), "purpose",
			"`WHAT` the mark is for: engrave, mark or outline (default engrave)")
		fs.StringVar(&c.tested, "tested-on", "", "save: `DATE` of the trial on scrap, as 2026-11-25")
		fs.StringVar(&c.notes, "notes", "", "save: `TEXT`")
		fs.StringVar(&c.from, "from", "", "save: the `CARD`.toml that furrow swatch wrote beside its card")
		fs.StringVar(&c.patch, "patch", "", "save: the `PATCH` of the card that was chosen, as C4")
		fs.StringVar(&c.between, "between", "", "save: the middle of two `PATCHES`, as C4,C5")
		fs.BoolVar(&c.json, "json", false, "list, check, save, import: print what is told as JSON")
		fillFlags(fs, &c.fill)
		return c.run
	},
}

var recipeVerbs = []string{"list", "show", "check", "save", "export", "import"}

type recipesFlags struct {
	out                                    product.Output
	like, machine, material, tested, notes string
	from, patch, between                   string
	purpose                                *string
	json                                   bool
	fill                                   job.Fill
}

func (c *recipesFlags) run(a *app, args []string) error {
	verb, rest := "list", args
	if len(args) > 0 {
		verb, rest = args[0], args[1:]
	}
	if verb == "list" {
		if len(rest) > 0 {
			return fault.Usagef("recipes list takes no names").Hintf("furrow recipes show %s", rest[0])
		}
		return c.list(a)
	}
	do, ok := map[string]func(*app, string) error{
		"show": c.show, "check": c.check, "save": c.save, "export": c.export, "import": c.adopt,
	}[verb]
	if !ok {
		return fault.Usagef("recipes: unknown word %q", verb).Hintf("%s", fault.Suggest(verb, recipeVerbs))
	}
	name, err := oneFile(rest, "recipe")
	if err != nil {
		return err
	}
	return do(a, name)
}

func (c *recipesFlags) list(a *app) error {
	all, err := settings.AllRecipes()
	if err != nil {
		return err
	}
	machine := c.machine
	if m, err := settings.FindMachine(machine); err == nil {
		machine = m.ID
	} else if machine != "" && !slices.ContainsFunc(all, func(r settings.Recipe) bool { return r.Machine == machine }) {
		return err
	}
	t := words.Table{
		Heads: []string{"ID", "MATERIAL", "MACHINE", "FOR", "SPEED mm/s", "POWER %", "SPACING mm", "TESTED"},
	}
	all = slices.DeleteFunc(all, func(r settings.Recipe) bool {
		return machine != "" && r.Machine != machine || !settings.SameMaterial(r.Material, c.material) ||
			r.Purpose != value.Or(c.purpose, r.Purpose)
	})
	if c.json {
		return product.WriteJSON(a.stdout, listedRecipes(all))
	}
	for _, r := range all {
		t.Add(r.ID, r.Material, r.Machine, r.Purpose, words.Number(r.SpeedMMPerS, 2), words.Number(r.PowerPercent, 2),
			words.Number(r.SpacingMM, 4), r.Tested())
	}
	if err := t.Write(a.stdout); err != nil {
		return err
	}
	return a.tellFolder("recipes")
}

func (c *recipesFlags) show(a *app, name string) error {
	r, err := settings.FindRecipe(name)
	if err != nil {
		return err
	}
	text, err := settings.RecipeTOML(r.Recipe)
	if err != nil {
		return err
	}
	_, err = a.stdout.Write(text)
	return err
}

func (c *recipesFlags) export(a *app, name string) error {
	r, err := settings.FindRecipe(name)
	if err != nil {
		return err
	}
	if err := c.out.Check(r.File); err != nil {
		return err
	}
	text, err := settings.RecipeTOML(r.Recipe)
	if err != nil {
		return err
	}
	return c.out.WriteBytes(a.stdout, text)
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
	of := c.settings
	if c.ofCard() {
		of = func(id string) (machine.Recipe, error) { return c.chosen(a, id) }
	}
	r, err := of(id)
	if err != nil {
		return err
	}
	m, err := settings.FindMachine(r.Machine)
	if err != nil {
		return err
	}
	r.Machine = m.ID // which a file may have named
	if err := job.RecipeFill(r).Complete(&m, ""); err != nil {
		return err
	}
	if err := settings.ValidateRecipe("the recipe", nil, r); err != nil {
		return err
	}
	if err := job.Suits(m, r); err != nil {
		return err
	}
	return c.keep(a, r)
}

// readUsable reads a recipe that its machine, which must be known, can do.
func readUsable(file string) (settings.Recipe, error) {
	r, err := settings.ReadRecipe(file)
	if err != nil {
		return settings.Recipe{}, err
	}
	m, err := settings.FindMachine(r.Machine)
	if err == nil {
		err = job.Suits(m, r.Recipe)
	}
	if err != nil {
		return settings.Recipe{}, fmt.Errorf("%s: %w", file, err)
	}
	return r, nil
}

func (c *recipesFlags) check(a *app, file string) error {
	r, err := readUsable(file)
	if err != nil {
		return err
	}
	if c.json {
		return product.WriteJSON(a.stdout, listedRecipes([]settings.Recipe{r})[0])
	}
	_, err = fmt.Fprintf(a.notes, "%s: for %s on %s, %s; OK\n", file, r.Material, r.Machine, r.Tested())
	return err
}

// settings makes a recipe of the command line.
func (c *recipesFlags) settings(id string) (machine.Recipe, error) {
	r := machine.Recipe{Name: id, Purpose: "engrave"}
	fill := c.fill
	if c.like != "" {
		old, err := settings.FindRecipe(c.like)
		if err != nil {
			return machine.Recipe{}, err
		}
		r = old.Recipe
		r.Name, r.TestedOn, r.Notes = id, "", ""
		fill, _ = job.Layered(job.Layer{Name: "command line", Fill: c.fill},
			job.Layer{Name: "recipe", Fill: job.RecipeFill(r)})
	}
	r.Furrow, r.ID = 1, id
	r.Machine, r.Material = cmp.Or(c.machine, r.Machine), cmp.Or(c.material, r.Material)
	r.Purpose, r.TestedOn, r.Notes = value.Or(c.purpose, r.Purpose), c.tested, c.notes
	if r.Machine == "" || r.Material == "" {
		return machine.Recipe{}, fault.Usagef("a recipe needs a machine and a material").
			Hintf("add --machine and --material")
	}
	job.SetRecipe(&r, fill)
	return r, nil
}

// keep writes a recipe to the user's own folder.
func (c *recipesFlags) keep(a *app, r machine.Recipe) error {
	dir, err := settings.Folder("recipes")
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fault.Workf("%w", err)
	}
	out := product.Output{Path: filepath.Join(dir, r.ID+".toml"), Force: c.out.Force}
	if err := out.Check(); err != nil {
		return err
	}
	if err := settings.IDIsFree(r.ID, out.Path); err != nil {
		return err
	}
	text, err := settings.RecipeTOML(r)
	if err != nil {
		return err
	}
	if err := out.WriteBytes(a.stdout, text); err != nil {
		return err
	}
	if c.json {
		return product.WriteJSON(a.stdout, listedRecipes([]settings.Recipe{{Recipe: r, File: out.Path}})[0])
	}
	_, err = fmt.Fprintf(a.notes, "kept as %s\n", out.Path)
	return err
}
