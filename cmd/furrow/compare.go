package main

import (
	"cmp"
	"io"
	"os"
	"path/filepath"
	"slices"

	"furrow/cmd/furrow/internal/better"
	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/personal"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit/machine"

	"github.com/spf13/pflag"
)

var compareCommand = command{
	name:     "compare",
	synopsis: "ART.svg|JOB.toml [--material WORD] [--machine ID ...] [flags]",
	summary:  "try the same work on several machines: fit, hours, energy, and what would be quicker",
	about: `Every machine of yours is tried, or those that --machine names, each with its recipe for
the material; the built-in examples only where you have none. Speed, power and frequency
in a job file are for the job's own machine; the others take theirs from a recipe.
Settings on the command line stand in for a recipe, and the table says so. A machine
without settings for the material is not ranked: a beam that does not mark it never wins.

FOR ALL is the time for the quantity, loading included. RISE is how warm the blank gets,
where the job names its thickness and a known material. --wide adds more: BETWEEN is the
range of one part until the machine is measured, TURNING run-up, run-out and the steps
between rows, POWER the beam's mean over the part, ENERGY what it puts out, QUICKEST the
speed at which rows take the least time, or on a galvo the most at which pulses overlap
by half.

The figures are those of the file that furrow hatch --effort quick writes.`,
	example: "furrow compare tag.toml --quantity 24 --loading 20",
	setup: func(fs *pflag.FlagSet) runner {
		var c compareFlags
		fs.StringArrayVar(&c.machines, "machine", nil,
			"a machine to try, `ID` or FILE.toml; may be repeated (default: all)")
		fs.StringArrayVar(&c.use, "use", nil, "recipe for a machine, `MACHINE=RECIPE`; may be repeated")
		fs.StringVar(&c.material, "material", "",
			"look recipes up by this `WORD` (default: the blank's, or that of the recipe named)")
		value.Word(fs, &c.purpose, machine.Purposes(), "purpose",
			"only recipes for this: `WHAT` is engrave, mark or outline")
		orderFlags(fs, &c.order)
		fs.BoolVar(&c.sameDose, "same-dose", false,
			"hold the dose of each machine where a better speed is looked for, by its power")
		fs.BoolVar(&c.wide, "wide", false, "print every column, wider than a screen")
		fs.BoolVar(&c.json, "json", false, "print the table as JSON")
		fs.BoolVar(&c.csv, "csv", false, "print the table as CSV")
		fs.StringVar(&c.plot.Path, "plot", "", "draw time against speed to `FILE.png` or .svg")
		fs.BoolVar(&c.plot.Force, "force", false, "overwrite the plot if it is there")
		c.workFlags(fs)
		return c.run
	},
}

type compareFlags struct {
	request
	machines, use []string
	material      string
	purpose       *string
	order         job.Order
	sameDose      bool
	asAsked       bool // look for nothing better
	json, csv     bool
	wide          bool
	plot          product.Output
}

func (c *compareFlags) run(a *app, args []string) error {
	if c.json && c.csv {
		return fault.Usagef("--json and --csv at once").Hintf("choose one")
	}
	name, err := oneFile(args, "artwork or job file")
	if err != nil {
		return err
	}
	if name == "-" {
		return fault.Usagef("compare needs a file, not standard input").Hintf("save the artwork first")
	}
	t, err := c.compare(a, name)
	if err != nil {
		return err
	}
	if c.plot.Path != "" {
		if err := t.drawPlot(a, c.plot); err != nil {
			return err
		}
	}
	t.printStages(a.stderr)
	err = product.WriteBuffered(a.stdout, func(w io.Writer) error {
		switch {
		case c.json:
			return product.WriteJSON(w, t.Comparison)
		case c.csv:
			return t.writeCSV(w)
		}
		return t.print(w, c.wide)
	})
	if err == nil && len(t.Machines)+len(t.Unfit) == 0 {
		return fault.Workf("no machine has settings for this work").Hintf("%s", t.Unranked[0].Hint)
	}
	return err
}

func (c *compareFlags) checkPlot(inputs ...string) error {
	if c.plot.Path == "" {
		return nil
	}
	if c.plot.ToStdout() || plotFormat(c.plot.Path) == "" {
		return fault.Usagef("the plot %s is neither .png nor .svg", c.plot.Path)
	}
	return c.plot.Check(inputs...)
}

