package main

import (
	"cmp"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"time"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/order"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"

	"github.com/spf13/pflag"
)

var repeatCommand = command{
	name:     "repeat",
	synopsis: "DIR -o NEW [flags]",
	summary:  "make an order again from what its folder keeps; tell what has changed since",
	about: `Artwork, data, profile and recipe are the ones the folder keeps. Where one of them is
different today, furrow says what that does to time, dose and marks, and makes nothing
until you say which to take: --as-kept or --as-now, for all of them or for those named,
as in --as-now=artwork. Name and due day stay what they were, too, unless --name and --due
give others.`,
	example: "furrow repeat spring -o autumn --quantity 40",
	setup: func(fs *pflag.FlagSet) runner {
		var c repeatFlags
		fs.StringVarP(&c.dir, "output", "o", "", "make the folder `NEW`")
		fs.StringSliceVar(&c.asKept, "as-kept", nil,
			"use what the folder keeps, of all inputs or of `ROLES`: job, artwork, data, profile, recipe, pockets, font")
		fs.Lookup("as-kept").NoOptDefVal = everyRole
		fs.StringSliceVar(&c.asNow, "as-now", nil, "use what there is today, of all inputs or of `ROLES`")
		fs.Lookup("as-now").NoOptDefVal = everyRole
		c.partFlags(fs)
		c.againFlags(fs)
		fs.StringVar(&c.data, "data", "", "the parts' values from another `FILE`, in place of those of the order")
		value.Word(fs, &c.paper, []string{"a4", "letter"}, "paper", "`SIZE` of the papers: a4 or letter (default a4)")
		fs.BoolVar(&c.json, "json", false, "print the summary as JSON")
		orderFlags(fs, &c.order)
		startFlags(fs, &c.Starts)
		quietFlag(fs)
		return c.run
	},
}

type repeatFlags struct {
	orderCommandFlags
	choices
	data, name string
	due        *day
	fontsTold  bool           // what those of today do, all together
	before     map[string]int // where the order's counters started, as far as its command line said
}

// day is a day as a flag gives it.
type day struct{ value.Date }

func (d *day) Set(s string) error {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return fmt.Errorf("%q is not a day: write it as 2026-12-18", s)
	}
	d.Date = value.Date{Year: t.Year(), Month: int(t.Month()), Day: t.Day()}
	return nil
}

func (c *repeatFlags) run(a *app, args []string) error {
	if err := c.choices.check(args); err != nil {
		return err
	}
	dir, err := oneFile(args, "order's folder")
	if err != nil {
		return err
	}
	if c.dir == "" {
		return fault.Usagef("no folder named").Hintf("add -o NEW")
	}
	if err := order.CheckFolder(c.dir); err != nil {
		return err
	}
	old, err := order.Open(dir)
	if err != nil {
		return err
	}
	kept, err := old.Kept()
	if err != nil {
		return err
	}
	if err := c.takeFlags(a, old.Flags); err != nil {
		return err
	}
	now := c.today(old, kept)
	use, err := c.decide(a, old, kept, now)
	if err != nil {
		return err
	}
	if c.takes(c.asNow, c.asKept, order.Font) {
		use = with(use, now, order.Font)
	}
	if use, err = c.withData(use); err != nil {
		return err
	}
	if err := c.notOver(old, kept, use); err != nil {
		return err
	}
	return c.makeFrom(a, old, kept, use, now)
}

// notOver refuses to write over an order of which some was run or looked at, unless it comes
// out the same.
func (c *repeatFlags) notOver(old order.Old, kept, use []order.Kept) error {
	began, err := order.Begun(c.dir)
	same := sameFolder(c.dir, old.Dir) && len(order.Changed(kept, use)) == 0 && slices.Equal(old.Flags, c.said)
	if err != nil || began == "" || same || c.chosen() != "" {
		return err
	}
	return fault.Workf("%s holds an order that was begun, with %s: its files would be others", c.dir, began).
		Hintf("make it into another folder")
}

