package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"furrow/cmd/furrow/internal/better"
	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/words"
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

// The pixels of a plot: of a millimetre, and of its text.
const plotPxPerMM, plotTextPx = 6.3, 22

// chart draws time against speed.
func chart(curves []better.Curve) page.Chart {
	c := page.Chart{
		X:     page.Axis{Label: "speed of the rows, mm/s", Steps: page.Decades, Word: speedLabel},
		Y:     page.Axis{Label: "time of one part", Steps: page.Times, Word: timeLabel},
		Theme: page.Light, PxPerMM: plotPxPerMM, TextPx: plotTextPx,
		Caption: page.Caption{Name: "Time of one part against the speed of its rows"},
	}
	for _, v := range curves {
		places := []page.Place{{At: v.Now, Pattern: page.Circle, Label: placeWords("as set", v.Now)}}
		if v.Why != "" {
			places = append(places, page.Place{At: v.Quickest, Pattern: page.Triangle,
				Label: placeWords(v.Why, v.Quickest)})
		}
		c.Curves = append(c.Curves, page.Curve{Name: v.Name, Points: v.Points, Places: places})
	}
	return c
}

func placeWords(what string, at path.Point) string {
	return fmt.Sprintf("%s, %s mm/s", what, words.Number(at.X, 0))
}

func speedLabel(v float64) string { return words.Number(v, 4) }

// timeLabel writes a time in the unit that makes it short.
func timeLabel(seconds float64) string {
	switch {
	case seconds >= 3599:
		return words.Number(seconds/3600, 2) + " h"
	case seconds >= 59:
		return words.Number(seconds/60, 2) + " min"
	}
	return words.Number(seconds, 4) + " s"
}

// drawPlot draws time against speed for each machine.
func (t *comparison) drawPlot(a *app, out product.Output) error {
	var curves []better.Curve
	for _, e := range t.Machines {
		if c, ok := e.Curve(); ok {
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
