package main

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/order"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/path/svg"

	"github.com/spf13/pflag"
)

var newCommand = command{
	name:     "new",
	synopsis: "ART.svg -o JOB.toml [flags]",
	summary:  "write a job file for a piece of artwork, to start from",
	about: `The keys that an order needs are in it, each with its meaning; what is not
known yet is left as a comment. --all writes every key
there is (furrow help jobs lists them). Every subcommand takes the job file where it
takes artwork. Names of files in it are relative to it.`,
	example: "furrow new tag.svg -o tag.toml --recipe example-co2-birch --quantity 24",
	setup: func(fs *pflag.FlagSet) runner {
		var c newFlags
		outputFlags(fs, &c.out, "the job file")
		fs.BoolVar(&c.all, "all", false, "write every key of a job file, those that are not set as comments")
		fs.StringVar(&c.machine, "machine", "", machineUsage)
		fs.StringVar(&c.recipe, "recipe", "", recipeUsage)
		orderFlags(fs, &c.order)
		artworkFlags(fs, &c.artwork)
		blankFlags(fs, &c.blank, &c.bleed)
		fillFlags(fs, &c.fill)
		return c.run
	},
}

type newFlags struct {
	out             product.Output
	all             bool
	machine, recipe string
	order           job.Order
	artwork         job.Artwork
	blank           *value.Point
	bleed           *value.Length
	fill            job.Fill
}

func (c *newFlags) run(a *app, args []string) error {
	name, err := oneFile(args, "artwork")
	if err != nil {
		return err
	}
	if name == "-" {
		return fault.Usagef("a job file names its artwork: give a file")
	}
	if filepath.Base(c.out.Path) == order.RecordName {
		return fault.Usagef("%s is the name of the record in an order's folder", order.RecordName).
			Hintf("name the job file job.toml")
	}
	if err := c.out.Check(name, c.machine, c.recipe); err != nil {
		return err
	}
	j, err := c.job(a, name)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	b.WriteString(jobHead)
	if c.all {
		err = settings.WriteCommented(&b, j)
	} else {
		b.WriteString(shortHead)
		err = settings.WriteChosen(&b, j, c.keys())
	}
	if err != nil {
		return err
	}
	return c.out.WriteBytes(a.stdout, b.Bytes())
}

const (
	jobHead = "# Job file for furrow. Take the # off a key to set it: lengths are \"60mm\" or \"2in\".\n" +
		"# Values of the command line win over those of a group, a group's over [fill], [fill]\n" +
		"# over the recipe. Prove every setting on scrap.\n"
	shortHead = "# Every other key: furrow help jobs, or furrow new --all.\n"
)

// keys are those that stand in a job file whether they are set or not: what an order
// needs, and, where no recipe tells it, how the work is filled.
func (c *newFlags) keys() []string {
	all := []string{"furrow", "machine", "order.name", "order.customer", "order.quantity", "order.due",
		"order.loading_s",
		"blank.material", "blank.width", "blank.height", "blank.thickness", "artwork.file",
		"fixture.columns", "fixture.rows", "fixture.pitch", "data.file", "text", "text.pick", "text.value"}
	if c.recipe != "" {
		return append(all, "recipe")
	}
	return append(all, "recipe", "fill.spacing", "fill.angle", "fill.speed_mm_s", "fill.power_percent",
		"fill.frequency")
}

// job guesses what can be guessed.
func (c *newFlags) job(a *app, name string) (job.Job, error) {
	j := job.Job{Furrow: 1, Machine: c.machine, Fill: c.fill, Artwork: c.artwork, Order: c.order}
	f, err := a.open(name)
	if err != nil {
		return job.Job{}, err
	}
	defer f.Close()
	doc, err := svg.Read(f, svg.Options{})
	if err != nil {
		return job.Job{}, fault.Usagef("%s: %w", name, err)
	}
	j.Blank = j.Blank.Over(c.blank, c.bleed)
	for _, w := range work.SizeWarnings(c.artwork, doc) {
		w.File = name
		fault.Say(a.stderr, "warning", w.String())
	}
	art := work.Trimmed(c.artwork, doc.Artwork)
	placed, err := work.Placed(c.artwork, work.Drawing{Art: art}, j.Blank, false)
	if err != nil {
		return job.Job{}, err
	}
	if !j.Blank.Known() {
		for _, w := range work.DrawingWarnings(c.artwork, art) {
			w.File, w.Message = name, w.Message+"; the blank is taken to be as large as the page"
			fault.Say(a.stderr, "warning", w.String())
		}
		j.Blank = j.Blank.Over(&value.Point{X: measured(placed.Page.W()), Y: measured(placed.Page.H())}, nil)
	}
	if err := c.settings(a, &j); err != nil {
		return job.Job{}, err
	}
	for _, ref := range []*string{&name, &j.Machine, &j.Recipe} {
		if *ref == name || filepath.Ext(*ref) == ".toml" {
			*ref = c.beside(*ref)
		}
	}
	j.Artwork.File = name
	if j.Order.Name == nil {
		title := strings.TrimSuffix(filepath.Base(name), filepath.Ext(name))
		j.Order.Name = &title
	}
	if j.Order.Quantity == nil {
		j.Order.Quantity = value.Given(value.Quantity(1))
	}
	return j, nil
}

// measured is a length as a person would write it down, to a thousandth of a millimetre: a
// page in pixels has no end of decimals.
func measured(mm float64) float64 { return math.Round(1000*mm) / 1000 }

// settings takes machine, recipe and material from each other.
func (c *newFlags) settings(a *app, j *job.Job) error {
	if c.recipe != "" {
		r, err := settings.FindRecipe(c.recipe)
		if err != nil {
			return err
		}
		j.Recipe, j.Blank.Material = c.recipe, r.Material
		j.Machine = cmp.Or(c.machine, r.Machine)
	}
	if j.Machine == "" {
		return nil
	}
	m, err := settings.FindMachine(j.Machine)
	if err != nil && c.machine == "" { // the recipe's, which may lie in some folder
		fault.Say(a.stderr, "warning", fmt.Sprintf("recipe %s: %v; name the file: machine = \"FILE.toml\"",
			c.recipe, err))
		return nil
	}
	if err == nil && c.recipe == "" && j.Fill.Spacing == nil {
		j.Fill.Spacing = &value.Spacing{MM: m.Laser.SpotMM[1]} // rows along X that just meet
	}
	return err
}

// beside returns a file's name relative to the job file, with slashes, or
// absolute where there is no such name.
func (c *newFlags) beside(name string) string {
	if c.out.ToStdout() {
		return filepath.ToSlash(name)
	}
	dir, err1 := filepath.Abs(filepath.Dir(c.out.Path))
	abs, err2 := filepath.Abs(name)
	if err1 != nil || err2 != nil {
		return filepath.ToSlash(name)
	}
	rel, err := filepath.Rel(dir, abs)
	if err != nil {
		return filepath.ToSlash(abs)
	}
	return filepath.ToSlash(rel)
}
