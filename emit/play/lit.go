package play

import "furrow/path"

// Lit gathers from samples where the beam is on: a polyline for each time that the gate is
// open, within a distance of every sample. Its zero value is not ready; see NewLit.
type Lit struct {
	tolerance float64
	line      func([]path.Point)
	pts       []path.Point
	open      bool
	at        path.Point // the last sample
	cone      cone
}

// NewLit calls line with each polyline when it ends; the points are used again.
func NewLit(toleranceMM float64, line func([]path.Point)) *Lit {
	return &Lit{tolerance: toleranceMM, line: line}
}

// Take takes a block of samples.
func (l *Lit) Take(all []Sample) error {
	for i := range all {
		s := &all[i]
		switch p := (path.Point{X: s.X, Y: s.Y}); {
		case s.Gate:
			l.next(p)
		case l.open:
			l.Close()
		}
	}
	return nil
}

// next takes a place with the beam on. A point is kept where the next one no longer lies in
// the straight way on from the last that was kept.
func (l *Lit) next(p path.Point) {
	switch {
	case !l.open:
		l.open, l.pts = true, append(l.pts[:0], p)
		l.cone = cone{}
	case !l.cone.take(p.Sub(l.pts[len(l.pts)-1]), l.tolerance):
		l.pts = append(l.pts, l.at)
		l.cone = cone{}
		l.cone.take(p.Sub(l.at), l.tolerance)
	}
	l.at = p
}

// Close ends the polyline that is under way, if there is one.
func (l *Lit) Close() {
	if !l.open {
		return
	}
	if last := l.pts[len(l.pts)-1]; l.at != last || len(l.pts) == 1 {
		l.pts = append(l.pts, l.at)
	}
	l.open = false
	l.line(l.pts)
}

// cone is the directions in which a straight line from one point passes all that follow
// within the tolerance.
type cone struct {
	left, right path.Point // its sides, each to the left and right of what is inside
	far         float64    // how far the farthest point is
	known       bool
}

// aside is the part of the tolerance by which a line may pass a point, where that may also lie
// half of it beyond the line's end, since the way came back: together they are the whole.
const aside = 0.866 // √3/2

// take narrows the cone for a point, seen from its tip, and reports false where that lies
// outside, or comes back by more than half of the tolerance.
func (c *cone) take(p path.Point, tolerance float64) bool {
	n := p.Len()
	if n < c.far-tolerance/2 {
		return false
	}
	c.far = max(c.far, n)
	if c.known && (c.left.Cross(p) > 0 || c.right.Cross(p) < 0) {
		return false
	}
	if n <= tolerance {
		return true // any direction passes it
	}
	side := path.Point{X: -p.Y, Y: p.X}.Mul(tolerance * aside / n)
	left, right := p.Add(side), p.Sub(side)
	if !c.known || c.left.Cross(left) < 0 {
		c.left = left
	}
	if !c.known || c.right.Cross(right) > 0 {
		c.right = right
	}
	c.known = true
	return true
}
