package svg

import (
	"math"
	"slices"

	"furrow/path"
)

// polyline is a subpath made ready for the pen. One without legs has no length.
type polyline struct {
	start  path.Point
	legs   []leg
	sides  []sides // of its legs that are curves
	closed bool
}

// sides are the controls of the left and right offset curves of a leg.
type sides [4]path.Point

// leg is one straight piece, or one piece of a curve whose two offset curves
// are cubics. Where those do not exist, in bends tighter than the pen, a curve
// is cut into straight legs, between two of no length that carry the exact
// tangents, so that caps and joins stand square to the curve and not to a
// chord.
type leg struct {
	to      path.Point
	in, out path.Point // directions of unit length, the same when straight
	length  float64    // 0 for a curve
	smooth  bool       // joins the leg before it inside a curve
	sides   int32      // of a curve: 1 + the index in the polyline's sides
}

// lineBuilder makes polylines from a path or from dashes.
type lineBuilder struct {
	half, tolerance float64
	lines           []polyline
	legs            []leg // of all lines
	sides           []sides
	first           int // leg of the current line
	start, at       path.Point
	drawn           bool // something follows the MoveTo
}

// polylines cuts p into subpaths; one that is only moved to is left out. They
// hold until the next call.
func (b *lineBuilder) polylines(p path.Path, half, tolerance float64) []polyline {
	b.begin(half, tolerance, len(p.Verbs))
	b.path(p)
	return b.lines
}

// dashes returns one polyline for each dash.
func (b *lineBuilder) dashes(list []dash, half, tolerance float64) []polyline {
	b.begin(half, tolerance, len(list))
	for i := range list {
		d := &list[i]
		if b.path(d.Path); len(d.Verbs) == 1 {
			b.tangent(d.along, false)
			b.drawn = true
			b.flush(false)
		}
	}
	return b.lines
}

func (b *lineBuilder) begin(half, tolerance float64, legs int) {
	*b = lineBuilder{half: half, tolerance: tolerance, lines: b.lines[:0], legs: slices.Grow(b.legs[:0], legs),
		sides: b.sides[:0]}
}

func (b *lineBuilder) path(p path.Path) {
	i := 0
	for _, v := range p.Verbs {
		b.segment(v, p.Points[i:i+v.NumPoints()])
		i += v.NumPoints()
	}
	b.flush(false)
}

func (b *lineBuilder) segment(v path.Verb, pts []path.Point) {
	if v == path.MoveTo {
		b.flush(false)
		b.start, b.at = pts[0], pts[0]
		return
	}
	b.drawn = true
	switch v {
	case path.LineTo:
		b.line(pts[0], false)
	case path.Close:
		b.line(b.start, false)
		b.flush(true)
	default:
		b.curve(curve{v, b.at, pts})
	}
}

func (b *lineBuilder) flush(closed bool) {
	if b.drawn {
		legs := b.legs[b.first:len(b.legs):len(b.legs)]
		b.lines = append(b.lines, polyline{start: b.start, legs: legs, sides: b.sides, closed: closed && len(legs) > 0})
	}
	b.first, b.at, b.drawn = len(b.legs), b.start, false
}

func (b *lineBuilder) line(to path.Point, smooth bool) {
	d := to.Sub(b.at)
	length := d.Len()
	if length == 0 {
		return
	}
	d = d.Mul(1 / length)
	b.legs = append(b.legs, leg{to: to, in: d, out: d, length: length, smooth: smooth})
	b.at = to
}

// tangent adds a leg of no length, if dir is a direction.
func (b *lineBuilder) tangent(dir path.Point, smooth bool) bool {
	length := dir.Len()
	if !(length > 0) {
		return smooth
	}
	dir = dir.Mul(1 / length)
	b.legs = append(b.legs, leg{to: b.at, in: dir, out: dir, smooth: smooth})
	return true
}

func (b *lineBuilder) curve(c curve) {
	in, out := c.tangents()
	smooth := b.tangent(in, false)
	b.tangent(out, b.pieces(&c, 0, 1, 0, smooth))
}

// How often a curve is halved: where a piece turns in the pen's own width, and
// at most.
const (
	maxFoldHalvings = 2
	maxHalvings     = 10
)

// pieces adds the legs of c from t0 to t1.
func (b *lineBuilder) pieces(c *curve, t0, t1 float64, depth int, smooth bool) bool {
	f := c.frames(t0, t1)
	if depth > 0 || c.verb != path.ArcTo || math.Abs(c.pts[3].Y) < 2 {
		left, okL := f.offset(t1-t0, b.half, b.tolerance)
		right, okR := f.offset(t1-t0, -b.half, b.tolerance)
		if okL && okR {
			b.bent(c, &f, t1 == 1, sides{left[0], left[1], right[0], right[1]}, smooth)
			return true
		}
	}
	if depth >= maxHalvings || depth >= maxFoldHalvings && f.folded(b.half) {
		return b.chords(c, t0, t1, smooth)
	}
	t := (t0 + t1) / 2
	smooth = b.pieces(c, t0, t, depth+1, smooth)
	return b.pieces(c, t, t1, depth+1, smooth)
}

// bent adds the piece of c with the frames f, the last one or not.
func (b *lineBuilder) bent(c *curve, f *frames, last bool, s sides, smooth bool) {
	to := f[4].at
	if last {
		to = c.end()
	}
	unit := func(v path.Point) path.Point { return v.Mul(1 / v.Len()) }
	b.sides = append(b.sides, s)
	b.legs = append(b.legs, leg{
		to: to, in: unit(f[0].speed), out: unit(f[4].speed), smooth: smooth, sides: int32(len(b.sides)),
	})
	b.at = to
}

// chords cuts evenly in the parameter.
func (b *lineBuilder) chords(c *curve, t0, t1 float64, smooth bool) bool {
	n := c.chordsFor(t0, t1, b.tolerance)
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
