// Package density shows what a path.Program will do, as a picture: how densely
// it marks, the dose it lays down, how the part will look, when each place is
// marked, where the beam moves while it is off, and the marks themselves.
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
	"furrow/raster/colour"
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

	total float64 // time of all strokes, s; set where times count
}

// Picture returns what o asks to show of the program, as a page. The program is
// not changed.
func Picture(prog path.Program, o Options) (*page.Page, error) {
	d, err := newDrawing(prog, o)
	if err != nil {
		return nil, err
	}
	switch d.o.Show {
	case ShowDensity:
		l := lay(prog, newLayer(d.g), d.even(d.o.MarkWidthMM, resolved), nil)
		if l.Max() == 0 {
			return nil, ErrDots
		}
		d.density(l)
	case ShowDose:
		d.amount(lay(prog, newLayer(d.g), d.even(d.o.MarkWidthMM, resolved), d.o.Marking).perCM2(), "dose, J/cm\u00b2", 1)
	case ShowFinish:
		d.finish()
	case ShowSequence:
		d.sequence()
	case ShowTravel:
		d.travel()
	case ShowRows:
		d.rows()
	}
	return page.New(d.spec), nil
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
	if o.Show != ShowTravel && !anyMeets(prog, g.Rect().Grow(o.MarkWidthMM)) {
		b := prog.Bounds()
		return nil, fmt.Errorf("nothing is marked in the window: the marks lie between X %.4g, Y %.4g and X %.4g, Y %.4g mm",
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
	if given(o.Bed) {
		f = append(f, page.Frame{Rect: o.Bed, Pattern: page.Solid, Label: cmp.Or(o.BedName, "bed") + " " + o.size(o.Bed)})
	}
	if given(o.Blank) {
		f = append(f, page.Frame{Rect: o.Blank, Pattern: page.Dashed, Label: cmp.Or(o.BlankName, "blank") + " " + o.size(o.Blank)})
	}
	if o.Zero != "" {
		f = append(f, page.Frame{Pattern: page.Cross, Label: o.Zero})
	}
	for _, k := range o.Keep {
		f = append(f, page.Frame{Rect: k, Pattern: page.Hatched, Label: "keep out"})
	}
	return f
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

// ramp runs away from the page's own lightness, so that little stands out
// little and much stands out much.
func (o Options) ramp() colour.Ramp {
	if o.Dark {
		return colour.Cividis
	}
	return colour.Cividis.Reversed()
}

// outliers is the share of marked pixels that may lie beyond the scale's end, so
// that one spot marked over and over does not leave the rest in one colour.
const outliers = 0.002

// above is how much, as a factor, may go beyond the end of a scale unnoticed, so
// that 80.01 does not make a scale to 100.
const above = 1.005

// density colours a layer of lines/mm.
func (d *drawing) density(l *Layer) {
	if d.o.Inches {
		d.amount(l, "density, lines/inch", path.MMPerInch)
		return
	}
	d.amount(l, "density, lines/mm", 1)
}

// amount colours a layer by a scale from 0, in a unit of which there are so many
// to the layer's own.
func (d *drawing) amount(l *Layer, label string, units float64) {
	s := page.Scale{Label: label, Ramp: d.o.ramp(), Top: page.NiceTop(l.knee(outliers) * units / above)}
	if most := l.Max() * units; most > s.Top*above {
		s.More, s.Note = true, "highest "+page.Number(most)
	}
	d.spec.Scale = &s
	top := float32(len(s.Ramp) - 1)
	k := top * float32(units/s.Top)
	for i, v := range l.Value {
		if v > 0 {
			c := s.Ramp[int(min(float32(v*k)+0.5, top))]
			p := d.plot.Pix[4*i : 4*i+4 : 4*i+4]
			p[0], p[1], p[2] = c.R, c.G, c.B
		}
	}
}