func sameFolder(a, b string) bool {
	x, errX := os.Stat(a)
	y, errY := os.Stat(b)
	return errX == nil && errY == nil && os.SameFile(x, y)
}

// withData takes the parts' values from another file.
func (c *repeatFlags) withData(use []order.Kept) ([]order.Kept, error) {
	if c.data == "" {
		return use, nil
	}
	data, err := settings.ReadFile(c.data)
	if err != nil {
		return nil, err
	}
	use = slices.Clone(use)
	for i := range use {
		if use[i].Role == order.Data {
			use[i].Name, use[i].Data = c.data, data
			return use, nil
		}
	}
	return nil, fault.Usagef("the order has no data").Hintf("leave --data out; --quantity says how many parts")
}

// takeFlags takes what the command line of the order said, where this one says nothing else.
func (c *repeatFlags) takeFlags(a *app, flags []string) error {
	fs := pflag.NewFlagSet("order", pflag.ContinueOnError)
	var first repeatFlags
	first.workFlagSet(fs)
	first.againFlags(fs)
	if err := fs.Parse(flags); err != nil {
		return fault.Usagef("the flags of the order: %w", err)
	}
	starts := c.Starts
	c.before = first.Starts
	c.request, c.order, c.said = first.request, c.order.Over(first.order), saidAgain(flags, a.given)
	c.Starts = maps.Clone(c.Starts)
	if c.Starts == nil {
		c.Starts = map[string]int{}
	}
	maps.Copy(c.Starts, starts)
	if name := cmp.Or(c.name, first.name); name != "" {
		c.order.Name = &name
	}
	if due := cmp.Or(c.due, first.due); due != nil {
		c.order.Due = &due.Date
	}
	return nil
}

// againFlags registers what an order is called that is made again, and when it is due.
func (c *repeatFlags) againFlags(fs *pflag.FlagSet) {
	value.Flag(fs, &c.due, "due", "the `DAY` that this one is promised for, as 2026-12-18 (default: the order's)")
	fs.StringVar(&c.name, "name", "", "what is ordered this time, or the order's number, `TEXT` (default: the "+
		"order's)")
}

// today reads what the inputs of an order are now; those that are not there have no
// data. A profile or recipe whose file is there no more is looked for by its id, as what is
// built in is.
func (c *repeatFlags) today(old order.Old, kept []order.Kept) []order.Kept {
	now := slices.Clone(kept)
	for i, in := range old.Inputs {
		now[i].Data = nil
		if !in.BuiltIn {
			now[i].Data, _ = os.ReadFile(old.Outside(in))
		}
		if now[i].Data != nil {
			continue
		}
		switch in.Role {
		case order.Profile:
			if m, err := settings.FindMachine(old.Machine); err == nil {
				now[i], _ = profileKept(m)
			}
		case order.Recipe:
			if r, err := settings.FindRecipe(old.Record.Recipe); err == nil {
				now[i], _ = recipeKept(r)
			}
		}
	}
	return now
}

// decide says what has changed, and returns what the order is made from.
func (c *repeatFlags) decide(a *app, old order.Old, kept, now []order.Kept) ([]order.Kept, error) {
	changes := order.Changed(kept, now)
	if old.Version != version {
		fmt.Fprintf(a.notes, "program      made by furrow %s, this is %s\n", old.Version, version)
	}
	if len(changes) == 0 {
		fmt.Fprintln(a.notes, "inputs       nothing changed")
		return kept, nil
	}
	use := slices.Clone(kept)
	var open []string
	for _, ch := range changes {
		fmt.Fprintf(a.notes, "changed      %s%s\n", ch.Words, c.effect(a, old, kept, now, ch))
		switch {
		case c.takes(c.asKept, c.asNow, ch.Role):
		case (c.takes(c.asNow, c.asKept, ch.Role) || ch.Role == order.Rates) && ch.There:
			use = with(use, now, ch.Role)
		case !ch.There: // there is only what is kept
		default:
			open = append(open, string(ch.Role))
		}
	}
	if len(open) > 0 {
		return nil, fault.Workf("decide what to do with what has changed: %s", strings.Join(open, ", ")).
			Hintf("add --as-kept or --as-now: --as-kept makes it as last time, from what the folder keeps; --as-now "+
				"takes what "+
				"there is today; either takes names, as in --as-now=%s", open[0])
	}
	return use, nil
}

