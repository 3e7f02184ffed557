// Package density shows what a path.Program will do, as a picture: how densely
// it marks, the dose it lays down, how the part will look, when each place is
// marked, where the beam moves while it is off, the marks themselves, and how warm
// each place gets.
//
// Marks are laid over the pixels with exact areas (package grid), so that the
// pictures add up: density times area, summed, is the marked length, and dose
// times area the energy. A picture of 2,000 x 3,000 pixels from a million marks
// takes 0.25 to 0.4 s on one core, 0.5 to 0.7 s where the marks are slanted, most
// of it for the PNG, and 84 MB (BenchmarkPicture).
package density

import (
	"cmp"
	"fmt"
	"image"
	"image/color"
	"math"
	"slices"
	"strconv"

	"furrow/path"
	"furrow/raster/grid"
	"furrow/raster/page"
)

// drawing is a picture in the making.
type drawing struct {
	prog path.Program
	o    Options
	g    grid.Grid
	plot *image.RGBA
	spec page.Spec

	spacings [][directions + 1]float64 // see rowSpacings
	total    float64                   // time of all strokes, s; set where times count
}

// Picture returns what o asks to show of the program, as a page. The program is
// not changed.
func Picture(prog path.Program, o Options) (*page.Page, error) {
	d, err := newDrawing(prog, o)
	if err != nil {
		return nil, err
	}
	if err := d.show(); err != nil {
		return nil, err
	}
	if err := d.insets(); err != nil {
		return nil, err
	}
	return page.New(d.spec), nil
}

// show draws what is asked for.
func (d *drawing) show() error {
	switch d.o.Show {
	case ShowDensity, ShowDose:
		return d.laid()
	case ShowFinish:
		d.finish()
	case ShowSequence:
		d.sequence()
	case ShowTravel:
		d.travel()
	case ShowRows:
		d.rows()
	case ShowHeat:
		d.heat()
	}
	return nil
}

func newDrawing(prog path.Program, o Options) (*drawing, error) {
	o, err := o.complete(prog)
	if err != nil {
		return nil, err
	}
	g, err := o.grid(o.view(prog.Bounds()))
	if err != nil {
		return nil, err
	}
	if o.Show != ShowTravel && o.Show != ShowHeat && !anyMeets(prog, g.Rect().Grow(o.MarkWidthMM)) {
		b := prog.Bounds()
		return nil, fmt.Errorf("nothing is marked in the window: the marks lie between X %.4g, Y %.4g and X %.4g, Y "+
			"%.4g mm",
			b.Min.X, b.Min.Y, b.Max.X, b.Max.Y)
	}
	d := &drawing{prog: prog, o: o, g: g, plot: o.ground(g)}
	d.spec = page.Spec{
		Plot: d.plot, Grid: g, Theme: o.theme(), TextPx: o.textPx(g), Inches: o.Inches,
		Frames: o.frames(), Rings: o.Rings, Caption: o.Caption,
	}
	return d, nil
}

// under keeps the plot as it is now for vector output, which draws the rest as
// lines.
func (d *drawing) under() {
	under := *d.plot
	under.Pix = slices.Clone(d.plot.Pix)
	d.spec.Under = &under
}

func (d *drawing) key(p page.Pattern, c color.RGBA, label string) {
	k := page.Key{Pattern: p, Colour: c, Label: label}
	if !slices.Contains(d.spec.Keys, k) {
		d.spec.Keys = append(d.spec.Keys, k)
	}
}

// frames names the places round the work.
func (o Options) frames() (f []page.Frame) {
	if given(o.Bed) && !o.Inset {
		f = append(f, page.Frame{Rect: o.Bed, Pattern: page.Solid, Label: cmp.Or(o.BedName, "bed") +
			" " + o.size(o.Bed)})
	}
	if given(o.Blank) {
		f = append(f, page.Frame{Rect: o.Blank, Round: o.Round, Pattern: page.Dashed,
			Label: o.shape(cmp.Or(o.BlankName, "blank"), o.Blank) + " " + o.size(o.Blank)})
	}
	if o.Zero != "" {
		f = append(f, page.Frame{Pattern: page.Cross, Label: o.Zero})
	}
	for _, p := range o.Pockets {
		f = append(f, o.pocketFrame(p))
	}
	for _, k := range o.Keep {
		f = append(f, page.Frame{Rect: k, Pattern: page.Hatched, Label: "keep out"})
	}
	return f
}

func (o Options) pocketFrame(p Pocket) page.Frame {
	f := page.Frame{Rect: p.Rect, Round: o.Round, Turn: p.Turn, Pattern: page.Dashed,
		Label: o.shape("blank", p.Rect) + " " + o.size(p.Rect)}
	if p.Number > 0 {
		f.Label, f.Text = "pocket, with its number", strconv.Itoa(p.Number)
	}
	return f
}

// shape adds to the name of a blank that it is round or oval.
func (o Options) shape(name string, r path.Rect) string {
	switch {
	case !o.Round:
		return name
	case o.size(r) != o.size(path.Rect{Max: path.Point{X: r.W(), Y: r.W()}}):
		return "oval " + name
	}
	return "round " + name
}

func (o Options) size(r path.Rect) string {
	if o.Inches {
		return rounded(r.W()/path.MMPerInch) + " x " + rounded(r.H()/path.MMPerInch) + " in"
	}
	return rounded(r.W()) + " x " + rounded(r.H()) + " mm"
}

// rounded writes v to a tenth, or to a hundredth below 10.
func rounded(v float64) string {
	parts := 10.0
	if v < 10 {
		parts = 100
	}
	return strconv.FormatFloat(math.Round(v*parts)/parts, 'f', -1, 64)
}
