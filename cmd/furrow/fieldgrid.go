package main

import (
	"bufio"
	"fmt"
	"io"
	"path/filepath"
	"strings"

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
	fill := c.fill
	fill.Outline = &only // crosses have no rows, and so no spacing
	if err := fill.complete(&m, ""); err != nil {
		return err
	}
	asked := fill.setting(&m)
	moves, places, err := emit.FieldGrid(m.Profile, int(*c.grid), asked)
	if err != nil {
		return usagef("%w", err)
	}
	r, err := clock.Run(moves, m.Profile)
	if err != nil {
		return err
	}
	if err := c.writeGrid(a, m, moves, places, table); err != nil {
		return err
	}
	asked.SpacingMM = 0
	for _, w := range append(m.settingWarnings(asked, m.Laser, 0), moves.DelayWarnings()...) {
		say(a.stderr, "warning", w)
	}
	return c.gridSummary(a, m, table.path, r)
}

// gridFiles finds the machine and proves that both files can be written.
func (c *hatchFlags) gridFiles(args []string) (m machineFile, table output, err error) {
	switch {
	case len(args) > 0:
		return m, table, usagef("--field-grid draws the field's own grid and takes no file, got %s", strings.Join(args, " "))
	case c.out.toStdout():
		return m, table, usagef("--field-grid writes two files: name one with -o")
	case c.preview != "" || c.explain:
		return m, table, usagef("--preview and --explain do not go with --field-grid").hintf("furrow preview draws the list once it is written")
	}
	if m, err = findMachine(c.machine); err != nil {
		return m, table, err
	}
	if m.Galvo == nil {
		return m, table, usagef("%s is a %s: --field-grid is for a galvo", m.ID, m.Kind)
	}
	table = output{path: strings.TrimSuffix(c.out.path, filepath.Ext(c.out.path)) + ".csv", force: c.out.force}
	if table.path == c.out.path {
		return m, table, usagef("%s is where the points go: give the list another name", table.path).hintf("name it grid.mvl")
	}
	for _, o := range []output{c.out, table} {
		if err := o.check(m.file); err != nil {
			return m, table, err
		}
	}
	return m, table, nil
}

func (c *hatchFlags) writeGrid(a *app, m machineFile, moves emit.Moves, places []path.Point, table output) error {
	comments := append([]string{"furrow " + version, fmt.Sprintf("field grid of %d x %d crosses", *c.grid, *c.grid)}, m.cautions()...)
	err := c.out.write(a, func(w io.Writer) error { return markvec.Encoder{Comments: comments}.Encode(w, moves) })
	if err != nil {
		return err
	}
	return table.write(a, func(w io.Writer) error { return lens.WriteCSV(w, places) })
}

func (c *hatchFlags) gridSummary(a *app, m machineFile, table string, r clock.Report) error {
	if c.json {
		return writeJSON(a.stdout, newFigures(formatMarkvec, m.ID, r))
	}
	w := bufio.NewWriter(a.notes)
	line := func(head, text string) { fmt.Fprintf(w, "%-12s %s\n", head, text) }
	line("field grid", fmt.Sprintf("%d x %d crosses over the %s, without any correction", *c.grid, *c.grid, reach(m.Profile)))
	line("time", timeWords(r.Parts))
	line("written", c.out.path+", "+table)
	line("next", "mark it on a flat plate; measure X and Y of every cross, from anywhere, into "+table+";")
	line("", "name that file as correction_csv in [galvo] of the profile, with measuring_error_mm")
	for i, text := range m.cautions() {
		line(onlyFirst("caution", i), text)
	}
	return w.Flush()
}
