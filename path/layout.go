package path

import (
	"fmt"
	"math"
)

// LaidOut returns the program once for each place, one after the other: what is
// made once is marked many times, moved and turned. The copies share the settings.
// A program of no places is empty. The error says that there are more points than a
// program can number.
func (p *Program) LaidOut(places []Matrix) (Program, error) {
	q := Program{Settings: p.Settings, ToleranceMM: p.ToleranceMM}
	if n := len(places) * len(p.Points); n > math.MaxInt32 {
		return q, fmt.Errorf("%d copies of %d points are more than a program can hold: lay out fewer at a time",
			len(places), len(p.Points))
	}
	sweeps := p.sweeps()
	if n := len(places) * int(sweeps); n > math.MaxInt32 {
		return q, fmt.Errorf("%d copies of %d sweeps are more than a program can hold: lay out fewer at a time",
			len(places), sweeps)
	}
	q.Points = make([]Point, 0, len(places)*len(p.Points))
	q.Strokes = make([]Stroke, 0, len(places)*len(p.Strokes))
	for k, m := range places {
		q.lay(p, m, int32(k)*sweeps)
	}
	return q, nil
}

// lay adds a copy of p, mapped by m, whose sweeps are numbered from sweep on, since
// the last of a copy is none with the first of the next.
func (q *Program) lay(p *Program, m Matrix, sweep int32) {
	first := int32(len(q.Points))
	for _, pt := range p.Points {
		q.Points = append(q.Points, m.Apply(pt))
	}
	for _, s := range p.Strokes {
		s.First += first
		if s.Sweep > 0 {
			s.Sweep += sweep
		}
		q.Strokes = append(q.Strokes, s)
	}
}

// sweeps returns the highest number of a sweep.
func (p *Program) sweeps() int32 {
	most := int32(0)
	for _, s := range p.Strokes {
		most = max(most, s.Sweep)
	}
	return most
}
