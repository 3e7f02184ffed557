package emit

import (
	"math"

	"furrow/emit/machine"
	"furrow/path"
)

// arcFitter finds arcs that take the place of chords.
type arcFitter struct {
	near float64 // how far an arc may be from its chords, mm
}

// newArcFitter keeps arcs as near to their chords as the chords are to the curve
// that they stand for, and so within twice that of the curve. Half a step of the
// grid is for its rounding.
func newArcFitter(tolerance float64, grid machine.Grid) arcFitter {
	return arcFitter{tolerance + grid.StepMM()/2}
}

const (
	// arcEvenMM is how far the ends may differ in their distance from the
	// centre (RS274/NGC, section 3.5.3).
	arcEvenMM = 0.002
	// maxRadiusMM keeps I and J within reason; flatter arcs are chords.
	maxRadiusMM = 2000
)

// arcChords is the least number of chords that an arc replaces.
const arcChords = 3

// maxSweep is the most that one arc turns: half a circle, short of where centre
// and turn begin to be doubtful.
const maxSweep = 0.95 * math.Pi

// fit returns how many chords at the start of pts one arc replaces, its centre
// and turn; 0 where it would be fewer than arcChords. The number of chords is
// doubled while an arc fits, then narrowed down.
func (f arcFitter) fit(pts []path.Point) (n int, centre path.Point, turn Turn) {
	bad := len(pts)
	for size := arcChords; size < bad; {
		if c, t, ok := f.through(pts[:size+1]); ok {
			n, centre, turn = size, c, t
		} else {
			bad = size
		}
		if size = 2 * n; size >= bad {
			size = (n + bad) / 2
		}
		if size <= n {
			break
		}
	}
	return n, centre, turn
}

// through returns the arc through the first, the middle and the last of pts
// if all lie on it, in sequence.
func (f arcFitter) through(pts []path.Point) (c path.Point, turn Turn, ok bool) {
	first, last := pts[0], pts[len(pts)-1]
	c, ok = circumcentre(first, pts[len(pts)/2], last)
	r := c.Dist(first)
	if !ok || r > maxRadiusMM {
		return c, 0, false
	}
	turn = CounterClockwise
	if pts[1].Sub(first).Cross(pts[2].Sub(first)) < 0 {
		turn = Clockwise
	}
	sweep := 0.0
	for i := 1; i < len(pts); i++ {
		step, fits := f.step(pts[i-1], pts[i], c, r, turn)
		if sweep += step; !fits || sweep > maxSweep {
			return c, turn, false
		}
	}
	return c, turn, true
}

// step returns the angle of one chord, and whether it lies near the circle
// and goes the right way.
func (f arcFitter) step(a, b, c path.Point, r float64, turn Turn) (angle float64, ok bool) {
	u, w := a.Sub(c), b.Sub(c)
	angle = math.Atan2(u.Cross(w), u.Dot(w)) * float64(turn)
	bulge := float64(r * (1 - math.Cos(angle/2)))
	return angle, angle > 0 && bulge+math.Abs(w.Len()-r) <= f.near
}

// circumcentre returns the centre of the circle through three points, unless
// they lie on a line.
func circumcentre(a, b, c path.Point) (path.Point, bool) {
	u, v := b.Sub(a), c.Sub(a)
	d := 2 * u.Cross(v)
	if math.Abs(d) < 1e-9 {
		return path.Point{}, false
	}
	uu, vv := u.Dot(u), v.Dot(v)
	return a.Add(path.Point{
		X: (float64(v.Y*uu) - float64(u.Y*vv)) / d,
		Y: (float64(u.X*vv) - float64(v.X*uu)) / d,
	}), true
}
