package main

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit/clock"
	"furrow/path"
	"furrow/raster/page"
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
	points        []path.Point // mm/s, s
	now, quickest path.Point
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
	top := settings.TopSpeed(b.Machine.Profile)
	rows := func(v float64) float64 { return (b.clocked.MarkMM + b.clocked.GapMM) / v }
	if g := b.Machine.Gantry; g != nil {
		r := clock.NewRows(b.program, *g)
		if r.Empty() {
			return curve{}, false
		}
		top, rows = r.TopSpeed(), r.Seconds
	}
	rest := b.clocked.Total().Seconds() - rows(now)
	at := func(v float64) path.Point { return path.Point{X: v, Y: rest + rows(v)} }
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
	case b.Machine.IsGantry():
		return "quickest"
	case v <= b.rowSpeed():
		return ""
	case v >= top:
		return "as fast as the scanner goes"
	}
	return "fastest without gaps between pulses"
}

// The pixels of a plot: of a millimetre, and of its text.
const plotPxPerMM, plotTextPx = 6.3, 22

// chart draws time against speed.
func chart(curves []curve) page.Chart {
	c := page.Chart{
		X:     page.Axis{Label: "speed of the rows, mm/s", Steps: page.Decades, Word: speedLabel},
		Y:     page.Axis{Label: "time of one part", Steps: page.Times, Word: timeLabel},
		Theme: page.Light, PxPerMM: plotPxPerMM, TextPx: plotTextPx,
		Caption: page.Caption{Name: "Time of one part against the speed of its rows"},
	}
	for _, v := range curves {
		places := []page.Place{{At: v.now, Pattern: page.Circle, Label: placeWords("as set", v.now)}}
		if v.why != "" {
			places = append(places, page.Place{At: v.quickest, Pattern: page.Triangle, Label: placeWords(v.why, v.quickest)})
		}
		c.Curves = append(c.Curves, page.Curve{Name: v.name, Points: v.points, Places: places})
	}
	return c
}

func placeWords(what string, at path.Point) string {
	return fmt.Sprintf("%s, %s mm/s", what, words.Decimal(at.X, 0))
}

func speedLabel(v float64) string { return words.Decimal(v, 4) }

// timeLabel writes a time in the unit that makes it short.
func timeLabel(seconds float64) string {
	switch {
	case seconds >= 3599:
		return words.Decimal(seconds/3600, 2) + " h"
	case seconds >= 59:
		return words.Decimal(seconds/60, 2) + " min"
	}
	return words.Decimal(seconds, 4) + " s"
}

// drawPlot draws time against speed for each machine.
func (t *comparison) drawPlot(a *app, out product.Output) error {
	var curves []curve
	for _, e := range t.Machines {
		if c, ok := e.curve(); ok {
			curves = append(curves, c)
		}
	}
	if len(curves) == 0 {
		return fault.Workf("nothing to plot: no machine marks rows")
	}
	c := chart(curves)
	if plotFormat(out.Path) == "svg" {
		return out.Write(a.stdout, c.EncodeSVG)
	}
	return out.Write(a.stdout, c.EncodePNG)
}
