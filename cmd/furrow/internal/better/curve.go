package better

import (
	"furrow/cmd/furrow/internal/settings"
	"furrow/emit/clock"
	"furrow/path"
	"math"
)

// Curve is the time of one part against the speed of its rows.
type Curve struct {
	Name          string
	Points        []path.Point // mm/s, s
	Now, Quickest path.Point
	Why           string // what makes the quickest so; none where it is no quicker
}

const curvePoints = 120

// Curve returns the time of a part at speeds from a quarter of its own up to
// what the machine can do. Only the rows' time follows the speed.
func (e *Entry) Curve() (Curve, bool) {
	b := done{*e.Work}
	now := b.rowSpeed()
	if now == 0 {
		return Curve{}, false
	}
	top := settings.TopSpeed(b.Machine.Profile)
	rows := func(v float64) float64 { return (b.Clock.MarkMM + b.Clock.GapMM) / v }
	if g := b.Machine.Gantry; g != nil {
		r := clock.NewRows(b.Program, *g)
		if r.Empty() {
			return Curve{}, false
		}
		top, rows = r.TopSpeed(), r.Seconds
	}
	rest := b.Clock.Total().Seconds() - rows(now)
	at := func(v float64) path.Point { return path.Point{X: v, Y: rest + rows(v)} }
	c := Curve{Name: e.Machine, Now: at(now), Quickest: at(min(b.quickestSpeed(), top)), Why: b.quickestWords(top)}
	lo := now / 4
	for i := range curvePoints + 1 {
		c.Points = append(c.Points, at(lo*math.Pow(top/lo, float64(i)/curvePoints)))
	}
	return c, true
}

// quickestWords says what the quickest speed of rows is, of a machine that can do
// top.
func (b done) quickestWords(top float64) string {
	v := b.quickestSpeed()
	switch {
	case b.Machine.IsGantry():
		return "quickest"
	case v <= b.rowSpeed():
		return ""
	case v >= top:
		return "as fast as the scanner goes"
	}
	return "fastest without gaps between pulses"
}