// compare tries the work on each machine.
func (c *compareFlags) compare(a *app, name string) (*comparison, error) {
	j, err := a.readJob(name)
	if err != nil {
		return nil, err
	}
	if err := filesThere(j); err != nil {
		return nil, err
	}
	if err := c.checkPlot(name, j.Artwork.File); err != nil {
		return nil, err
	}
	machines, leftOut, err := c.candidates(j)
	if err != nil {
		return nil, err
	}
	order := c.order.Over(j.Order)
	bar := a.progress("compare")
	defer bar.end()
	steps := stepper{bar: bar, total: len(machines)*stepsOfWork + better.MaxBetter*stepsOfBetter}
	silent := *a
	silent.stderr = io.Discard // one bar at a time
	t := &comparison{stages: map[string]*stages{}, leftOut: leftOut}
	t.Comparison, err = better.Compare(better.Question{
		Name: name, Job: j, Asked: c.Request, Machines: machines,
		Wanted:   better.Wanted{Material: c.material, Purpose: value.Or(c.purpose, ""), Recipe: c.Recipe, Use: c.use},
		Quantity: quantityOf(j, order), LoadingS: float64(value.Or(order.Loading, 0)), SameDose: c.sameDose,
		AsAsked: c.asAsked,
		Bound:   c.bound, Read: silent.readDrawing, Step: steps.next,
		Observe: func(machine string) work.Observer {
			t.stages[machine] = &stages{on: c.timings, after: steps.next}
			return silent.observer(t.stages[machine].run)
		},
	})
	return t, err
}

// quantityOf is how many parts are compared: those asked for, else what the job's data make.
func quantityOf(j job.Job, o job.Order) int {
	if o.Quantity != nil || j.Table.File == "" {
		return int(value.Or(o.Quantity, 1))
	}
	content, err := os.ReadFile(j.Table.File)
	if err != nil {
		return 1 // which is told when the parts are made
	}
	return personal.Count(j, content)
}

// comparison is what is told of the work on several machines.
type comparison struct {
	*better.Comparison
	stages  map[string]*stages // by machine, for --timings
	leftOut []string           // the built-in examples that were not tried
}

// How many steps of progress the work on a machine is, and the look for what
// would make it better, about.
const stepsOfWork, stepsOfBetter = 7, 5

// stepper moves a bar on.
type stepper struct {
	bar         *progress
	done, total int
}

func (s *stepper) next() {
	s.done = min(s.done+1, s.total)
	s.bar.at(s.done, s.total)
}

// candidates are the machines to try: those named, or the shop's own and the job's. The
// built-in examples stand in where there are none.
func (c *compareFlags) candidates(j job.Job) (try []settings.Machine, leftOut []string, err error) {
	if len(c.machines) > 0 {
		try, err = namedMachines(c.machines)
		return try, nil, err
	}
	all, err := settings.AllMachines()
	if err != nil {
		return nil, nil, err
	}
	own := j.OwnMachine()
	if m, err := settings.FindMachine(j.MachineName()); err == nil && !hasMachine(all, m.ID) {
		all = append([]settings.Machine{m}, all...)
	}
	some := slices.ContainsFunc(all, func(m settings.Machine) bool { return !m.BuiltIn() })
	for _, m := range all {
		if some && m.BuiltIn() && m.ID != own {
			leftOut = append(leftOut, m.ID)
			continue
		}
		try = append(try, m)
	}
	return try, leftOut, nil
}

func hasMachine(all []settings.Machine, id string) bool {
	return slices.ContainsFunc(all, func(m settings.Machine) bool { return m.ID == id })
}

// namedTwice refuses two machines of one id, by which a table could not tell them apart.
func namedTwice(a, b settings.Machine) error {
	if filepath.Clean(a.File) == filepath.Clean(b.File) {
		return fault.Usagef("machine %s is named twice", a.ID).Hintf("name it once")
	}
	return fault.Usagef("machine %s is named twice", a.ID).
		Hintf("%s and %s both say id = %q: give one of them another id", fileOf(a), fileOf(b), a.ID)
}

// fileOf names where a profile is from.
func fileOf(m settings.Machine) string { return cmp.Or(m.File, "the built-in example") }

// namedMachines finds machines by their names, each of which may stand once.
func namedMachines(names []string) (all []settings.Machine, err error) {
	for _, name := range names {
		m, err := settings.FindMachine(name)
		if err != nil {
			return nil, err
		}
		if i := slices.IndexFunc(all, func(o settings.Machine) bool { return o.ID == m.ID }); i >= 0 {
			return nil, namedTwice(all[i], m)
		}
		all = append(all, m)
	}
	return all, nil
}
