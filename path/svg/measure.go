package svg

import (
	"sort"

	"furrow/path"
)

// measuredLine is a subpath whose segments know how long they are.
type measuredLine struct {
	start    path.Point
	segments []segment // none is without length
	length   float64
	closed   bool
}

// segment is a straight line or curve.
type segment struct {
	curve
	upTo   []float64 // of a curve: the length up to the ends of equal steps of its parameter
	length float64
}

// measure returns the subpaths of p; one that is only moved to is left out. Of the
// lengths of curves no step is wrong by more than the tolerance.
func measure(p path.Path, tolerance float64) []measuredLine {
	var lines []measuredLine
	var l measuredLine
	at, drawn, i := path.Point{}, false, 0
	flush := func() {
		if drawn {
			lines = append(lines, l)
		}
		l, drawn = measuredLine{start: l.start}, false
	}
	for _, v := range p.Verbs {
		pts := p.Points[i : i+v.NumPoints()]
		i += len(pts)
		if v == path.MoveTo {
			flush()
			l.start, at = pts[0], pts[0]
			continue
		}
		drawn = true
		if v == path.Close {
			v, pts, l.closed = path.LineTo, []path.Point{l.start}, true
		}
		l.add(curve{v, at, pts}, tolerance)
		if at = pts[len(pts)-1]; l.closed {
			flush()
		}
	}
	flush()
	return lines
}

func (l *measuredLine) add(c curve, tolerance float64) {
	s := segment{curve: c, length: c.end().Dist(c.from)}
	if c.verb != path.LineTo {
		s.steps(c.chordsFor(0, 1, tolerance))
	}
	if s.length > 0 {
		l.segments = append(l.segments, s)
		l.length += s.length
	}
}

// direction returns that where the line begins, zero where there is none.
func (l *measuredLine) direction() path.Point {
	if len(l.segments) == 0 {
		return path.Point{}
	}
	_, along := l.segments[0].place(0)
	return along
}

// steps measures a curve in n steps.
func (s *segment) steps(n float64) {
	s.length, s.upTo = 0, []float64{0}
	for i := range int(n) {
		s.length += s.between(float64(i)/n, float64(i+1)/n)
		s.upTo = append(s.upTo, s.length)
	}
}

// between returns the length of a curve from one parameter to another, by Gauss' rule
// of three places.
func (s *segment) between(t0, t1 float64) float64 {
	speed := func(share float64) float64 {
		_, v, _ := s.at(t0 + (t1-t0)*share)
		return v.Len()
	}
	const side = 0.3872983346207417 // half the root of 3/5
	return (t1 - t0) / 18 * (5*speed(0.5-side) + 8*speed(0.5) + 5*speed(0.5+side))
}

// parameter returns where the segment is as long as wanted.
func (s *segment) parameter(length float64) float64 {
	if s.verb == path.LineTo {
		return length / s.length
	}
	n := len(s.upTo) - 1
	i := min(max(sort.SearchFloat64s(s.upTo, length)-1, 0), n-1)
	t0, t1, rest := float64(i)/float64(n), float64(i+1)/float64(n), length-s.upTo[i]
	t := t0 + (t1-t0)*rest/(s.upTo[i+1]-s.upTo[i])
	for range 3 { // Newton's steps
		if _, v, _ := s.at(t); v.Len() > 0 {
			t = min(max(t-(s.between(t0, t)-rest)/v.Len(), t0), t1)
		}
	}
	return t
}

// place returns a place and the derivative there.
func (s *segment) place(t float64) (at, along path.Point) {
	if s.verb == path.LineTo {
		return s.from.Lerp(s.end(), t), s.end().Sub(s.from)
	}
	at, along, _ = s.at(t)
	return at, along
}

// appendTo adds the segment between two parameters to a path that ends at the first.
func (s *segment) appendTo(p *path.Path, t0, t1 float64) {
	to := s.end()
	if t1 < 1 {
		to, _ = s.place(t1)
	}
	switch s.verb {
	case path.LineTo:
		p.LineTo(to)
	case path.ArcTo:
		c := s.pts
		p.ArcTo(c[0], c[1], c[2], c[3].X+c[3].Y*t0, c[3].Y*(t1-t0), to)
	case path.QuadTo:
		p.QuadTo(blossom([]path.Point{s.from, s.pts[0], s.pts[1]}, t0, t1), to)
	default:
		all := []path.Point{s.from, s.pts[0], s.pts[1], s.pts[2]}
		p.CubeTo(blossom(all, t0, t0, t1), blossom(all, t0, t1, t1), to)
	}
}

// blossom is de Casteljau's construction with a parameter of its own in each round: of
// the ends of a piece, as often as the degree, it gives the controls of that piece.
func blossom(pts []path.Point, ts ...float64) path.Point {
	var row [4]path.Point
	n := copy(row[:], pts)
	for _, t := range ts {
		n--
		for i := range n {
			row[i] = row[i].Lerp(row[i+1], t)
		}
	}
	return row[0]
}
