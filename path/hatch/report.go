package hatch

import (
	"slices"

	"furrow/path"
)

// Report is what Fill did.
type Report struct {
	Rows   int // with at least one span
	Spans  int
	Lines  int     // outlines, contours and centre lines
	Thin   int     // parts narrower than twice the inset, which are marked with one line along their centre
	ThinMM float64 // the length of those lines, once
	Traced []int   // strokes, by their index in the artwork, that are thinner than a line and traced along their centre
	Pale   []Pale
	Dust   Dust // spans shorter than the group's Shortest
}

// Pale is where a shape is topmost and what is seen is light but not bare, as a
// tint or a shadow is: it is marked in full, which the artist may not have meant.
type Pale struct {
	Shape int     // index in the artwork
	Area  float64 // that shows and is marked, mm²
}

// paleAbove is the least of the sRGB channels over white from which a paint is
// called pale: a quarter of full colour at most. Our own choice.
const paleAbove = 0.75

// pale finds where a group is marked and looks pale, by its rows, and adds the area
// to the shape that is topmost there: what is dark against the threshold of bare,
// less what is dark against that of pale.
func (j *job) pale(group int32) error {
	counts := func(l *layer) bool { return l.fill == group && l.pale }
	if !slices.ContainsFunc(j.w.f.layers, func(l layer) bool { return counts(&l) }) {
		return nil
	}
	lo, hi, ok := j.w.heights(path.Point{X: 1}, counts)
	if !ok || paleAbove >= j.w.f.above {
		return nil
	}
	g := newGrid(path.Point{X: 1}, lo, hi, j.s.Groups[group].Setting.SpacingMM, true)
	all, err := j.w.areas(g, j.painter(group))
	if err != nil {
		return err
	}
	s := *j.s
	s.BareAbove = paleAbove
	f, err := flatten(j.art, &s)
	if err != nil {
		return err
	}
	other := job{art: j.art, s: &s, w: filler{f: f, workers: j.w.workers}}
	other.unify()
	dark, err := other.w.areas(g, other.painter(group))
	for i := range dark {
		if pale := all[i] - dark[i]; pale > leastPale {
			j.done.Pale = append(j.done.Pale, Pale{i, pale})
		}
	}
	return err
}

// leastPale is the area below which pale paint is not told, mm²: less than the
// smallest mark covers, and more than rounding and the edge of a fade leave.
const leastPale = 1e-3

// areas returns the area on which each layer is topmost and marked by p, but for
// where marked and bare are swapped, mm².
func (w *filler) areas(g grid, p *painter) ([]float64, error) {
	sum := make([]float64, len(w.f.layers))
	err := w.stretches(g, p, func(_, top int32, from, to float64) {
		if p.flips&1 == 0 {
			sum[top] += (to - from) * g.spacing
		}
	})
	return sum, err
}

// thin notes the centres of parts that an inset erased.
func (j *job) thin(lines []path.Line) {
	j.done.Thin += len(lines)
	for i := range lines {
		j.done.ThinMM += length(&lines[i])
	}
}

func length(l *path.Line) float64 {
	sum := 0.0
	for i := 1; i < len(l.Points); i++ {
		sum += l.Points[i-1].Dist(l.Points[i])
	}
	if n := len(l.Points); l.Closed && n > 0 {
		sum += l.Points[n-1].Dist(l.Points[0])
	}
	return sum
}

func (j *job) report() Report {
	r := j.done
	r.Lines = len(j.marks.Lines)
	for i := range j.marks.Rows {
		set := &j.marks.Rows[i]
		r.Spans += len(set.Spans)
		for k := range set.NumRows() {
			if len(set.Row(k)) > 0 {
				r.Rows++
			}
		}
	}
	return r
}
