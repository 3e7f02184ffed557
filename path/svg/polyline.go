package svg

import (
	"furrow/path"
)

// polyline is a flattened subpath. One without legs has no length.
type polyline struct {
	start  path.Point
	legs   []leg
	closed bool
}

// leg is one straight piece. A curve starts and ends with legs of no length
// that carry its exact tangents, so that caps and joins stand square to the
// curve and not to a chord.
type leg struct {
	to, dir path.Point // dir of unit length
	length  float64
	smooth  bool // joins the leg before it inside a curve
}

// polylines flattens p; a subpath that is only moved to is left out.
func polylines(p path.Path, tolerance float64) []polyline {
	b := lineBuilder{tolerance: tolerance}
	i := 0
	for _, v := range p.Verbs {
		b.segment(v, p.Points[i:i+v.NumPoints()])
		i += v.NumPoints()
	}
	b.flush(false)
	return b.lines
}

type lineBuilder struct {
	tolerance float64
	lines     []polyline
	cur       polyline
	at        path.Point
	drawn     bool // something follows the MoveTo
	scratch   path.Path
}

func (b *lineBuilder) segment(v path.Verb, pts []path.Point) {
	switch v {
	case path.MoveTo:
		b.flush(false)
		b.cur.start, b.at = pts[0], pts[0]
	case path.LineTo:
		b.line(pts[0], false)
		b.drawn = true
	case path.Close:
		b.line(b.cur.start, false)
		b.drawn = true
		b.flush(true)
	default:
		b.curve(v, pts)
		b.drawn = true
	}
}

func (b *lineBuilder) flush(closed bool) {
	if b.drawn {
		b.cur.closed = closed && len(b.cur.legs) > 0
		b.lines = append(b.lines, b.cur)
	}
	b.cur, b.at, b.drawn = polyline{start: b.cur.start}, b.cur.start, false
}

func (b *lineBuilder) line(to path.Point, smooth bool) {
	d := to.Sub(b.at)
	length := d.Len()
	if length == 0 {
		return
	}
	b.cur.legs = append(b.cur.legs, leg{to: to, dir: d.Mul(1 / length), length: length, smooth: smooth})
	b.at = to
}

// tangent adds a leg of no length.
func (b *lineBuilder) tangent(dir path.Point, smooth bool) bool {
	length := dir.Len()
	if !(length > 0) {
		return false
	}
	b.cur.legs = append(b.cur.legs, leg{to: b.at, dir: dir.Mul(1 / length), smooth: smooth})
	return true
}

func (b *lineBuilder) curve(v path.Verb, pts []path.Point) {
	in, out := tangents(v, b.at, pts)
	smooth := b.tangent(in, false)
	b.scratch.Verbs = append(b.scratch.Verbs[:0], path.MoveTo, v)
	b.scratch.Points = append(append(b.scratch.Points[:0], b.at), pts...)
	b.scratch.Flatten(b.tolerance, func(line []path.Point, _ bool) {
		for _, q := range line[1:] {
			b.line(q, smooth)
			smooth = true
		}
	})
	b.tangent(out, smooth)
}

// tangents returns the directions of a curve at its two ends, zero where it has
// none.
func tangents(v path.Verb, from path.Point, pts []path.Point) (in, out path.Point) {
	if v == path.ArcTo {
		u, w, start, sweep := pts[1], pts[2], pts[3].X, pts[3].Y
		return arcTangent(u, w, start, sweep), arcTangent(u, w, start+sweep, sweep)
	}
	end := pts[len(pts)-1]
	for _, q := range pts {
		if in = q.Sub(from); in != (path.Point{}) {
			break
		}
	}
	all := append([]path.Point{from}, pts[:len(pts)-1]...)
	for i := len(all) - 1; i >= 0; i-- {
		if out = end.Sub(all[i]); out != (path.Point{}) {
			break
		}
	}
	return in, out
}

// join puts polylines into one path.
func join(lines []polyline) path.Path {
	var p path.Path
	for i := range lines {
		l := &lines[i]
		p.MoveTo(l.start)
		for _, g := range l.legs {
			if g.length > 0 {
				p.LineTo(g.to)
			}
		}
		if l.closed {
			p.Close()
		} else if len(l.legs) == 0 {
			p.LineTo(l.start)
		}
	}
	return p
}
