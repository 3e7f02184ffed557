package order

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/runlog"
	"furrow/cmd/furrow/internal/words"
)

// KeepsRun refuses to give a load's file other parts, or other pockets for them, than it had
// when it was run: which parts are done is known by its name.
func (o *Order) KeepsRun(dir string) error {
	runs, _, err := runlog.Read(filepath.Join(dir, LogName))
	old, bad := Open(dir)
	if err != nil || bad != nil || o.Name != "load" {
		return err // a run for some of the parts has files that are made anew each time
	}
	if _, err := os.Stat(filepath.Join(dir, "parts.csv")); err != nil {
		return nil // no load was made yet
	}
	was, err := old.parts()
	if err != nil {
		return err
	}
	for _, r := range runs {
		before, after := seatsOf(was, r.File), seatsOf(o.rows(), r.File)
		if wasRun(r) && len(before) > 0 && !slices.Equal(before, after) {
			return fault.Workf("%s in %s was run with %s, and would hold %s", r.File, dir, partsWords(before),
				partsWords(after)).
				Hintf("--from N makes the parts from N on, --only-parts any of them, each into files of their own; " +
					"furrow order --anew makes all of it again")
		}
	}
	return nil
}

// wasRun reports that a line of a log is of a run that marked something. One that is doubtful
// may have been without the beam, and then has no parts.
func wasRun(r runlog.Run) bool {
	return r.What == runlog.Ran || r.What == runlog.Stopped || r.What == runlog.Doubtful && r.Parts != ""
}

// rows are those of the table of parts.
func (o *Order) rows() (all []partRow) {
	for _, l := range o.Loads {
		for _, s := range l.Seats {
			all = append(all, partRow{part: s.Part, load: l.Number, pocket: s.Pocket.Number, file: l.File})
		}
	}
	return all
}

// seatsOf are the rows of a file.
func seatsOf(all []partRow, file string) []partRow {
	return slices.DeleteFunc(slices.Clone(all), func(r partRow) bool { return r.file != file })
}

func partsWords(rows []partRow) string {
	if len(rows) == 0 {
		return "none"
	}
	var parts []int
	for _, r := range rows {
		parts = append(parts, r.part)
	}
	slices.Sort(parts)
	return fmt.Sprintf("%s %s", map[bool]string{false: "part", true: "parts"}[len(parts) > 1], words.Numbers(parts))
}
