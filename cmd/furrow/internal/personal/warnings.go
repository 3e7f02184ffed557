package personal

import (
	"slices"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/work"
	"furrow/path"
)

// inLines reports that a text element is lettered in single lines.
func inLines(j job.Job, p path.Place) bool {
	return p.Pick < len(j.Texts) && j.Texts[p.Pick].Font != nil
}

// FontsCount reports that fonts count for something in a drawing: not where all its text
// elements are lettered in single lines.
func FontsCount(j job.Job, d work.Drawing) bool {
	left := d.Texts
	for _, p := range d.Places {
		if inLines(j, p) {
			left--
		}
	}
	return left > 0 || d.Texts == 0 // or in lengths that go by one
}

// Heard returns the warnings of a drawing that a person needs to hear: not those of a
// text element that is lettered in single lines, whose own font counts for nothing.
func Heard(j job.Job, d work.Drawing) []work.Warning {
	lettered := map[int]bool{}
	for _, p := range d.Places {
		if inLines(j, p) {
			lettered[p.Source.Line] = true
		}
	}
	return slices.DeleteFunc(slices.Clone(d.Warnings), func(w work.Warning) bool {
		return lettered[w.Line]
	})
}
