package page

import (
	"errors"
	"image"
	"image/draw"
	"io"
	"math"

	"github.com/tdewolff/canvas"
	"github.com/tdewolff/canvas/renderers/rasterizer"

	"furrow/path"
	"furrow/raster/pngfile"
)

// Chart is curves over two logarithmic axes, told apart by their dashes and
// explained below, a line each.
type Chart struct {
	X, Y    Axis
	Curves  []Curve
	Theme   Theme
	PxPerMM float64
	TextPx  float64 // height of text, px
	Caption Caption
}

// Curve is a line of a chart and the places on it that are worth a word. All of
// its values are above 0.
type Curve struct {
	Name   string
	Points []path.Point
	Places []Place
}

// Place is a point of a curve. The places of a number stand in one column of the
// key; one without a Label is not drawn.
type Place struct {
	At      path.Point
	Pattern Pattern // Circle or Triangle
	Label   string
}

// The size of a chart without its key, in heights of text.
const chartWide, chartHigh = 58, 32

// ErrNoCurve says that a chart has nothing to show.
var ErrNoCurve = errors.New("a chart needs a curve of two points above zero")

// chart is a Chart laid out.
type chart struct {
	sheet
	Chart
	w    int
	plot path.Rect // px
	x, y stretch
}

// EncodePNG writes the chart as a PNG that prints at true size.
func (c Chart) EncodePNG(w io.Writer) error {
	l, err := c.lay()
	if err != nil {
		return err
	}
	img := image.NewRGBA(image.Rect(0, 0, l.w, int(l.height)))
	draw.Draw(img, img.Bounds(), image.NewUniform(c.Theme.Paper), image.Point{}, draw.Src)
	l.canvas().RenderTo(rasterizer.FromImage(img, canvas.DPMM(c.PxPerMM), nil))
	return pngfile.Encode(w, img, c.PxPerMM)
}

// EncodeSVG writes the chart as an SVG of true size, its text as outlines.
func (c Chart) EncodeSVG(w io.Writer) error {
	l, err := c.lay()
	if err != nil {
		return err
	}
	return encodeSVG(w, l.canvas())
}

func (c *chart) canvas() *canvas.Canvas {
	to, ctx := c.blank(c.w)
	c.draw(ctx)
	return to
}

// lay places everything, from the top down.
func (c Chart) lay() (*chart, error) {
	x, y, err := c.reach()
	if err != nil {
		return nil, err
	}
	l := &chart{sheet: newSheet(c.PxPerMM, c.TextPx, c.Theme), Chart: c, x: x, y: y}
	margin := math.Round(c.TextPx * 1.8)
	l.w = int(math.Round(c.TextPx * chartWide))
	l.plot = path.Rect{
		Min: path.Point{X: margin + math.Ceil(l.widest(y)+l.text*0.9), Y: margin + math.Round(l.text*leading*1.3)},
		Max: path.Point{X: float64(l.w) - margin - l.text, Y: math.Round(l.text * chartHigh)},
	}
	l.layAxes(margin)
	for i, curve := range c.Curves {
		l.layCurve(i, curve)
	}
	at := l.layKey(margin, l.plot.Max.Y+math.Round(l.text*3.6)) + l.text*0.6
	for _, line := range l.captionLines(c.Caption, float64(l.w)-2*margin) {
		l.print(margin, at, line, left, c.Theme.Ink)
		at += l.text * leading
	}
	l.height = math.Ceil(at + margin - l.text*0.3)
	return l, nil
}

// reach returns the stretches of the axes that the curves need.
func (c Chart) reach() (x, y stretch, err error) {
	b := path.EmptyRect()
	for _, curve := range c.Curves {
		for _, p := range curve.Points {
			b = b.Include(p)
		}
	}
	if !(b.Min.X > 0 && b.Min.Y > 0 && b.Max.X > b.Min.X && !math.IsInf(b.Max.X, 1) && !math.IsInf(b.Max.Y, 1)) {
		return x, y, ErrNoCurve
	}
	return c.X.over(b.Min.X, b.Max.X), c.Y.over(b.Min.Y, b.Max.Y), nil
}

// widest returns the width of the widest word beside an axis, px.
func (c *chart) widest(s stretch) (w float64) {
	s.ticks(func(word string, _ float64) { w = max(w, c.width(word)) })
	return w
}

// layAxes draws the axes with a thin line across the plot at each tick. A word
// without room beside the one before is left out.
func (c *chart) layAxes(margin float64) {
	r, line := c.plot, c.line
	free := math.Inf(-1)
	c.x.ticks(func(word string, at float64) {
		x := math.Round(r.Min.X + at*r.W())
		c.fill(x, r.Min.Y, line, r.H(), c.Theme.Table)
		c.fill(x, r.Max.Y, line, c.text*0.55, c.Theme.Ink)
		if half := c.width(word) / 2; x-half >= free {
			c.print(x+line/2, r.Max.Y+c.text*below, word, centre, c.Theme.Ink)
			free = x + half + c.text*0.5
		}
	})
	free = math.Inf(1)
	c.y.ticks(func(word string, at float64) {
		y := math.Round(r.Max.Y - at*r.H())
		c.fill(r.Min.X, y, r.W(), line, c.Theme.Table)
		c.fill(r.Min.X-c.text*0.55, y, c.text*0.55, line, c.Theme.Ink)
		if y+c.text*0.7 <= free {
			c.print(r.Min.X-c.text*0.8, y-c.text*0.64, word, right, c.Theme.Ink)
			free = y - c.text*0.7
		}
	})
	c.fill(r.Min.X, r.Max.Y, r.W()+line, line, c.Theme.Ink)
	c.fill(r.Min.X, r.Min.Y, line, r.H(), c.Theme.Ink)
	c.print(margin, r.Min.Y-c.text*2.1, c.Y.Label, left, c.Theme.Quiet)
	c.print(r.Max.X, r.Max.Y+c.text*(below+leading), c.X.Label, right, c.Theme.Quiet)
}
