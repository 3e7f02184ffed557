package svg

import (
	"math"

	"furrow/path"
)

// stroke emits the region that a stroke covers, with its centre line.
func (w *walker) stroke(n *node, st *state, p path.Path) {
	s := &st.style
	pen := pen{cap: s.cap, join: s.join, miter: s.miter}
	width := s.width.px(w.metrics(s), w.view, diagonal)
	c, ok := w.colour(n, st, s.stroke, s.strokeOpacity)
	if !ok || !(width > 0 && width < maxUser) {
		return
	}
	m := st.m
	if s.fixedWidth { // SVG 2, 8.13: stroked in CSS pixels on the page
		p, m = p.Transform(path.Scale(1/mmPerPx, 1/mmPerPx).Mul(m)), path.Scale(mmPerPx, mmPerPx)
	}
	pen.half, pen.tolerance = width/2, w.tol/largestScale(m)
	lines := polylines(p, pen.tolerance)
	centre := p
	if pattern := w.dashPattern(n, s); pattern.sum > 0 {
		if lines = w.dash(n, lines, pattern); w.err != nil {
			return
		}
		centre = join(lines)
	}
	var out path.Path
	for i := range lines {
		pen.draw(&out, &lines[i])
		if w.points+len(out.Points) > maxPoints {
			w.limit(n, "the drawing has more than %d points", maxPoints)
			return
		}
	}
	w.emit(n, st, path.Shape{
		Path: out.Transform(m), Paint: c,
		Centre: centre.Transform(m), Width: width * scaleOf(m),
	})
}

// largestScale returns the factor of the direction that m stretches most.
func largestScale(m path.Matrix) float64 {
	sum := m.A*m.A + m.B*m.B + m.C*m.C + m.D*m.D
	return math.Sqrt((sum + math.Sqrt(max(0, sum*sum-4*m.Det()*m.Det()))) / 2)
}

// pen draws the region round a polyline: the union of a rectangle for each
// leg, a wedge for each join and the caps (SVG 2, 13.7). Every piece runs round
// the same way, so that under the nonzero rule nothing can cancel, however tight
// the bends; pieces that share an edge are written as one contour. A general
// offsetter needs a pass over all crossings to reach the same result.
type pen struct {
	half      float64
	tolerance float64
	cap, join string
	miter     float64

	left, right []path.Point // the two sides of the contour being drawn
}

func (k *pen) draw(out *path.Path, l *polyline) {
	k.left, k.right = k.left[:0], k.right[:0]
	n := len(l.legs)
	if n == 0 {
		k.dot(out, l.start)
		return
	}
	at := l.start
	first, last := l.legs[0], l.legs[n-1]
	if !l.closed {
		k.side(at, first.dir)
	}
	for i := range l.legs {
		g := &l.legs[i]
		if i > 0 {
			k.corner(at, &l.legs[i-1], g)
		} else if l.closed {
			k.corner(at, &last, g)
		}
		at = g.to
	}
	if l.closed {
		contour(out, k.left, nil, nil)
		contour(out, nil, k.right, nil)
		return
	}
	k.side(at, last.dir)
	k.left = k.capPoints(k.left, at, last.dir)
	contour(out, k.left, k.right, k.capPoints(nil, l.start, first.dir.Mul(-1)))
}

// side adds the points left and right of at.
func (k *pen) side(at, dir path.Point) {
	n := normal(dir).Mul(k.half)
	k.left = append(k.left, at.Add(n))
	k.right = append(k.right, at.Sub(n))
}

func normal(dir path.Point) path.Point { return path.Point{X: -dir.Y, Y: dir.X} }

// contour closes left forwards, right backwards and tail forwards.
func contour(out *path.Path, left, right, tail []path.Point) {
	start := true
	add := func(q path.Point) {
		if start {
			out.MoveTo(q)
		} else {
			out.LineTo(q)
		}
		start = false
	}
	for _, q := range left {
		add(q)
	}
	for i := len(right) - 1; i >= 0; i-- {
		add(right[i])
	}
	for _, q := range tail {
		add(q)
	}
	if !start {
		out.Close()
	}
}

// corner joins two legs at a point. A join inside a curve is round, whatever
// the pen's.
func (k *pen) corner(at path.Point, a, b *leg) {
	cross, dot := a.dir.Cross(b.dir), a.dir.Dot(b.dir)
	bisector := normal(a.dir).Add(normal(b.dir)).Mul(k.half / max(1+dot, 1e-12))
	reach := k.half * math.Sqrt(max(0, 1-dot)/max(1+dot, 1e-12)) // half·tan(turn/2)
	fits := dot > 0 && 2*reach <= min(a.length, b.length)
	if fits && bisector.Len()-k.half <= k.tolerance {
		k.left = append(k.left, at.Add(bisector))
		k.right = append(k.right, at.Sub(bisector))
		return
	}
	outer, inner, s := &k.left, &k.right, 1.0
	if cross > 0 {
		outer, inner, s = &k.right, &k.left, -1
	}
	na, nb := normal(a.dir).Mul(k.half*s), normal(b.dir).Mul(k.half*s)
	if fits {
		*inner = append(*inner, at.Sub(bisector.Mul(s)))
	} else {
		*inner = append(*inner, at.Sub(na), at, at.Sub(nb))
	}
	*outer = append(*outer, at.Add(na))
	switch {
	case b.smooth || k.join == "round":
		*outer = k.fan(*outer, at, na, nb, -s)
	case k.join != "bevel" && 2 <= k.miter*k.miter*(1+dot): // 1/cos(turn/2) within the limit
		*outer = append(*outer, at.Add(bisector.Mul(s)))
	}
	*outer = append(*outer, at.Add(nb))
}

// fan adds the points between from and to on a circle round at, without either;
// turning counter-clockwise for sign +1.
func (k *pen) fan(pts []path.Point, at, from, to path.Point, sign float64) []path.Point {
	angle := math.Atan2(sign*from.Cross(to), from.Dot(to))
	if angle < 0 {
		angle = -angle // a reversal, whose cross product may have either sign
	}
	n := k.steps(angle)
	for i := 1; i < n; i++ {
		sin, cos := math.Sincos(sign * angle * float64(i) / float64(n))
		pts = append(pts, at.Add(path.Point{
			X: float64(from.X*cos) - float64(from.Y*sin),
			Y: float64(from.X*sin) + float64(from.Y*cos),
		}))
	}
	return pts
}

// steps returns into how many chords an arc of the pen's radius is cut.
func (k *pen) steps(angle float64) int {
	step := 2 * math.Acos(max(0, 1-k.tolerance/k.half))
	return int(min(max(1, math.Ceil(angle/step)), 4096))
}

// capPoints adds the cap behind a line that ends at at in direction dir,
// counted from its left side to its right.
func (k *pen) capPoints(pts []path.Point, at, dir path.Point) []path.Point {
	n, d := normal(dir).Mul(k.half), dir.Mul(k.half)
	switch k.cap {
	case "round":
		return k.fan(pts, at, n, n.Mul(-1), -1)
	case "square":
		return append(pts, at.Add(n).Add(d), at.Sub(n).Add(d))
	}
	return pts
}

// dot draws a subpath of no length: its caps (SVG 2, 13.5.4).
func (k *pen) dot(out *path.Path, at path.Point) {
	if k.cap == "butt" {
		return
	}
	dir := path.Point{X: 1}
	k.side(at, dir)
	k.left = k.capPoints(k.left, at, dir)
	contour(out, k.left, k.right, k.capPoints(nil, at, dir.Mul(-1)))
}
