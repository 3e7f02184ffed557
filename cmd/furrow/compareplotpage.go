package main

import (
	"fmt"
	"image/color"
	"io"
	"math"
	"sync"

	"furrow/cmd/furrow/internal/words"

	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"
)

// The size of a plot and of what stands on it, and its pixels an inch.
const (
	plotWide, plotHigh = 8 * vg.Inch, 5 * vg.Inch
	plotMargin         = 0.3 * vg.Inch
	plotText           = vg.Length(10)
	legendLine         = 1.6 * plotText
	plotDPI            = 160
)

// plotFace is the face of the other pictures.
var plotFace = sync.OnceValue(func() text.Handler {
	face, err := opentype.Parse(goregular.TTF)
	if err != nil {
		panic(err) // an embedded file, which every test meets
	}
	return text.Plain{Fonts: font.NewCache(font.Collection{{Font: font.Font{Typeface: "Go"}, Face: face}})}
})

// plotPage is a plot with its legend below: a line for each curve, with its name
// and its two places side by side.
type plotPage struct {
	plot    *plot.Plot
	legend  [3]plot.Legend
	columns [3]vg.Length // where each begins
	curves  int
}

func newPlotPage() *plotPage {
	p := &plotPage{plot: newPlot()}
	for i := range p.legend {
		l := plot.NewLegend()
		setFace(&l.TextStyle)
		l.Left, l.Top, l.Padding = true, true, legendLine-l.TextStyle.Height("0")
		l.ThumbnailWidth = 2.4 * plotText
		p.legend[i] = l
	}
	return p
}

// newPlot returns the axes.
func newPlot() *plot.Plot {
	p := plot.New()
	p.Title.Text = "Time of one part against the speed of its rows"
	p.Title.Padding = plotText
	p.X.Label.Text = "speed of the rows, mm/s"
	p.Y.Label.Text = "time of one part"
	p.X.Scale, p.Y.Scale = plot.LogScale{}, plot.LogScale{}
	p.X.Tick.Marker, p.Y.Tick.Marker = roundTicks{nextRound, speedLabel}, roundTicks{nextTime, timeLabel}
	p.X.Padding, p.Y.Padding = 0, 0
	for _, s := range []*text.Style{&p.Title.TextStyle, &p.X.Label.TextStyle, &p.X.Tick.Label, &p.Y.Label.TextStyle, &p.Y.Tick.Label} {
		setFace(s)
	}
	grid := plotter.NewGrid()
	grid.Horizontal.Color, grid.Vertical.Color = color.Gray{225}, color.Gray{225}
	p.Add(grid)
	return p
}

func setFace(s *text.Style) {
	s.Font, s.Handler = font.From(font.Font{Typeface: "Go"}, plotText), plotFace()
}

// add draws a curve and explains it.
func (p *plotPage) add(c curve) error {
	line, err := plotter.NewLine(c.points)
	if err != nil {
		return err
	}
	line.Width, line.Dashes = vg.Points(1.5), dashes[p.curves%len(dashes)]
	p.plot.Add(line)
	p.explain(0, c.name, line)
	if err := p.place(1, c.now, "as set", draw.RingGlyph{}, 6); err != nil { // round the other where both are in one place
		return err
	}
	if c.why == "" {
		p.legend[2].Add("")
	} else if err := p.place(2, c.quickest, c.why, draw.PyramidGlyph{}, 3); err != nil {
		return err
	}
	p.curves++
	return nil
}

// place draws one place of a curve and explains it in a column of the legend.
func (p *plotPage) place(column int, at plotter.XY, text string, shape draw.GlyphDrawer, radius vg.Length) error {
	s, err := plotter.NewScatter(plotter.XYs{at})
	if err != nil {
		return err
	}
	s.Shape, s.Radius = shape, radius
	p.plot.Add(s)
	p.explain(column, fmt.Sprintf("%s, %s mm/s", text, words.Decimal(at.X, 0)), s)
	return nil
}

func (p *plotPage) explain(column int, words string, sample plot.Thumbnailer) {
	l := &p.legend[column]
	l.Add(words, sample)
	if column+1 < len(p.columns) {
		p.columns[column+1] = max(p.columns[column+1], l.ThumbnailWidth+l.TextStyle.Width(words)+2*plotText)
	}
}

// encoder returns what writes the page.
func (p *plotPage) encoder(format string) func(io.Writer) error {
	high := plotHigh + legendLine*vg.Length(p.curves)
	var to vg.CanvasWriterTo
	if format == "svg" {
		to = vgsvg.NewWith(vgsvg.UseWH(plotWide, high), vgsvg.EmbedFonts(true))
	} else {
		to = vgimg.PngCanvas{Canvas: vgimg.NewWith(vgimg.UseWH(plotWide, high), vgimg.UseDPI(plotDPI))}
	}
	p.draw(draw.New(to))
	return func(w io.Writer) error {
		_, err := to.WriteTo(w)
		return err
	}
}

func (p *plotPage) draw(c draw.Canvas) {
	p.plot.X.Min, p.plot.X.Max = nextRound.below(p.plot.X.Min), nextRound(p.plot.X.Max)
	p.plot.Y.Min, p.plot.Y.Max = nextTime.below(p.plot.Y.Min), nextTime(p.plot.Y.Max)
	c = draw.Crop(c, plotMargin, -plotMargin, plotMargin, -plotMargin)
	legend := legendLine * vg.Length(p.curves)
	p.plot.Draw(draw.Crop(c, 0, 0, legend+plotText, 0))
	c.Max.Y = c.Min.Y + legend
	for i, l := range p.legend {
		c.Min.X += p.columns[i]
		l.Draw(c)
	}
}

// steps is a sequence of round numbers: it returns the least that is not below
// v > 0.
type steps func(v float64) float64

// below returns the greatest that is not above v > 0.
func (next steps) below(v float64) float64 {
	n := next(v / 10)
	for after := n; after <= v*(1+1e-9); after = next(n * 1.0001) {
		n = after
	}
	return n
}

// nextRound is 1, 2 and 5 times the powers of ten.
var nextRound steps = func(v float64) float64 {
	ten := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{1, 2, 5} {
		if m*ten >= v*(1-1e-9) {
			return m * ten
		}
	}
	return 10 * ten
}

// nextTime is round numbers of seconds, minutes and hours, s.
var nextTime steps = func(v float64) float64 {
	for _, unit := range []float64{1, 60} {
		if v > 5*unit && v <= 60*unit {
			for _, m := range []float64{10, 20, 30, 60} {
				if m*unit >= v*(1-1e-9) {
					return m * unit
				}
			}
		}
	}
	switch {
	case v > 3600:
		return 3600 * nextRound(v/3600)
	case v > 60:
		return 60 * nextRound(v/60)
	}
	return nextRound(v)
}

// roundTicks labels every step.
type roundTicks struct {
	next  steps
	label func(v float64) string
}

func (t roundTicks) Ticks(lo, hi float64) []plot.Tick {
	var all []plot.Tick
	for v := t.next(lo); v <= hi*1.0001; v = t.next(v * 1.0001) {
		all = append(all, plot.Tick{Value: v, Label: t.label(v)})
	}
	return all
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
