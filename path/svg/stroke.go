package svg

import (
	"math"
	"slices"

	"furrow/path"
)

// stroke emits the region that a stroke covers, with its centre line.
func (w *walker) stroke(n *node, st *state, p path.Path) {
	s := &st.style
	pen := &w.pen // its buffers are used again
	pen.cap, pen.join, pen.miter = s.cap, s.join, s.miter
	width := s.width.px(w.metrics(s), w.view, diagonal)
	c, ok := w.ink(n, st, s.stroke, s.strokeOpacity)
	if width = min(width, maxUser); !ok || !(width > 0) {
		return
	}
	m := st.m
	if s.fixedWidth { // SVG 2, 8.13: stroked in CSS pixels on the page
		p, m = p.Transform(path.Scale(1/mmPerPx, 1/mmPerPx).Mul(m)), path.Scale(mmPerPx, mmPerPx)
	}
	pen.half, pen.tolerance = width/2, w.tol/largestScale(m)
	lines, centre := []polyline(nil), p
	if pattern := w.dashPattern(n, s); pattern.sum > 0 {
		dashes := w.dash(n, p, pattern, pen.tolerance)
		if w.err != nil {
			return
		}
		lines, centre = w.lines.dashes(dashes, pen.half, pen.tolerance), centreOf(dashes)
	} else {
		lines = w.lines.polylines(p, pen.half, pen.tolerance)
	}
	out := &w.scratch
	reset(out)
	for i := range lines {
		if !pen.draw(out, &lines[i]) || len(out.Points) > 2*pen.most {
			w.limit(n, "its stroke has more than %d points", 2*pen.most)
			return
		}
	}
	w.lay(n, st, path.Shape{
		Path:   path.Path{Verbs: slices.Clone(out.Verbs), Points: out.Points}.Transform(m),
		Centre: centre.Transform(m), Width: width * scaleOf(m),
	}, c)
}

// largestScale returns the factor of the direction that m stretches most.
func largestScale(m path.Matrix) float64 {
	sum := m.A*m.A + m.B*m.B + m.C*m.C + m.D*m.D
	return math.Sqrt((sum + math.Sqrt(max(0, sum*sum-4*m.Det()*m.Det()))) / 2)
}

// pen draws the region round a polyline: the union of a strip for each leg, a
// wedge for each join and the caps (SVG 2, 13.7). Every piece runs round the
// same way, so that under the nonzero rule nothing can cancel, however tight the
// bends; pieces that share an edge are written as one contour. A general
// offsetter needs a pass over all crossings to reach the same result.
type pen struct {
	half      float64
	tolerance float64
	cap, join string
	miter     float64
	most      int // points on one side

	left, right path.Path // the two sides of the contour being drawn
}

// draw adds a line to out, and reports whether it is not too long for that.
func (k *pen) draw(out *path.Path, l *polyline) bool {
	reset(&k.left)
	reset(&k.right)
	n := len(l.legs)
	if n == 0 {
		k.dot(out, l.start)
		return true
	}
	first, last := &l.legs[0], &l.legs[n-1]
	if l.closed {
		k.corner(l.start, last, first)
	} else {
		k.sides(l.start, first.in)
	}
	at := l.start
	for i := range l.legs {
		g := &l.legs[i]
		if i > 0 {
			k.corner(at, &l.legs[i-1], g)
		}
		if len(k.left.Points) > k.most || len(k.right.Points) > k.most {
			return false
		}
		if at = g.to; g.sides > 0 {
			n, s := normal(g.out).Mul(k.half), &l.sides[g.sides-1]
			k.left.CubeTo(s[0], s[1], at.Add(n))
			k.right.CubeTo(s[2], s[3], at.Sub(n))
		}
	}
	if l.closed {
		appendClosed(out, k.left)
		reset(&k.left)
		appendBackwards(&k.left, k.right)
		appendClosed(out, k.left)
		return true
	}
	k.sides(at, last.out)
	k.loop(out, at, last.out, l.start, first.in)
	return true
}

// loop writes the left side, the cap at the end, the right side backwards and
// the cap at the start.
func (k *pen) loop(out *path.Path, end, endDir, start, startDir path.Point) {
	k.addCap(end, endDir)
	appendBackwards(&k.left, k.right)
	k.addCap(start, startDir.Mul(-1))
	appendClosed(out, k.left)
}

// dot draws a subpath of no length: its caps (SVG 2, 13.5.4).
func (k *pen) dot(out *path.Path, at path.Point) {
	if k.cap != "butt" {
		dir := path.Point{X: 1}
		k.sides(at, dir)
		k.loop(out, at, dir, at, dir)
	}
}

func normal(dir path.Point) path.Point { return path.Point{X: -dir.Y, Y: dir.X} }

// sides adds the points left and right of at.
func (k *pen) sides(at, dir path.Point) {
	n := normal(dir).Mul(k.half)
	lineTo(&k.left, at.Add(n))
	lineTo(&k.right, at.Sub(n))
}

// corner joins two legs at a point. A join inside a curve is round, whatever
// the pen's.
func (k *pen) corner(at path.Point, a, b *leg) {
	cross, dot := a.out.Cross(b.in), a.out.Dot(b.in)
	bisector := normal(a.out).Add(normal(b.in)).Mul(k.half / max(1+dot, 1e-12))
	reach := k.half * math.Sqrt(max(0, 1-dot)/max(1+dot, 1e-12)) // half·tan(turn/2)
	fits := dot > 0 && (2*reach <= min(a.length, b.length) || 8*reach <= k.tolerance)
	if fits && bisector.Len()-k.half <= k.tolerance {
		lineTo(&k.left, at.Add(bisector))
		lineTo(&k.right, at.Sub(bisector))
		return
	}
	outer, inner, s := &k.left, &k.right, 1.0
	if cross > 0 {
		outer, inner, s = &k.right, &k.left, -1
	}
	na, nb := normal(a.out).Mul(k.half*s), normal(b.in).Mul(k.half*s)
	if fits {
		lineTo(inner, at.Sub(bisector.Mul(s)))
	} else {
		lineTo(inner, at.Sub(na))
		lineTo(inner, at)
		lineTo(inner, at.Sub(nb))
	}
	lineTo(outer, at.Add(na))
	switch {
	case b.smooth || k.join == "round":
		k.fan(outer, at, na, nb, -s)
	case k.join != "bevel" && 2 <= k.miter*k.miter*(1+dot): // 1/cos(turn/2) within the limit
		lineTo(outer, at.Add(bisector.Mul(s)))
	}
	lineTo(outer, at.Add(nb))
}

// fan draws a round join or cap on a circle round at, counter-clockwise for
// sign +1: an arc where a chord would not do.
func (k *pen) fan(side *path.Path, at, from, to path.Point, sign float64) {
	angle := math.Abs(math.Atan2(from.Cross(to), from.Dot(to)))
	if k.half*(1-math.Cos(angle/2)) > k.tolerance {
		side.ArcTo(at, from, normal(from).Mul(sign), 0, angle, at.Add(to))
	}
}

// addCap draws the cap behind a line that ends at at in direction dir, from its
// left side to its right.
func (k *pen) addCap(at, dir path.Point) {
	n, d := normal(dir).Mul(k.half), dir.Mul(k.half)
	switch k.cap {
	case "round":
		k.fan(&k.left, at, n, n.Mul(-1), -1)
	case "square":
		lineTo(&k.left, at.Add(n).Add(d))
		lineTo(&k.left, at.Sub(n).Add(d))
	}
	lineTo(&k.left, at.Sub(n))
}
