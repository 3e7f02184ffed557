package main

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"furrow/emit"

	"github.com/spf13/pflag"
)

var compareCommand = command{
	name:     "compare",
	synopsis: "ART.svg|JOB.toml [--material WORD] [--machine ID ...] [flags]",
	summary:  "the same work on several machines: fits, hours, energy, and what would be better",
	about: `Every known machine is tried, or those that --machine names, each with its recipe
for the material. Speed, power and frequency in a job file are those of the job's
own machine; other machines take theirs from a recipe. Settings on the command
line stand in for a recipe, and the table says so. A machine without settings for
the material is not ranked: a beam that does not mark it never wins.

The figures are those of the file that furrow hatch --effort quick writes.`,
	setup: func(fs *pflag.FlagSet) runner {
		var c compareFlags
		fs.StringArrayVar(&c.machines, "machine", nil, "a machine to try, `ID` or FILE.toml; may be repeated (default: all)")
		fs.StringArrayVar(&c.use, "use", nil, "recipe for a machine, `MACHINE=RECIPE`; may be repeated")
		fs.StringVar(&c.material, "material", "", "look recipes up by this `WORD` (default: the blank's, or that of the recipe named)")
		fs.StringVar(&c.purpose, "purpose", "", "only recipes for this: `WHAT` is engrave, mark or outline")
		c.order.flags(fs)
		fs.BoolVar(&c.sameDose, "same-dose", false, "hold the dose of each machine where a better speed is looked for, by its power")
		fs.BoolVar(&c.json, "json", false, "print the table as JSON")
		fs.BoolVar(&c.csv, "csv", false, "print the table as CSV")
		fs.StringVar(&c.plot.path, "plot", "", "draw time against speed to `FILE.png` or .svg")
		fs.BoolVar(&c.plot.force, "force", false, "overwrite the plot if it is there")
		c.workFlags(fs)
		return c.run
	},
}

type compareFlags struct {
	request
	machines, use     []string
	material, purpose string
	order             orderSpec
	sameDose          bool
	json, csv         bool
	plot              output
}

// maxBetter is how many of the quickest machines are looked at for what would
// make them better: each change is a whole new run.
const maxBetter = 2

func (c *compareFlags) run(a *app, args []string) error {
	if c.json && c.csv {
		return usagef("--json and --csv at once").hintf("choose one")
	}
	name, err := oneFile(args, "artwork or job file")
	if err != nil {
		return err
	}
	if name == "-" {
		return usagef("compare reads the artwork once a machine, so that it needs a file")
	}
	if err := c.checkPlot(name); err != nil {
		return err
	}
	t, err := c.compare(a, name)
	if err != nil {
		return err
	}
	if c.plot.path != "" {
		if err := t.drawPlot(a, c.plot); err != nil {
			return err
		}
	}
	t.printStages(a.stderr)
	return writeBuffered(a.stdout, func(w io.Writer) error {
		switch {
		case c.json:
			return writeJSON(w, t)
		case c.csv:
			return t.writeCSV(w)
		}
		return t.print(w)
	})
}

func (c *compareFlags) checkPlot(input string) error {
	if c.plot.path == "" {
		return nil
	}
	if c.plot.toStdout() || plotFormat(c.plot.path) == "" {
		return usagef("the plot %s is neither .png nor .svg", c.plot.path)
	}
	return c.plot.check(input)
}

// compare tries the work on each machine.
func (c *compareFlags) compare(a *app, name string) (*comparison, error) {
	j, err := a.readJob(name)
	if err != nil {
		return nil, err
	}
	machines, err := c.candidates()
	if err != nil {
		return nil, err
	}
	pick, err := c.newPicker(j)
	if err != nil {
		return nil, err
	}
	order := c.order.over(j.Order)
	t := &comparison{
		Job: name, Material: pick.material, sameDose: c.sameDose,
		Quantity: int(or(order.Quantity, 1)), LoadingS: float64(or(order.Loading, 0)),
	}
	bar := a.progress("compare")
	defer bar.end()
	steps := stepper{bar: bar, total: len(machines)*stepsOfBuild + maxBetter*stepsOfBetter}
	silent := *a
	silent.stderr = io.Discard // one bar at a time
	for _, m := range machines {
		e, err := c.try(&silent, j, m, pick, steps.next)
		if err != nil {
			return nil, err
		}
		t.add(e)
	}
	t.rank()
	return t, t.improve(&silent, steps.next)
}

