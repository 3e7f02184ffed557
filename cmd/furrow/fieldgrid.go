package main

import (
	"bufio"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/lens"
	"furrow/emit/markvec"
	"furrow/path"
)

// fieldGrid writes the list that marks n by n numbered crosses over a galvo's
// field, and beside it the file to measure them into.
func (c *hatchFlags) fieldGrid(a *app, args []string) error {
	m, table, err := c.gridFiles(args)
	if err != nil {
		return err
	}
	only := "only"
	fill := c.Fill
	fill.Outline = &only // crosses have no rows, and so no spacing
	if err := fill.Complete(&m, ""); err != nil {
		return err
	}
	asked := work.SettingOf(fill, &m)
	moves, places, err := emit.FieldGrid(m.Profile, int(*c.grid), asked)
	if err != nil {
		return fault.Usagef("%w", err)
	}
	r, err := clock.Run(moves, m.Profile)
	if err != nil {
		return err
	}
	if err := c.writeGrid(a, m, moves, places, table); err != nil {
		return err
	}
	asked.SpacingMM = 0
	for _, w := range append(work.SettingWarnings(&m, asked, m.Laser, 0), moves.DelayWarnings()...) {
		fault.Say(a.stderr, "warning", w)
	}
	return c.gridSummary(a, m, table.Path, r, moves)
}

// gridFiles finds the machine and proves that both files can be written.
func (c *hatchFlags) gridFiles(args []string) (m settings.Machine, table product.Output, err error) {
	switch {
	case len(args) > 0:
		return m, table, fault.Usagef("--field-grid draws the field's own grid and takes no file, got %s",
			strings.Join(args, " "))
	case c.out.ToStdout():
		return m, table, fault.Usagef("--field-grid writes two files: name one with -o")
	case c.preview != "" || c.explain:
		return m, table, fault.Usagef("--preview and --explain do not go with --field-grid").
			Hintf("furrow preview draws the list once it is written")
	}
	if m, err = settings.FindMachine(c.Machine); err != nil {
		return m, table, err
	}
	if !m.IsGalvo() {
		return m, table, fault.Usagef("%s is a %s: --field-grid is for a galvo", m.ID, m.Kind)
	}
	table = product.Output{Path: strings.TrimSuffix(c.out.Path, filepath.Ext(c.out.Path)) + ".csv", Force: c.out.Force}
	if table.Path == c.out.Path {
		return m, table, fault.Usagef("%s is where the points go: give the list another name", table.Path).
			Hintf("name it grid.mvl")
	}
	for _, o := range []product.Output{c.out, table} {
		if err := o.Check(m.File); err != nil {
			return m, table, err
		}
	}
	return m, table, nil
}

func (c *hatchFlags) writeGrid(a *app, m settings.Machine, moves emit.Moves, places []path.Point,
	table product.Output) error {
	comments := append([]string{"furrow " + version, fmt.Sprintf("field grid of %d x %d crosses", *c.grid, *c.grid)},
		m.Cautions()...)
	return product.Together(a.stdout,
		product.Part{Output: c.out, Fn: func(w io.Writer) error { return markvec.Encoder{Comments: comments}.Encode(w, moves) }},
		product.Part{Output: table, Fn: func(w io.Writer) error { return lens.WriteCSV(w, places) }})
}

func (c *hatchFlags) gridSummary(a *app, m settings.Machine, table string, r clock.Report, moves emit.Moves) error {
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
	line("field grid", fmt.Sprintf("%d x %d crosses over the %s, without any correction", *c.grid, *c.grid,
		settings.Reach(m.Profile)))
	line("time", figures.TimeWords(r.Parts, span))
	line("written", c.out.Path+", "+table)
	line("next", "mark it on a flat plate; measure X and Y of every cross, from anywhere, into "+table+";")
	line("", "name that file as correction_csv in [galvo] of the profile, with measuring_error_mm")
	line("caution", settings.Caution)
	return w.Flush()
}
