package clock

import (
	"math"

	"furrow/emit/machine"
	"furrow/path"
)

// Rows is the straight runs over the rows of a program on a gantry, added up by
// direction: their time at any speed needs no more. What lies between them is
// left out; travel, steps and outlines do not depend on the rows' speed but for
// the few millimetres by which run-out and run-up grow.
type Rows struct {
	cost *gantryCost
	sums []sweepTotal
}

// sweepTotal is the sweeps along one direction.
type sweepTotal struct {
	dir    path.Point
	n      float64
	length float64 // first span to last, mm
}

// NewRows collects the sweeps of a program for a gantry. Which gaps are swept is
// left as it is.
func NewRows(prog path.Program, g machine.Gantry) Rows {
	return Rows{newGantryCost(machine.Profile{Gantry: &g}, prog.Settings), sweepTotals(prog)}
}

// Empty reports that there are no rows.
func (r Rows) Empty() bool { return len(r.sums) == 0 }

// Seconds returns how long the rows take at a speed, mm/s, with run-up and
// run-out. Where an axis does not reach the speed, its own counts.
func (r Rows) Seconds(mmPerS float64) float64 {
	sum := 0.0
	for _, t := range r.sums {
		v := min(mmPerS, r.cost.gantry.MaxSpeed(t.dir))
		sum += t.length/v + 2*t.n*r.cost.overtravel(t.dir, v)
	}
	return sum
}

// TopSpeed returns the greatest speed that all rows reach, mm/s.
func (r Rows) TopSpeed() float64 {
	top := math.Inf(1)
	for _, t := range r.sums {
		top = min(top, r.cost.gantry.MaxSpeed(t.dir))
	}
	return top
}

// Quickest returns the speed from lo to hi, mm/s, at which the rows take the
// least time. Below it marking takes longer, above it the run-up does: for rows
// of one width w on axes of acceleration a it is √((w + 2·margin)·a/2). The time
// is convex in the speed, so that there is one minimum.
func (r Rows) Quickest(lo, hi float64) float64 { return leastAt(lo, hi, r.Seconds) }

// sweepTotals adds up the sweeps by direction, to a degree.
func sweepTotals(prog path.Program) []sweepTotal {
	sums := map[int]*sweepTotal{}
	var sequence []*sweepTotal
	for i := 0; i < len(prog.Strokes); i++ {
		s, first := prog.Strokes[i], i
		if s.Kind != path.SpanStroke || s.Len < 2 {
			continue
		}
		for s.Sweep > 0 && i+1 < len(prog.Strokes) && prog.Strokes[i+1].Sweep == s.Sweep {
			i++
		}
		way := prog.PointsOf(i)[1].Sub(prog.PointsOf(first)[0])
		length := way.Len()
		if length == 0 {
			continue
		}
		key := int(math.Round(180+180/math.Pi*math.Atan2(way.Y, way.X))) % 180
		if sums[key] == nil {
			sums[key] = &sweepTotal{dir: way.Mul(1 / length)}
			sequence = append(sequence, sums[key])
		}
		sums[key].n++
		sums[key].length += length
	}
	var out []sweepTotal
	for _, t := range sequence {
		out = append(out, *t)
	}
	return out
}

// leastAt returns where from lo to hi a function that falls and then rises is
// least, by golden sections.
func leastAt(lo, hi float64, f func(float64) float64) float64 {
	const golden = 0.6180339887498949
	a, b := hi-golden*(hi-lo), lo+golden*(hi-lo)
	fa, fb := f(a), f(b)
	for range 60 {
		if fa < fb {
			hi, b, fb = b, a, fa
			a = hi - golden*(hi-lo)
			fa = f(a)
		} else {
			lo, a, fa = a, b, fb
			b = lo + golden*(hi-lo)
			fb = f(b)
		}
	}
	return (lo + hi) / 2
}
