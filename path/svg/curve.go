package svg

import (
	"math"

	"furrow/path"
)

// curve is one Bézier segment or arc as a function of 0..1.
type curve struct {
	verb path.Verb
	from path.Point
	pts  []path.Point // as in path.Path
}

// at returns the place and the first two derivatives.
func (c *curve) at(t float64) (p, d, dd path.Point) {
	if c.verb == path.ArcTo {
		return arcAt(c.pts, t)
	}
	a, b := c.from, c.pts[0]
	if c.verb == path.QuadTo {
		e := c.pts[1]
		ab, be := a.Lerp(b, t), b.Lerp(e, t)
		return ab.Lerp(be, t), be.Sub(ab).Mul(2), a.Sub(b.Mul(2)).Add(e).Mul(2)
	}
	e, f := c.pts[1], c.pts[2]
	ab, be, ef := a.Lerp(b, t), b.Lerp(e, t), e.Lerp(f, t)
	abe, bef := ab.Lerp(be, t), be.Lerp(ef, t)
	return abe.Lerp(bef, t), bef.Sub(abe).Mul(3), ab.Sub(be.Mul(2)).Add(ef).Mul(6)
}

func arcAt(pts []path.Point, t float64) (p, d, dd path.Point) {
	centre, u, v, start, sweep := pts[0], pts[1], pts[2], pts[3].X, pts[3].Y
	s, c := math.Sincos(start + float64(sweep*t))
	r := u.Mul(c).Add(v.Mul(s))
	return centre.Add(r), v.Mul(c).Sub(u.Mul(s)).Mul(sweep), r.Mul(-sweep * sweep)
}

func (c *curve) end() path.Point { return c.pts[len(c.pts)-1] }

// tangents returns the directions at the two ends, zero where there are none.
// At an end where the first derivative vanishes, it is that towards the next
// control point.
func (c *curve) tangents() (in, out path.Point) {
	if c.verb == path.ArcTo {
		_, in, _ = c.at(0)
		_, out, _ = c.at(1)
		return in, out
	}
	for _, q := range c.pts {
		if in = q.Sub(c.from); in != (path.Point{}) {
			break
		}
	}
	for i := len(c.pts) - 2; i >= -1; i-- {
		q := c.from
		if i >= 0 {
			q = c.pts[i]
		}
		if out = c.end().Sub(q); out != (path.Point{}) {
			break
		}
	}
	return in, out
}

// chordsFor returns into how many chords of equal steps of the parameter a piece is cut:
// the chord error of one of length h is at most h²/8 times the second derivative, which is
// greatest at an end of a Bézier segment and all but constant on an arc.
func (c *curve) chordsFor(t0, t1, tolerance float64) float64 {
	second := 0.0
	for _, t := range [...]float64{t0, (t0 + t1) / 2, t1} {
		_, _, dd := c.at(t)
		second = max(second, dd.Len())
	}
	if k := (t1 - t0) * math.Sqrt(second/(8*tolerance)); k > 1 {
		return min(math.Ceil(k), 1<<16)
	}
	return 1
}

// frame is a place on a curve with what the curves beside it need.
type frame struct {
	at, speed, normal path.Point // speed is the derivative, normal of unit length to the left
	bend              float64    // curvature, positive to the left
}

func (c *curve) frame(t float64) frame {
	p, v, a := c.at(t)
	speed := v.Len()
	return frame{at: p, speed: v, normal: normal(v).Mul(1 / speed), bend: v.Cross(a) / (speed * speed * speed)}
}

// beside returns the place and derivative of the curve at a distance d to the
// left; ok is false where that is folded back or stands still.
func (f *frame) beside(d float64) (p, dp path.Point, ok bool) {
	k := 1 - float64(d*f.bend)
	return f.at.Add(f.normal.Mul(d)), f.speed.Mul(k), k > 0.01
}

// frames are those at the ends and quarters of a piece of a curve.
type frames [5]frame

func (c *curve) frames(t0, t1 float64) (f frames) {
	for i := range f {
		f[i] = c.frame(t0 + (t1-t0)*float64(i)/4)
	}
	return f
}

// folded reports that a curve at a distance half runs backwards somewhere.
func (f *frames) folded(half float64) bool {
	for i := range f {
		_, _, left := f[i].beside(half)
		_, _, right := f[i].beside(-half)
		if !left || !right {
			return true
		}
	}
	return false
}

// offset returns the controls of the cubic that runs beside a piece, as long in
// its parameter as length, at a distance d to its left, and whether it is good:
// nowhere folded back, and within tolerance of the true offset curve at the
// quarters. It has the true end points and derivatives, so its error shrinks
// with the fourth power of the piece (Hermite interpolation).
func (f *frames) offset(length, d, tolerance float64) (controls [2]path.Point, good bool) {
	a, da, ok0 := f[0].beside(d)
	b, db, ok1 := f[4].beside(d)
	if !ok0 || !ok1 {
		return controls, false
	}
	controls = [2]path.Point{a.Add(da.Mul(length / 3)), b.Sub(db.Mul(length / 3))}
	fitted := curve{path.CubeTo, a, []path.Point{controls[0], controls[1], b}}
	for i := 1; i < 4; i++ {
		want, _, ok := f[i].beside(d)
		got, _, _ := fitted.at(float64(i) / 4)
		if !ok || !(got.Dist(want) <= tolerance) {
			return controls, false
		}
	}
	return controls, true
}
