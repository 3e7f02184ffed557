package hatch

import "furrow/path"

// Report is what Fill did.
type Report struct {
	Rows   int // with at least one span
	Spans  int
	Lines  int     // outlines, contours and centre lines
	Thin   int     // parts narrower than twice the inset, which are marked with one line along their centre
	ThinMM float64 // the length of those lines, once
	Traced []int   // strokes, by their index in the artwork, that are thinner than a line and traced along their centre
	Pale   []Pale
}

// Pale is a shape whose paint is light but not bare, as a tint or a shadow is:
// it is marked in full, which the artist may not have meant.
type Pale struct {
	Shape int     // index in the artwork
	Area  float64 // that shows and is marked, mm²
}

// paleAbove is the least of the sRGB channels over white from which a paint is
// called pale: a quarter of full colour at most. Our own choice.
const paleAbove = 0.75

// pale finds the pale shapes of a part, and their areas by its rows.
func (j *job) pale(part int32) error {
	some := false
	p := newPainter(j.w.f, func(l *layer, swapped bool) bool {
		is := l.part == part && l.pale && l.bare == swapped
		some = some || is && !swapped
		return is
	})
	if !some {
		return nil
	}
	lo, hi, ok := j.w.heights(path.Point{X: 1}, func(l *layer) bool { return l.part == part && l.pale })
	if !ok {
		return nil
	}
	areas, err := j.w.areas(newGrid(path.Point{X: 1}, lo, hi, j.s.Parts[part].Setting.SpacingMM, true), p)
	for i, a := range areas {
		if a > 0 {
			j.done.Pale = append(j.done.Pale, Pale{i, a})
		}
	}
	return err
}

// areas returns the area on which each layer is topmost and marked by p, mm².
func (w *filler) areas(g grid, p *painter) ([]float64, error) {
	if err := w.prepare(&g); err != nil {
		return nil, err
	}
	sum := make([]float64, len(w.f.layers))
	s := sweep{c: &w.chains}
	s.start(0)
	for k := range g.n {
		row := s.row(k)
		for i := range row {
			if p.cross(row[i].tag) {
				sum[p.inside[len(p.inside)-1]] += (row[i+1].x - row[i].x) * g.spacing
			}
		}
	}
	return sum, nil
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
