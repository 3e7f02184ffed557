package main

import (
	"bufio"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/lens"
	"furrow/emit/markvec"
	"furrow/path"

	"github.com/spf13/pflag"
)

// gridFlags is what machines grid is told.
type gridFlags struct {
	out     product.Output
	crosses *value.Count
	fill    job.Fill
	json    bool
}

// defaultCrosses is how many crosses stand side by side.
const defaultCrosses = 9

func (c *gridFlags) flags(fs *pflag.FlagSet) {
	value.Flag(fs, &c.crosses, "crosses", "grid: `N` by N crosses (default 9)")
	all := pflag.NewFlagSet("", pflag.ContinueOnError)
	fillFlags(all, &c.fill)
	for _, name := range []string{"speed", "power", "frequency", "pulse"} {
		f := all.Lookup(name)
		f.Usage = "grid: " + f.Usage
		fs.AddFlag(f)
	}
	fs.BoolVar(&c.json, "json", false, "print what is told as JSON")
}

// run writes the list that marks numbered crosses over a galvo's field, and beside it
// the file to measure them into.
func (c *gridFlags) run(a *app, m settings.Machine) error {
	table, err := c.files(m)
	if err != nil {
		return err
	}
	only := "only"
	fill := c.fill
	fill.Outline = &only // crosses have no rows, and so no spacing
	if err := fill.Complete(&m, ""); err != nil {
		return err
	}
	asked := work.SettingOf(fill, &m)
	if err := work.SettingWithin(&m, asked); err != nil {
		return err
	}
	moves, places, err := emit.FieldGrid(m.Profile, c.n(), asked)
	if err != nil {
		return fault.Usagef("%w", err)
	}
	r, err := clock.Run(moves, m.Profile)
	if err != nil {
		return err
	}
	if err := c.write(a, m, moves, places, table); err != nil {
		return err
	}
	asked.SpacingMM = 0
	for _, w := range append(work.SettingWarnings(&m, asked, m.Laser, 0), moves.DelayWarnings()...) {
		fault.Say(a.stderr, "warning", w)
	}
	return c.summarise(a, m, table.Path, r, moves)
}

func (c *gridFlags) n() int { return int(value.Or(c.crosses, defaultCrosses)) }

// files proves that both files can be written, and returns that of the table.
func (c *gridFlags) files(m settings.Machine) (table product.Output, err error) {
	if c.out.ToStdout() {
		return table, fault.Usagef("machines grid writes two files: name one with -o")
	}
	if !m.IsGalvo() {
		return table, fault.Usagef("%s is a %s: a field grid is for a galvo", m.ID, m.Kind)
	}
	if !m.TakesList() {
		return table, fault.Usagef("%s takes G-code: a field grid is written as a mark-vector list alone", m.ID)
	}
	table = product.Output{Path: strings.TrimSuffix(c.out.Path, filepath.Ext(c.out.Path)) + ".csv", Force: c.out.Force}
	if table.Path == c.out.Path {
		return table, fault.Usagef("%s is where the points go: give the list another name", table.Path).
			Hintf("name it grid.mvl")
	}
	for _, o := range []product.Output{c.out, table} {
		if err := o.Check(m.File); err != nil {
			return table, err
		}
	}
	return table, nil
}

func (c *gridFlags) write(a *app, m settings.Machine, moves emit.Moves, places []path.Point,
	table product.Output) error {
	comments := append([]string{"furrow " + version, fmt.Sprintf("field grid of %d x %d crosses", c.n(), c.n())},
		m.Cautions()...)
	return product.Together(a.stdout,
		product.Part{Output: c.out, Fn: func(w io.Writer) error {
			return markvec.Encoder{Comments: comments}.Encode(w, moves)
		}},
		product.Part{Output: table, Fn: func(w io.Writer) error { return lens.WriteCSV(w, places) }})
}

func (c *gridFlags) summarise(a *app, m settings.Machine, table string, r clock.Report, moves emit.Moves) error {
	span, err := figures.SpanOf(moves, m.Profile, r)
	if err != nil {
		return err
	}
	if c.json {
		f := figures.Of(figures.Markvec, m.ID, r)
		f.Add(span)
		return product.WriteJSON(a.stdout, f)
	}
	w := bufio.NewWriter(a.notes)
	line := func(head, text string) { fmt.Fprintf(w, "%-12s %s\n", head, text) }
	line("field grid", fmt.Sprintf("%d x %d crosses over the %s, without any correction", c.n(), c.n(),
		settings.Reach(m.Profile)))
	line("time", figures.TimeWords(r.Parts, span))
	line("written", c.out.Path+", "+table)
	line("next", "mark it on a flat plate; measure X and Y of every cross, from anywhere, into "+table+";")
	line("", "name that file as correction_csv in [galvo] of the profile, with measuring_error_mm")
	line("caution", settings.Caution)
	return w.Flush()
}
