package main

import (
	"fmt"
	"image/color"
	"io"
	"math"
	"path/filepath"
	"strings"

	"furrow/emit/clock"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
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
	points        plotter.XYs
	now, quickest plotter.XY
	least         bool // the quickest is a minimum
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
	top := topSpeed(b.machine.Profile)
	rows := func(v float64) float64 { return (b.clocked.MarkMM + b.clocked.GapMM) / v }
	if g := b.machine.Gantry; g != nil {
		r := clock.NewRows(b.program, *g)
		if r.Empty() {
			return curve{}, false
		}
		top, rows = r.TopSpeed(), r.Seconds
	}
	rest := b.clocked.Total().Seconds() - rows(now)
	at := func(v float64) plotter.XY { return plotter.XY{X: v, Y: (rest + rows(v)) / 60} }
	c := curve{name: e.Machine, now: at(now), quickest: at(min(b.quickestSpeed(), top)), least: b.machine.Gantry != nil}
	lo := now / 4
	for i := range curvePoints + 1 {
		c.points = append(c.points, at(lo*math.Pow(top/lo, float64(i)/curvePoints)))
	}
	return c, true
}

// dashes tells curves apart without colour.
var dashes = [][]vg.Length{nil, {vg.Points(6), vg.Points(3)}, {vg.Points(1.5), vg.Points(3)},
	{vg.Points(8), vg.Points(3), vg.Points(1.5), vg.Points(3)}, {vg.Points(14), vg.Points(4)}}

// drawPlot draws time against speed for each machine.
func (t *comparison) drawPlot(a *app, out output) error {
	p := newPlot()
	n := 0
	for _, e := range t.Machines {
		c, ok := e.curve()
		if !ok {
			continue
		}
		if err := c.add(p, dashes[n%len(dashes)]); err != nil {
			return err
		}
		n++
	}
	if n == 0 {
		return workf("nothing to plot: no machine marks rows")
	}
	for _, axis := range []*plot.Axis{&p.X, &p.Y} {
		axis.Min, axis.Max = roundDown(axis.Min), roundUp(axis.Max)
	}
	w, err := p.WriterTo(8*vg.Inch, 5*vg.Inch, plotFormat(out.path))
	if err != nil {
		return err
	}
	return out.write(a, func(dst io.Writer) error {
		_, err := w.WriteTo(dst)
		return err
	})
}

// newPlot returns the axes.
func newPlot() *plot.Plot {
	p := plot.New()
	p.Title.Text = "Time of one part against the speed of its rows"
	p.X.Label.Text = "speed of the rows, mm/s"
	p.Y.Label.Text = "time of one part, min"
	p.X.Scale, p.Y.Scale = plot.LogScale{}, plot.LogScale{}
	p.X.Tick.Marker, p.Y.Tick.Marker = roundTicks{}, roundTicks{}
	p.X.Padding, p.Y.Padding = 0, 0
	p.Legend.Top, p.Legend.Padding = true, vg.Points(2)
	grid := plotter.NewGrid()
	grid.Horizontal.Color, grid.Vertical.Color = color.Gray{225}, color.Gray{225}
	p.Add(grid)
	return p
}

func (c *curve) add(p *plot.Plot, dash []vg.Length) error {
	line, err := plotter.NewLine(c.points)
	if err != nil {
		return err
	}
	line.Width, line.Dashes = vg.Points(1.5), dash
	p.Add(line)
	p.Legend.Add(c.name, line)
	now, err := c.glyph(c.now, draw.RingGlyph{})
	if err != nil {
		return err
	}
	best, err := c.glyph(c.quickest, draw.PyramidGlyph{})
	if err != nil {
		return err
	}
	p.Add(now, best)
	p.Legend.Add(fmt.Sprintf("as set, %s mm/s", decimal(c.now.X, 0)), now)
	words := "quickest"
	if !c.least {
		words = "as far as pulses overlap"
	}
	p.Legend.Add(fmt.Sprintf("%s, %s mm/s", words, decimal(c.quickest.X, 0)), best)
	return nil
}

func (c *curve) glyph(at plotter.XY, shape draw.GlyphDrawer) (*plotter.Scatter, error) {
	s, err := plotter.NewScatter(plotter.XYs{at})
	if err != nil {
		return nil, err
	}
	s.Shape, s.Radius = shape, vg.Points(3)
	if _, ring := shape.(draw.RingGlyph); ring { // round the other where both are in one place
		s.Radius = vg.Points(6)
	}
	return s, nil
}

// roundTicks labels 1, 2 and 5 times the powers of ten.
type roundTicks struct{}

func (roundTicks) Ticks(lo, hi float64) []plot.Tick {
	var all []plot.Tick
	for v := roundDown(lo); v <= hi*1.0001; v = roundUp(v * 1.0001) {
		if v >= lo*0.9999 {
			all = append(all, plot.Tick{Value: v, Label: decimal(v, 4)})
		}
	}
	return all
}

// roundDown returns the greatest of 1, 2 and 5 times a power of ten up to v > 0.
func roundDown(v float64) float64 {
	ten := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{10, 5, 2} {
		if m*ten <= v*(1+1e-9) {
			return m * ten
		}
	}
	return ten
}

// roundUp returns the least of 1, 2 and 5 times a power of ten from v > 0 up.
func roundUp(v float64) float64 {
	ten := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{1, 2, 5} {
		if m*ten >= v*(1-1e-9) {
			return m * ten
		}
	}
	return 10 * ten
}
