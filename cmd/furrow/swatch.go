package main

import (
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/swatch"
	"furrow/cmd/furrow/internal/value"

	"github.com/spf13/pflag"
)

var swatchCommand = command{
	name:     "swatch",
	synopsis: "[CARD] -o FILE --machine ID --columns SETTING=VALUES --rows SETTING=VALUES [flags]",
	summary:  "make a labelled card of trial patches, to prove settings on scrap",
	about: `A card has a patch for each value of its columns and rows. A setting is speed (mm/s),
power (percent), frequency (as 50kHz), pulse (ns), spacing (as 0.1mm), angle (degrees), passes, or
focus (mm, set by hand: the machine waits). VALUES are

  200:1200            a range, in as many steps as the card has room for
  200:1200:6          six values of it, evenly apart
  200:1200:ratios     by equal ratios; 200:1200:6:ratios for six of them
  200,400,800         a list

What the card does not vary comes from the flags below and from a recipe. Patches are
marked coolest first, each far from the last one. Beside FILE come a .toml that says
what each patch is, for furrow recipes save NAME --from, and a .pdf to write on.

CARD is one from which you read a value of the machine or the recipe; the paper that comes
with it says how:
` + calibrationHelp() + `
  (times)   short runs by a watch: furrow tune --stopwatch
  (field)   numbered crosses: furrow machines grid`,
	example: `furrow swatch -o card.nc --machine example-co2 --material "birch plywood" --columns speed=100:400:4 ` +
		`--rows power=20,35,50
furrow swatch focus -o focus.nc --recipe example-co2-birch`,
	words: calibrationWords(),
	setup: func(fs *pflag.FlagSet) runner {
		var c swatchFlags
		outputFlags(fs, &c.out, "the controller's file")
		c.flags(fs)
		return c.run
	},
}

type swatchFlags struct {
	swatch.Request
	out             product.Output
	columns, rows   *swatch.Axis
	letters         *swatch.Letters
	paper           *string
	finer, fromFile string
	json            bool
}

func (c *swatchFlags) flags(fs *pflag.FlagSet) {
	fs.StringVar(&c.Machine, "machine", "", machineUsage)
	fs.StringVar(&c.Recipe, "recipe", "", recipeUsage)
	fs.StringVar(&c.Around, "around", "", "vary what matters about the recipe `ID` or FILE.toml")
	fs.StringVar(&c.Material, "material", "", "what the card is of: `WORD` as recipes name it")
	value.Flag(fs, &c.columns, "columns", "what differs from column to column: `SETTING=VALUES`")
	value.Flag(fs, &c.rows, "rows", "what differs from row to row: `SETTING=VALUES`")
	fs.StringVar(&c.finer, "finer", "", "a card between the neighbours of `PATCH`, as C4, of the card that --from "+
		"names")
	fs.StringVar(&c.fromFile, "from", "", "the `FILE`.toml of an earlier card")
	side := value.Limits{Least: 1, Most: 200, Unit: "mm"}
	value.Limit(value.Flag(fs, &c.PatchMM, "patch", "side of a patch, `LENGTH` (default 6mm)"), side)
	value.Limit(value.Flag(fs, &c.GapMM, "gap", "between patches, `LENGTH` (default 2mm)"),
		value.Limits{Least: 0.2, Most: 100, Unit: "mm"})
	value.Flag(fs, &c.letters, "letters",
		"how the lettering is marked, `SETTING=VALUE,...` as speed=800,power=20 (default: as the recipe says)")
	value.Flag(fs, &c.Blank, "blank-size", "width and height of the blank, `W,H`; what does not fit goes on a "+
		"further one")
	value.Limit(value.Flag(fs, &c.MarginMM, "margin", "keep `LENGTH` free along the blank's edges (default 1mm)"),
		value.Limits{Least: 0, Most: 100, Unit: "mm"})
	value.Flag(fs, &c.At, "at", "place the card's lower-left corner (gantry) or middle (galvo) at `X,Y`")
	value.Limit(value.Flag(fs, &c.StepMM, "step", "reversal: what a tooth tells, `LENGTH` (default 0.05mm)"),
		value.Limits{Least: 0.005, Most: 0.5, Unit: "mm"})
	fs.BoolVar(&c.AsSet, "as-set", false, "reversal: mark it with the profile's own correction, to prove that")
	value.Limit(value.Flag(fs, &c.RiseMM, "rise",
		"ramp: how much higher the right end of the line lies, `LENGTH` (default 10mm)"),
		value.Limits{Least: 0.5, Most: 200, Unit: "mm"})
	fs.StringVar(&c.Date, "date", "", "letter the `DAY` of the trial, as 2026-12-01")
	recipeFlags(fs, &c.Fill)
	value.Word(fs, &c.paper, []string{"a4", "letter"}, "paper", "`SIZE` of the paper: a4 or letter (default a4)")
	fs.BoolVar(&c.json, "json", false, "print the summary as JSON")
	quietFlag(fs)
}

