package personal

import (
	"slices"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/work"
)

// Heard returns the warnings of a drawing that a person needs to hear: not those of a
// text element that is lettered in single lines, whose own font counts for nothing.
func Heard(j job.Job, d work.Drawing) []work.Warning {
	lettered := map[int]bool{}
	for _, p := range d.Places {
		if p.Pick < len(j.Texts) && j.Texts[p.Pick].Font != nil {
			lettered[p.Source.Line] = true
		}
	}
	return slices.DeleteFunc(slices.Clone(d.Warnings), func(w work.Warning) bool {
		return lettered[w.Line]
	})
}