// How many steps of progress the work on a machine is, and the look for what
// would make it better, about.
const stepsOfBuild, stepsOfBetter = 7, 5

// stepper moves a bar on.
type stepper struct {
	bar         *progress
	done, total int
}

func (s *stepper) next() {
	s.done = min(s.done+1, s.total)
	s.bar.at(s.done, s.total)
}

// candidates are the machines to try.
func (c *compareFlags) candidates() ([]machine, error) {
	if len(c.machines) == 0 {
		return allMachines()
	}
	var all []machine
	for _, name := range c.machines {
		m, err := findMachine(name)
		if err != nil {
			return nil, err
		}
		if slices.ContainsFunc(all, func(o machine) bool { return o.ID == m.ID }) {
			return nil, usagef("machine %s is named twice", m.ID)
		}
		all = append(all, m)
	}
	return all, nil
}

// picker finds the recipe of each machine.
type picker struct {
	all      []recipe
	use      map[string]recipe // by machine
	material string
	purpose  string
}

func (c *compareFlags) newPicker(j job) (*picker, error) {
	all, err := allRecipes()
	if err != nil {
		return nil, err
	}
	p := &picker{all: all, use: map[string]recipe{}, material: firstWord(c.material, j.Blank.Material), purpose: c.purpose}
	if name := firstWord(c.recipe, j.Recipe); name != "" {
		r, err := findRecipe(name)
		if err != nil {
			return nil, err
		}
		p.use[r.Machine] = r
		p.material = firstWord(p.material, r.Material)
	}
	for _, u := range c.use {
		id, name, ok := strings.Cut(u, "=")
		if !ok {
			return nil, usagef("--use %s is not MACHINE=RECIPE", u)
		}
		r, err := findRecipe(name)
		if err != nil {
			return nil, err
		}
		if r.Machine != id {
			return nil, usagef("--use %s: recipe %s was made on %s", u, r.ID, r.Machine)
		}
		p.use[id] = r
		p.material = firstWord(p.material, r.Material)
	}
	return p, p.refuse()
}

// refuse is the last word on a material that no laser should heat.
func (p *picker) refuse() error {
	if word := emit.ChlorinatedWord(p.material); word != "" {
		return refusedMaterial(word)
	}
	return nil
}

// otherMaterial says what to do without a recipe for the material on a machine.
func (p *picker) otherMaterial(machine string) string {
	var known []string
	for _, r := range p.all {
		if sameMaterial(r.Material, p.material) {
			return noRecipeHint
		}
		if r.Machine == machine {
			known = append(known, r.Material)
		}
	}
	if near := nearest(strings.ToLower(p.material), known); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return noRecipeHint
}

const noRecipeHint = "try it on scrap, then furrow recipes save"

// recipeFor returns the recipe of a machine: the one named, or the one for the
// material that was tested last.
func (p *picker) recipeFor(id string) (recipe, bool) {
	if r, ok := p.use[id]; ok {
		return r, true
	}
	if p.material == "" {
		return recipe{}, false
	}
	var fit []recipe
	for _, r := range p.all {
		if r.Machine == id && sameMaterial(r.Material, p.material) && (p.purpose == "" || r.Purpose == p.purpose) {
			fit = append(fit, r)
		}
	}
	if len(fit) == 0 {
		return recipe{}, false
	}
	return slices.MinFunc(fit, func(a, b recipe) int {
		return cmp.Or(cmp.Compare(b.TestedOn, a.TestedOn), cmp.Compare(a.ID, b.ID))
	}), true
}
