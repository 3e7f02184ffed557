package main

import (
	"math"
	"path/filepath"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/settings"
	"furrow/emit/clock"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
)

// plotFormat returns the format of a plot's file, or "".
func plotFormat(name string) string {
	switch ext := strings.ToLower(filepath.Ext(name)); ext {
	case ".png", ".svg":
		return ext[1:]
	}
	return ""
}

// curve is the time of one part against the speed of its rows.
type curve struct {
	name          string
	points        plotter.XYs // mm/s, s
	now, quickest plotter.XY
	why           string // what makes the quickest so; none where it is no quicker
}

const curvePoints = 120

// curve returns the time of a part at speeds from a quarter of its own up to
// what the machine can do. Only the rows' time follows the speed.
func (e *entry) curve() (curve, bool) {
	b := e.b
	now := b.rowSpeed()
	if now == 0 {
		return curve{}, false
	}
	top := settings.TopSpeed(b.machine.Profile)
	rows := func(v float64) float64 { return (b.clocked.MarkMM + b.clocked.GapMM) / v }
	if g := b.machine.Gantry; g != nil {
		r := clock.NewRows(b.program, *g)
		if r.Empty() {
			return curve{}, false
		}
		top, rows = r.TopSpeed(), r.Seconds
	}
	rest := b.clocked.Total().Seconds() - rows(now)
	at := func(v float64) plotter.XY { return plotter.XY{X: v, Y: rest + rows(v)} }
	c := curve{name: e.Machine, now: at(now), quickest: at(min(b.quickestSpeed(), top)), why: b.quickestWords(top)}
	lo := now / 4
	for i := range curvePoints + 1 {
		c.points = append(c.points, at(lo*math.Pow(top/lo, float64(i)/curvePoints)))
	}
	return c, true
}

// quickestWords says what the quickest speed of rows is, of a machine that can do
// top.
func (b *build) quickestWords(top float64) string {
	v := b.quickestSpeed()
	switch {
	case b.machine.Gantry != nil:
		return "quickest"
	case v <= b.rowSpeed():
		return ""
	case v >= top:
		return "as fast as the scanner goes"
	}
	return "fastest without gaps between pulses"
}

// dashes tells curves apart without colour.
var dashes = [][]vg.Length{nil, {vg.Points(6), vg.Points(3)}, {vg.Points(1.5), vg.Points(3)},
	{vg.Points(8), vg.Points(3), vg.Points(1.5), vg.Points(3)}, {vg.Points(14), vg.Points(4)}}

// drawPlot draws time against speed for each machine.
func (t *comparison) drawPlot(a *app, out product.Output) error {
	p := newPlotPage()
	for _, e := range t.Machines {
		c, ok := e.curve()
		if !ok {
			continue
		}
		if err := p.add(c); err != nil {
			return err
		}
	}
	if p.curves == 0 {
		return fault.Workf("nothing to plot: no machine marks rows")
	}
	return out.Write(a.stdout, p.encoder(plotFormat(out.Path)))
}
