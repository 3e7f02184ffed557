package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"furrow/cmd/furrow/internal/better"
	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/fixture"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/order"
	"furrow/cmd/furrow/internal/personal"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/raster/paper"

	"github.com/spf13/pflag"
)

var orderCommand = command{
	name:     "order",
	synopsis: "JOB.toml -o DIR [flags]",
	summary:  "make a job into a folder with everything for the bench and the customer",
	about: `The folder holds a file for each load, parts.csv, the proof that the customer signs,
the job sheet, and what the order was made from, so that furrow repeat can make it
again. It appears whole or not at all; run again, the command writes what has changed.`,
	example: "furrow order tags.toml -o spring",
	setup: func(fs *pflag.FlagSet) runner {
		var c orderCommandFlags
		fs.StringVarP(&c.dir, "output", "o", "", "make the folder `DIR`")
		c.partFlags(fs)
		fs.BoolVar(&c.first, "first", false, "make the first part alone, as it will lie, to be looked at")
		fs.BoolVar(&c.trace, "locate", false, "write a trace of the fixture too: the pockets and their numbers, "+
			"beam off")
		fs.BoolVar(&c.dry, "dry", false, "print the parts, what is odd about them, whether they fit and the time, "+
			"and write nothing")
		value.Word(fs, &c.paper, []string{"a4", "letter"}, "paper", "`SIZE` of the papers: a4 or letter (default a4)")
		fs.BoolVar(&c.json, "json", false, "print the summary as JSON")
		fs.BoolVar(&c.anew, "anew", false, "make it all again from other inputs, though some of it was run or accepted")
		c.workFlagSet(fs)
		quietFlag(fs)
		return c.run
	},
}

// partFlags registers those that choose parts.
func (c *orderCommandFlags) partFlags(fs *pflag.FlagSet) {
	fs.StringVar(&c.only, "only-parts", "", "make only these parts, as few loads as hold them: `PARTS` as 7,12-14")
	fs.Var((*nth)(&c.from), "from", "make the parts from `PART` on")
	fs.BoolVar(&c.rest, "rest", false, "make the parts behind the first one, once furrow log has it accepted")
}

// workFlagSet registers the flags that say what is made, which the record keeps.
func (c *orderCommandFlags) workFlagSet(fs *pflag.FlagSet) {
	orderFlags(fs, &c.order)
	startFlags(fs, &c.Starts)
	c.flags(fs)
}

// workSaid returns those of them that the command line gives, as it may give them
// again.
func workSaid(given []givenFlag) (said []string) {
	var other orderCommandFlags
	known := pflag.NewFlagSet("", pflag.ContinueOnError)
	other.workFlagSet(known)
	for _, f := range given {
		if known.Lookup(f.name) != nil && f.name != "timings" {
			said = append(said, "--"+f.name+"="+f.text)
		}
	}
	return said
}

type orderCommandFlags struct {
	request
	dir, only   string
	from        int
	first, rest bool
	dry, json   bool
	trace, anew bool
	paper       *string
	order       job.Order
	said        []string // of the work and the order, on the command line
}

func (c *orderCommandFlags) run(a *app, args []string) error {
	name, err := oneFile(args, "job file")
	if err != nil {
		return err
	}
	if !strings.EqualFold(filepath.Ext(name), ".toml") {
		return fault.Usagef("%s is no job file", name).Hintf("furrow new %s -o JOB.toml writes one to start from", name)
	}
	if c.dir == "" && !c.dry {
		return fault.Usagef("no folder named").Hintf("add -o DIR")
	}
	if !c.dry {
		if err := order.CheckFolder(c.dir); err != nil {
			return err
		}
	}
	c.said = workSaid(a.given)
	a.logCutShort()
	t, err := c.begin(a, name, false)
	if err != nil {
		return err
	}
	t.Job.Order, t.Fonts = c.order.Over(t.Job.Order), new(job.Fonts)
	kept, err := keptOf(t.Resolved)
	if err != nil {
		return err
	}
	if err := c.asBegun(kept); err != nil {
		return err
	}
	in, err := c.inputOf(t, kept)
	if err != nil {
		return err
	}
	o, err := order.Plan(in)
	if err != nil {
		return err
	}
	a.warn(o.One.Warnings)
	if late := o.Late(today()); late != "" {
		fault.Say(a.stderr, "warning", late)
	}
	if c.dry {
		return c.tryOut(a, o)
	}
	if !c.anew {
		if err := o.KeepsRun(c.dir); err != nil {
			return err
		}
	}
	w, err := o.Write(c.dir, c.paperSize(), withFonts(kept, t.Fonts.Used()))
	if err != nil {
		return err
	}
	t.stages.print(a.stderr)
	return c.summarise(a, o, w)
}

// tryOut tells what the order would be, and writes nothing.
func (c *orderCommandFlags) tryOut(a *app, o *order.Order) error {
	if err := o.WriteParts(a.stdout); err != nil {
		return err
	}
	made, err := o.Try()
	if err != nil {
		return err
	}
	fmt.Fprintln(a.notes)
	return product.WriteBuffered(a.notes, func(w io.Writer) error {
		o.DrySummary(w, made)
		return nil
	})
}

