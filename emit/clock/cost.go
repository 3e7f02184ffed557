package clock

import (
	"math"

	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/route"
)

// Cost returns what beam-off movement costs on the machine, in seconds, for a
// program of these settings.
func Cost(p machine.Profile, settings []path.Setting) route.Cost {
	switch {
	case p.IsGantry():
		return gantryCost{*p.Gantry, settings}
	case p.IsGalvo():
		return newGalvoCost(p, settings)
	}
	return route.Length{}
}

// gantryCost times travel from the end of a run-out to the start of the next
// run-up.
type gantryCost struct {
	gantry   machine.Gantry
	settings []path.Setting
}

// Rest returns where the head stands after the run-out of a row, or at the end
// of an outline.
func (c gantryCost) Rest(e route.End) path.Point {
	if e.Kind != path.SpanStroke || int(e.Setting) >= len(c.settings) || e.Dir == (path.Point{}) {
		return e.At
	}
	return e.At.Add(e.Dir.Mul(c.gantry.Overtravel(e.Dir, c.settings[e.Setting].SpeedMMPerS)))
}

// Travel returns the seconds of a travel move from rest to rest.
func (c gantryCost) Travel(from, to route.End) float64 {
	back := to
	back.Dir = to.Dir.Mul(-1)
	return c.rapid(c.Rest(back).Sub(c.Rest(from)))
}

func (c gantryCost) rapid(d path.Point) float64 {
	length := d.Len()
	if length == 0 {
		return 0
	}
	dir := d.Mul(1 / length)
	g := &c.gantry
	return restToRest(length, min(g.RapidMMPerS, g.MaxSpeed(dir)), g.Accel(dir), g.Jerk(dir))
}

// Least returns the seconds of a travel of mm along the diagonal, where both
// axes help most.
func (c gantryCost) Least(mm float64) float64 {
	both := func(limit [2]float64) float64 { return math.Hypot(limit[0], limit[1]) }
	g := &c.gantry
	return restToRest(mm, min(g.RapidMMPerS, both(g.MaxSpeedMMPerS)), both(g.AccelMMPerS2), both(g.JerkMMPerS3))
}

// restToRest returns the seconds of a move from rest to rest.
func restToRest(length, speed, accel, jerk float64) float64 {
	switch {
	case length == 0:
		return 0
	case jerk > 0:
		return newDoubleS(length, 0, 0, speed, accel, jerk).seconds()
	case length*accel < speed*speed:
		return 2 * math.Sqrt(length/accel)
	}
	return length/speed + speed/accel
}

// Sweep is SweepAlong for the weaker axis, which needs the longer overtravel.
func (c gantryCost) Sweep(gap float64, setting int) bool {
	if g := c.gantry; g.AccelMMPerS2[0] > g.AccelMMPerS2[1] {
		return c.SweepAlong(path.Point{Y: 1}, gap, setting)
	}
	return c.SweepAlong(path.Point{X: 1}, gap, setting)
}

// SweepAlong is Sweep for a row along dir. In a gap shorter than run-out and
// run-up together the head would stop, go back and start again. In a longer one
// it runs on between them at travel speed, which is quicker than crossing all of
// it at marking speed unless the travel speed is no higher.
func (c gantryCost) SweepAlong(dir path.Point, gap float64, setting int) bool {
	g := &c.gantry
	v := c.settings[setting].SpeedMMPerS
	return gap <= 2*g.Overtravel(dir, v) || min(g.RapidMMPerS, g.MaxSpeed(dir)) <= v
}

// overtravel returns the seconds of a run-up along dir to speed v, or of a
// run-out from it.
func (c gantryCost) overtravel(dir path.Point, v float64) float64 {
	g := &c.gantry
	r := newRamp(0, v, g.Accel(dir), g.Jerk(dir))
	return r.t + max(0, g.Overtravel(dir, v)-r.length)/v
}
