package main

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"

	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit/machine"
)

// doubtFit warns of fitted values that no machine is likely to have, which the profile did not
// have before.
func (a *app) doubtFit(m settings.Machine, p machine.Profile, file string) {
	before := m.Doubts()
	var all []work.Warning
	for _, d := range p.Doubts() {
		if !slices.ContainsFunc(before, func(b *machine.KeyError) bool { return b.Key == d.Key }) {
			all = append(all, work.Warning{Message: file + ": " + d.Error() +
				" A run may have been written down wrongly"})
		}
	}
	if len(all) > 0 {
		a.warn(all)
	}
}

// tellNext says how the new profile takes the place of the old one, and what that changes.
func (c *tuneFlags) tellNext(w io.Writer, m settings.Machine, p machine.Profile) error {
	change := settings.Change{Before: m, After: settings.Machine{Profile: p, File: c.out.Path}}
	fmt.Fprintf(w, "\n%-12s %s\n", "written", c.out.Path)
	for i, text := range change.Effects() {
		fmt.Fprintf(w, "%-12s %s\n", words.OnlyFirst("with it", i), text)
	}
	fmt.Fprintf(w, "%-12s furrow compare JOB.toml --machine %s, and the same with --machine %s, tell what changes\n",
		"next", c.out.Path, m.ID)
	switch dir, err := settings.Folder("machines"); {
	case p.ID != m.ID && err == nil:
		fmt.Fprintf(w, "%-12s then put it into %s, where it stands beside %s\n", "", dir, m.ID)
	case m.BuiltIn() && err == nil:
		fmt.Fprintf(w, "%-12s then put it into %s, where it takes the place of the example\n", "", dir)
	case err == nil:
		fmt.Fprintf(w, "%-12s then %s takes the place of %s:\n%-12s rename that one to %s, which keeps it; the "+
			"folder takes no two of one id\n",
			"", filepath.Base(c.out.Path), m.File, "", filepath.Base(freeName(m.File)))
	}
	return nil
}
