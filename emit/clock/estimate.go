package clock

import (
	"math"

	"furrow/path"
	"furrow/path/route"
)

// RowSeconds estimates the time of a set of rows on the machine of cost, each
// marked after the one before, there and back or, with OneWay, in one direction,
// as if the rows lay along dir (of unit length). It is for comparing directions
// and machines: a sequence may be better, and corners are not rounded.
func RowSeconds(rows *path.RowSet, cost route.Cost, speed float64, dir path.Point) float64 {
	e := rowEstimate{rows: rows, cost: cost, speed: speed, dir: dir}
	if g, ok := cost.(*gantryCost); ok {
		e.speed = min(speed, g.gantry.MaxSpeed(dir))
	}
	back := false
	for k := range rows.NumRows() {
		if len(rows.Row(k)) == 0 {
			continue
		}
		e.row(k, back)
		back = !back && !rows.OneWay
	}
	if g, ok := cost.(*gantryCost); ok && e.begun { // the first run-up and the last run-out
		e.seconds += 2 * g.overtravel(dir, e.speed)
	}
	return e.seconds
}

type rowEstimate struct {
	rows    *path.RowSet
	cost    route.Cost
	speed   float64
	dir     path.Point
	seconds float64
	last    route.End
	begun   bool
}

// row adds the sweeps of row k.
func (e *rowEstimate) row(k int, back bool) {
	spans := e.rows.Row(k)
	for i := 0; i < len(spans); {
		n := i + 1
		for n < len(spans) && e.swept(spans, n, back) {
			n++
		}
		x0, x1 := spans[i].X0, spans[n-1].X1
		for k := i + 1; k < n; k++ {
			e.seconds -= e.saved(spans[k].X0 - spans[k-1].X1)
		}
		if back {
			x0, x1 = spans[len(spans)-1-i].X1, spans[len(spans)-n].X0
		}
		e.sweep(k, x0, x1)
		i = n
	}
}

// saved returns by how much a gap in a row is crossed sooner than at the marking speed.
func (e *rowEstimate) saved(gap float64) float64 {
	if g, ok := e.cost.(*gantryCost); ok {
		return gap/e.speed - g.gapSeconds(e.dir, gap, e.speed)
	}
	return 0
}

// swept reports that the gap before span n of a row is swept, counted from the
// end when the row is marked backwards.
func (e *rowEstimate) swept(spans []path.Span, n int, back bool) bool {
	gap := spans[n].X0 - spans[n-1].X1
	if back {
		gap = spans[len(spans)-n].X0 - spans[len(spans)-1-n].X1
	}
	if c, ok := e.cost.(route.RowCost); ok {
		return c.SweepAlong(e.dir, gap, e.rows.Setting)
	}
	return e.cost.Sweep(gap, e.rows.Setting)
}

func (e *rowEstimate) sweep(k int, x0, x1 float64) {
	dir := e.dir
	if x1 < x0 {
		dir = dir.Mul(-1)
	}
	in := route.End{At: e.at(k, x0), Dir: dir, Setting: uint16(e.rows.Setting)}
	if e.begun {
		e.seconds += e.cost.Travel(e.last, in)
	}
	e.seconds += math.Abs(x1-x0) / e.speed
	e.last, e.begun = in, true
	e.last.At = e.at(k, x1)
}

func (e *rowEstimate) at(k int, x float64) path.Point {
	y := float64(k) * e.rows.Spacing
	return path.Point{
		X: float64(x*e.dir.X) - float64(y*e.dir.Y),
		Y: float64(x*e.dir.Y) + float64(y*e.dir.X),
	}
}