// asBegun refuses to make some parts of an order from other inputs than those that
// its other parts were made from, and to make one anew of which some was run.
func (c *orderCommandFlags) asBegun(now []order.Kept) error {
	if c.dry || c.anew {
		return nil
	}
	old, err := order.Open(c.dir)
	if err != nil {
		return nil // a new order
	}
	kept, err := old.Kept()
	if err != nil {
		return err
	}
	var changed string
	if all := order.Changed(kept, append(now, fontsToday(kept)...)); len(all) > 0 {
		changed = all[0].Words
	} else if changed = otherFlags(old.Flags, c.said); changed == "" {
		return nil
	}
	if c.chosen() == "" {
		return c.notRun(changed)
	}
	return fault.Workf("%s since the order in %s was begun: these parts would differ from the others",
		changed, c.dir).
		Hintf("furrow repeat %s -o %s --as-kept %s makes them from what the folder keeps; furrow order without it "+
			"makes everything again",
			c.dir, c.dir, c.chosen())
}

// notRun refuses to make files anew of which some were run or looked at.
func (c *orderCommandFlags) notRun(changed string) error {
	began, err := order.Begun(c.dir)
	if err != nil || began == "" {
		return err
	}
	return fault.Workf("%s since the order in %s was begun, with %s: its files would be others", changed, c.dir, began).
		Hintf("make it into another folder; or --anew makes it all again in this one")
}

// chosen is how the command line chooses parts, nothing for all of them.
func (c *orderCommandFlags) chosen() string {
	switch {
	case c.only != "":
		return "--only-parts " + c.only
	case c.from > 0:
		return fmt.Sprintf("--from %d", c.from)
	case c.rest:
		return "--rest"
	}
	return ""
}

// today is the day by the computer's clock, against which a promised day is held. No
// file holds it.
func today() value.Date {
	y, m, d := time.Now().Date()
	return value.Date{Year: y, Month: int(m), Day: d}
}

func (c *orderCommandFlags) paperSize() paper.Size {
	if value.Or(c.paper, "a4") == "letter" {
		return paper.Letter
	}
	return paper.A4
}

// inputOf is all that the order is made from.
func (c *orderCommandFlags) inputOf(t *task, kept []order.Kept) (order.Input, error) {
	d, err := drawingFrom(bytes.NewReader(dataOf(kept, order.Artwork)), t.Resolved)
	if err != nil {
		return order.Input{}, err
	}
	if !personal.FontsCount(t.Job, d) {
		t.Fonts.Forget()
	}
	cool := new(better.Cooling)
	in := order.Input{
		Resolved: t.Resolved, Name: "load", Version: version, Flags: c.said, Trace: c.trace,
		Settle: cool.Settle, Pause: cool.Pause, Cooled: cool.Lines, Observe: t.app.observer(t.stages.run),
	}
	if in.Source, err = sourceOf(t.Resolved, d, dataOf(kept, order.Data)); err != nil {
		return order.Input{}, err
	}
	if in.Pockets, err = pocketsOf(t.Resolved, kept); err != nil {
		return order.Input{}, err
	}
	return in, c.choose(&in)
}

// choose settles which parts are made now, and how their files are named.
func (c *orderCommandFlags) choose(in *order.Input) (err error) {
	all := len(in.Source.Parts)
	asked := 0
	for _, on := range []bool{c.only != "", c.from > 0, c.first, c.rest} {
		if on {
			asked++
		}
	}
	switch {
	case asked > 1:
		return fault.Usagef("more than one of --only-parts, --from, --first and --rest").Hintf("choose one")
	case c.only != "":
		in.Name = "again"
		in.Numbers, err = order.ParseNumbers(c.only, all)
	case c.from > all:
		return fault.Usagef("--from %d: the order has %s", c.from, words.Plural(all, "part"))
	case c.from > 0:
		in.Name = fmt.Sprintf("from-%d", c.from)
		in.Numbers = fixture.Parts(all)[c.from-1:]
	case c.first:
		in.Name, in.Numbers = "first", []int{1}
	case c.rest:
		in.Numbers, err = c.afterFirst(all)
	default:
		in.Numbers = fixture.Parts(all)
	}
	return err
}

// afterFirst are the parts behind the first one, if that was accepted.
func (c *orderCommandFlags) afterFirst(all int) ([]int, error) {
	ok, err := order.Accepted(c.dir)
	_, missing := os.Stat(c.dir)
	switch {
	case err != nil:
		return nil, err
	case missing != nil:
		return nil, fault.Workf("there is no %s with a first article", c.dir).
			Hintf("make it with --first in place of --rest, mark it and look at it")
	case !ok:
		return nil, fault.Workf("the first article in %s is not accepted yet", c.dir).
			Hintf("mark it, look at it, and then: furrow log %s --accept", c.dir)
	case all < 2:
		return nil, fault.Workf("the order has no part behind the first one")
	}
	return fixture.Parts(all)[1:], nil
}

// summarise says what was made.
func (c *orderCommandFlags) summarise(a *app, o *order.Order, w order.Written) error {
	return product.WriteBuffered(a.besides(product.Output{Path: c.dir}, c.json), func(out io.Writer) error {
		if c.json {
			return product.WriteJSON(out, o.Figures(w))
		}
		o.Summary(out, filepath.Clean(c.dir), w)
		return nil
	})
}