// with returns inputs of which one is that of another time. Fonts of today are looked for as
// they were for the order.
func with(all, other []order.Kept, r order.Role) []order.Kept {
	out := slices.Clone(all)
	for i := range out {
		if out[i].Role == r {
			out[i] = other[i]
		}
		if out[i].Role == r && r == order.Font {
			out[i].Data = nil
		}
	}
	return out
}

// effect says what a change does to the parts: to time, dose and marks.
func (c *repeatFlags) effect(a *app, old order.Old, kept, now []order.Kept, ch order.Change) string {
	switch {
	case !ch.There:
		return ": what is kept is used"
	case ch.Role == order.Font && c.fontsTold:
		return ""
	}
	c.fontsTold = c.fontsTold || ch.Role == order.Font
	if ch.Role == order.Rates { // nothing is made by them, and they change every year
		return ": no mark rests on them; today's are kept with this order, unless --as-kept says otherwise"
	}
	before, err := c.plan(a, old, kept)
	if err != nil {
		return fmt.Sprintf("; as kept: %v", err)
	}
	after, err := c.plan(a, old, with(kept, now, ch.Role))
	if err != nil {
		return fmt.Sprintf("; as now: %v", err)
	}
	found, err := order.Differences(before, after)
	if err != nil {
		return fmt.Sprintf("; %v", err)
	}
	return ": " + strings.Join(found, "; ")
}

// plan plans an order from inputs.
func (c *repeatFlags) plan(a *app, old order.Old, use []order.Kept) (*order.Order, error) {
	t, err := c.task(a, old, use)
	if err != nil {
		return nil, err
	}
	in, err := c.inputOf(t, use)
	if err != nil {
		return nil, err
	}
	return order.Plan(in)
}

// task resolves the job of an order with the inputs in place of what it names.
func (c *repeatFlags) task(a *app, old order.Old, use []order.Kept) (*task, error) {
	stand, err := newStandIn(use)
	if err != nil {
		return nil, err
	}
	defer stand.end()
	first, _ := old.Input(order.JobFile)
	j, err := job.Parse(old.Outside(first), dataOf(use, order.JobFile))
	if err != nil {
		return nil, err
	}
	r := c.Request
	stand.takePlace(&j, &r)
	j.Artwork.Fonts, r.Artwork.Fonts = foldersThere(j.Artwork.Fonts), foldersThere(r.Artwork.Fonts)
	resolved, err := job.Resolve(j, r, false)
	if err != nil {
		return nil, err
	}
	stand.renameIn(&resolved)
	if k, ok := stand.files[order.Data]; ok { // an ending says what the file is
		resolved.Job.Table.File = k.Name
	}
	resolved.Job.Order = c.order.Over(resolved.Job.Order)
	resolved.Fonts = fontsOf(use)
	return &task{Resolved: resolved, app: a}, nil
}

// makeFrom makes the order's new folder.
func (c *repeatFlags) makeFrom(a *app, old order.Old, kept, use, now []order.Kept) error {
	o, err := c.plan(a, old, use)
	if err != nil {
		return err
	}
	if err := o.KeepsRun(c.dir); err != nil {
		return err
	}
	c.tellSame(a, o)
	if err := c.tellCounters(a, old, kept, o); err != nil {
		return err
	}
	tellFonts(a, old, use, o.Resolved.Fonts.Used())
	a.warn(o.One.Warnings)
	w, err := o.Write(c.dir, c.paperSize(), withFonts(use, o.Resolved.Fonts.Used()))
	if err != nil {
		return err
	}
	if err := c.summarise(a, o, w); err != nil {
		return err
	}
	return c.tellProfile(a, old, now, o)
}
