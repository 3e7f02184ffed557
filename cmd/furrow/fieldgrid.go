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
)

// fieldGrid writes the list that marks n by n numbered crosses over a galvo's
// field, and beside it the file to measure them into.
func (c *hatchFlags) fieldGrid(a *app, args []string) error {
	if len(args) > 0 {
		return usagef("--field-grid draws the field's own grid and takes no file, got %s", strings.Join(args, " "))
	}
	m, err := findMachine(c.machine)
	if err != nil {
		return err
	}
	if m.Galvo == nil {
		return usagef("%s is a %s: --field-grid is for a galvo", m.ID, m.Kind)
	}
	if c.out.toStdout() {
		return usagef("--field-grid writes two files: name one with -o")
	}
	table := output{path: strings.TrimSuffix(c.out.path, filepath.Ext(c.out.path)) + ".csv", force: c.out.force}
	if table.path == c.out.path {
		return usagef("%s is where the points go: give the list another name", table.path).hintf("name it grid.mvl")
	}
	for _, o := range []output{c.out, table} {
		if err := o.check(m.file); err != nil {
			return err
		}
	}
	only := "only"
	fill := c.fill
	fill.Outline = &only
	if err := fill.complete(&m, ""); err != nil {
		return err
	}
	moves, places, err := emit.FieldGrid(m.Profile, int(*c.grid), fill.setting(&m))
	if err != nil {
		return usagef("%w", err)
	}
	r, err := clock.Run(moves, m.Profile)
	if err != nil {
		return err
	}
	comments := append([]string{"furrow " + version, fmt.Sprintf("field grid of %d x %d crosses", *c.grid, *c.grid)}, m.cautions()...)
	err = c.out.write(a, func(w io.Writer) error { return markvec.Encoder{Comments: comments}.Encode(w, moves) })
	if err == nil {
		err = table.write(a, func(w io.Writer) error { return lens.WriteCSV(w, places) })
	}
	if err != nil {
		return err
	}
	return c.gridSummary(a, m, table.path, r)
}

func (c *hatchFlags) gridSummary(a *app, m machine, table string, r clock.Report) error {
	w := bufio.NewWriter(a.stdout)
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
