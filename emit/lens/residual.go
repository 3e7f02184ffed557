package lens

import (
	"math"

	"furrow/path"
)

// Residual says how well each measured point agrees with the others. The map
// goes through all points, so that it is each point's distance from the spline
// through the others of its row, or of its column, whichever is nearer: what
// a mistake in measuring sticks out of. With exact measurements it is somewhat
// more than the error between the points (TestSyntheticFields prints both).
type Residual struct {
	RMSMM   float64
	WorstMM float64
	Worst   Sample
}

// Residual takes every point that has others on both sides in a row or column
// of five or more.
func (c *Correction) Residual() Residual {
	var r Residual
	n, sum := 0, 0.0
	nx := len(c.forward.x)
	for k, s := range c.samples {
		d, ok := min2(
			c.without(c.forward.x, k-k%nx, 1, k%nx),
			c.without(c.forward.y, k%nx, nx, k/nx))
		if !ok {
			continue
		}
		n++
		sum += d * d
		if d >= r.WorstMM {
			r.WorstMM, r.Worst = d, s
		}
	}
	if n > 0 {
		r.RMSMM = math.Sqrt(sum / float64(n))
	}
	return r
}

// without returns the distance of point i of a line from the spline through
// the others, or -1 where that is no interpolation.
func (c *Correction) without(at []float64, first, stride, i int) float64 {
	if len(at) < 5 || i == 0 || i == len(at)-1 {
		return -1
	}
	var ts []float64
	var values []path.Point
	for k, t := range at {
		if k != i {
			ts, values = append(ts, t), append(values, c.samples[first+k*stride].Measured)
		}
	}
	s, err := lineSpline(ts, values)
	if err != nil {
		return -1
	}
	return s.at(at[i]).Dist(c.samples[first+i*stride].Measured)
}

// min2 returns the lesser of those that are not negative.
func min2(a, b float64) (float64, bool) {
	switch {
	case a < 0:
		return b, b >= 0
	case b < 0:
		return a, true
	}
	return min(a, b), true
}
