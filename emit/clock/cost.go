package clock

import (
	"math"

	"furrow/emit"
	"furrow/path"
	"furrow/path/route"
)

// Cost returns what beam-off movement costs on the machine, in seconds, for a
// program of these settings.
func Cost(p emit.Profile, settings []path.Setting) route.Cost {
	switch {
	case p.Kind == emit.KindGantry && p.Gantry != nil:
		return gantryCost{*p.Gantry, settings}
	case p.Kind == emit.KindGalvo && p.Galvo != nil:
		return newGalvoCost(p, settings)
	}
	return route.Length{}
}

// gantryCost times travel from the end of a run-out to the start of the next
// run-up.
type gantryCost struct {
	gantry   emit.Gantry
	settings []path.Setting
}

// Travel returns the seconds of a travel move from rest to rest.
func (c gantryCost) Travel(from, to route.End) float64 {
	return c.rapid(to.At.Sub(from.At))
}

func (c gantryCost) rapid(d path.Point) float64 {
	length := d.Len()
	if length == 0 {
		return 0
	}
	dir := d.Mul(1 / length)
	return restToRest(length, min(c.gantry.RapidMMPerS, c.gantry.MaxSpeed(dir)), c.gantry.Accel(dir))
}

// restToRest returns the seconds of a trapezoid, or of a triangle where the
// greatest speed is not reached.
func restToRest(length, speed, accel float64) float64 {
	if length*accel < speed*speed {
		return 2 * math.Sqrt(length/accel)
	}
	return length/speed + speed/accel
}

// Sweep compares crossing the gap at marking speed with a run-out, a travel
// move between the ends of the overtravel and a run-up. A row's direction is
// not known here, so that the weaker axis is taken: see SweepAlong.
func (c gantryCost) Sweep(gap float64, setting int) bool {
	g := c.gantry
	if g.AccelMMPerS2[0] < g.AccelMMPerS2[1] {
		return c.SweepAlong(path.Point{X: 1}, gap, setting)
	}
	return c.SweepAlong(path.Point{Y: 1}, gap, setting)
}

// SweepAlong is Sweep for a row along dir.
func (c gantryCost) SweepAlong(dir path.Point, gap float64, setting int) bool {
	v := min(c.settings[setting].SpeedMMPerS, c.gantry.MaxSpeed(dir))
	run := c.gantry.RunUp(dir, v)
	stop := overtravelSeconds(run, v, c.gantry.Accel(dir))
	return gap/v <= 2*stop+c.rapid(dir.Mul(math.Abs(gap-2*run)))
}

// overtravelSeconds returns the time of a run-up of length run to speed v.
func overtravelSeconds(run, v, accel float64) float64 {
	ramp := v * v / (2 * accel)
	return v/accel + max(0, run-ramp)/v
}
