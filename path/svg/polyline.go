package svg

import (
	"math"

	"furrow/path"
)

// polyline is a subpath made ready for the pen. One without legs has no length.
type polyline struct {
	start  path.Point
	legs   []leg
	closed bool
}

// leg is one straight piece, or one piece of a curve whose two offset curves
// are cubics. Where those do not exist, in bends tighter than the pen, a curve
// is cut into straight legs, between two of no length that carry the exact
// tangents, so that caps and joins stand square to the curve and not to a
// chord.
type leg struct {
	to      path.Point
	in, out path.Point     // directions of unit length, the same when straight
	length  float64        // 0 for a curve
	smooth  bool           // joins the leg before it inside a curve
	sides   *[4]path.Point // of a curve: the controls of its left and right offset curves
}

// lineBuilder makes polylines from a path. With half at 0 it makes straight
// legs only.
type lineBuilder struct {
	half, tolerance float64
	lines           []polyline
	cur             polyline
	at              path.Point
	drawn           bool // something follows the MoveTo
}

// polylines cuts p into subpaths; one that is only moved to is left out.
func polylines(p path.Path, half, tolerance float64) []polyline {
	b := lineBuilder{half: half, tolerance: tolerance}
	i := 0
	for _, v := range p.Verbs {
		b.segment(v, p.Points[i:i+v.NumPoints()])
		i += v.NumPoints()
	}
	b.flush(false)
	return b.lines
}

func (b *lineBuilder) segment(v path.Verb, pts []path.Point) {
	if v == path.MoveTo {
		b.flush(false)
		b.cur.start, b.at = pts[0], pts[0]
		return
	}
	b.drawn = true
	switch v {
	case path.LineTo:
		b.line(pts[0], false)
	case path.Close:
		b.line(b.cur.start, false)
		b.flush(true)
	default:
		b.curve(curve{v, b.at, pts})
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
	d = d.Mul(1 / length)
	b.cur.legs = append(b.cur.legs, leg{to: to, in: d, out: d, length: length, smooth: smooth})
	b.at = to
}

// tangent adds a leg of no length, if dir is a direction.
func (b *lineBuilder) tangent(dir path.Point, smooth bool) bool {
	length := dir.Len()
	if !(length > 0) {
		return smooth
	}
	dir = dir.Mul(1 / length)
	b.cur.legs = append(b.cur.legs, leg{to: b.at, in: dir, out: dir, smooth: smooth})
	return true
}

func (b *lineBuilder) curve(c curve) {
	in, out := c.tangents()
	smooth := b.tangent(in, false)
	smooth = b.pieces(&c, 0, 1, 0, smooth)
	b.at = c.end()
	b.tangent(out, smooth)
}

// How often a curve is halved: where a piece turns in the pen's own width, and
// at most.
const (
	maxFoldHalvings = 5
	maxHalvings     = 10
)

// pieces adds the legs of c from t0 to t1.
func (b *lineBuilder) pieces(c *curve, t0, t1 float64, depth int, smooth bool) bool {
	if b.half == 0 {
		return b.chords(c, t0, t1, smooth)
	}
	if depth > 0 || c.verb != path.ArcTo || math.Abs(c.pts[3].Y) < 2 {
		left, okL := c.offset(t0, t1, b.half, b.tolerance)
		right, okR := c.offset(t0, t1, -b.half, b.tolerance)
		if okL && okR {
			b.bent(c, t0, t1, &[4]path.Point{left[0], left[1], right[0], right[1]}, smooth)
			return true
		}
	}
	if depth >= maxHalvings || depth >= maxFoldHalvings && c.folds(t0, t1, b.half) {
		return b.chords(c, t0, t1, smooth)
	}
	t := (t0 + t1) / 2
	smooth = b.pieces(c, t0, t, depth+1, smooth)
	return b.pieces(c, t, t1, depth+1, smooth)
}

func (b *lineBuilder) bent(c *curve, t0, t1 float64, sides *[4]path.Point, smooth bool) {
	_, in, _ := c.at(t0)
	to, out, _ := c.at(t1)
	if t1 == 1 {
		to = c.end()
	}
	b.cur.legs = append(b.cur.legs, leg{
		to: to, in: in.Mul(1 / in.Len()), out: out.Mul(1 / out.Len()), smooth: smooth, sides: sides,
	})
	b.at = to
}

// folds reports that an offset curve runs backwards somewhere.
func (c *curve) folds(t0, t1, half float64) bool {
	for i := range 5 {
		t := t0 + (t1-t0)*float64(i)/4
		_, _, left := c.beside(t, half)
		_, _, right := c.beside(t, -half)
		if !left || !right {
			return true
		}
	}
	return false
}

// chords cuts evenly in the parameter: the chord error of a piece of length h
// is at most h²/8 times the second derivative, which is greatest at an end of a
// Bézier segment and all but constant on an arc.
func (b *lineBuilder) chords(c *curve, t0, t1 float64, smooth bool) bool {
	second := 0.0
	for _, t := range [...]float64{t0, (t0 + t1) / 2, t1} {
		_, _, dd := c.at(t)
		second = max(second, dd.Len())
	}
	n := 1.0
	if k := (t1 - t0) * math.Sqrt(second/(8*b.tolerance)); k > 1 {
		n = min(math.Ceil(k), 1<<16)
	}
	for i := 1.0; i <= n; i++ {
		t := t0 + (t1-t0)*i/n
		p, _, _ := c.at(t)
		if t == 1 {
			p = c.end()
		}
		b.line(p, smooth)
		smooth = true
	}
	return smooth
}

// join puts polylines of straight legs into one path.
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