// recipeFlags registers the values of a fill that recipes have.
func recipeFlags(fs *pflag.FlagSet, f *job.Fill) {
	all := pflag.NewFlagSet("", pflag.ContinueOnError)
	fillFlags(all, f)
	for _, v := range job.Values {
		if v.InRecipe() && v.Key != "outline" {
			fs.AddFlag(all.Lookup(v.Flag))
		}
	}
}

func (c *swatchFlags) run(a *app, args []string) error {
	if err := c.read(); err != nil {
		return err
	}
	if len(args) > 0 {
		return c.calibrate(a, args)
	}
	spec, err := c.Spec()
	if err != nil {
		return fault.All(err, c.out.Named())
	}
	cards, err := swatch.Grid(spec)
	if err != nil {
		return err
	}
	return c.make(a, cards, swatch.Reading)
}

// calibrate makes the card of a word.
func (c *swatchFlags) calibrate(a *app, args []string) error {
	word, err := oneFile(args, "card")
	if err != nil {
		return err
	}
	card, err := swatch.CalibrationOf(word)
	if err != nil {
		return err
	}
	if c.Around != "" || c.Finer != nil {
		return fault.Usagef("--around and --finer are for a card of patches, not for %s", word)
	}
	cards, err := card.Make(c.Request)
	if err != nil {
		return fault.All(err, c.out.Named())
	}
	return c.make(a, cards, card.Reading)
}

// calibrationWords lists the cards, for the shell, and for help.
func calibrationWords() (words []string) {
	for _, c := range swatch.Calibrations() {
		words = append(words, c.Word)
	}
	return words
}

// calibrationHelp is a line for each card.
func calibrationHelp() string {
	text := ""
	for _, c := range swatch.Calibrations() {
		text += fmt.Sprintf("\n  %-9s %s", c.Word, c.What)
	}
	return text
}

// read reads the card that the request goes on from, and settles its flags.
func (c *swatchFlags) read() error {
	c.Columns, c.Rows = value.Or(c.columns, swatch.Axis{}), value.Or(c.rows, swatch.Axis{})
	c.Letters = value.Or(c.letters, swatch.Letters{})
	if err := dayOf(c.Date); err != nil {
		return err
	}
	switch {
	case (c.finer == "") != (c.fromFile == ""):
		return fault.Usagef("--finer PATCH and --from CARD.toml go together")
	case c.finer == "":
		return nil
	}
	f, err := readCard(c.fromFile)
	if err != nil {
		return err
	}
	p, err := f.Patch(c.finer)
	c.From, c.Finer = f, &p
	return err
}

// dayOf refuses what is no day; none is one.
func dayOf(text string) error {
	if _, err := time.Parse(time.DateOnly, text); text != "" && err != nil {
		return fault.Usagef("--date: %q is not a day: write it as 2026-12-01", text)
	}
	return nil
}

// readCard reads the file of a card's patches.
func readCard(name string) (swatch.File, error) {
	if isWritten(name) {
		return swatch.File{}, fault.Usagef("%s is what the machine runs, and says nothing of its patches", name).
			Hintf("name the card's other file: %s.toml", strings.TrimSuffix(name, filepath.Ext(name)))
	}
	data, err := settings.ReadFile(name)
	if err != nil {
		return swatch.File{}, err
	}
	return swatch.Read(name, data)
}
