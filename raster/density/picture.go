// Package density shows what a path.Program will do, as a picture.
package density

import (
	"cmp"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"

	"furrow/path"
	"furrow/raster/colour"
	"furrow/raster/grid"
	"furrow/raster/page"
)

// Picture returns the density of the program's marks, in lines/mm, as a page.
// The program is not changed.
func Picture(prog path.Program, o Options) (*page.Page, error) {
	o, err := o.withDefaults()
	if err != nil {
		return nil, err
	}
	work := prog.Bounds()
	if work.Empty() {
		return nil, ErrNothing
	}
	g, err := o.grid(o.view(work))
	if err != nil {
		return nil, err
	}
	l := Density(prog, g, o.MarkWidthMM)
	scale := o.scale(l, "density, lines/mm")
	plot := o.ground(g)
	paint(plot, l, scale)
	return page.New(page.Spec{
		Plot: plot, Grid: g, Theme: o.theme(), TextPx: textPx, Inches: o.Inches,
		Scale: &scale, Frames: o.frames(), Caption: o.Caption,
	}), nil
}

func (o Options) theme() page.Theme {
	if o.Dark {
		return page.Dark
	}
	return page.Light
}

// frames names the places round the work.
func (o Options) frames() (f []page.Frame) {
	if given(o.Bed) {
		f = append(f, page.Frame{Rect: o.Bed, Pattern: page.Solid, Label: cmp.Or(o.BedName, "bed") + " " + o.size(o.Bed)})
	}
	if given(o.Blank) {
		f = append(f, page.Frame{Rect: o.Blank, Pattern: page.Dashed, Label: cmp.Or(o.BlankName, "blank") + " " + o.size(o.Blank)})
	}
	for _, k := range o.Keep {
		f = append(f, page.Frame{Rect: k, Pattern: page.Hatched, Label: "keep out"})
	}
	return f
}

func (o Options) size(r path.Rect) string {
	if o.Inches {
		return fmt.Sprintf("%.4g x %.4g in", r.W()/path.MMPerInch, r.H()/path.MMPerInch)
	}
	return fmt.Sprintf("%.5g x %.5g mm", r.W(), r.H())
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

func (o Options) scale(l *Layer, label string) page.Scale {
	most := l.Max()
	s := page.Scale{Label: label, Ramp: o.ramp(), Top: page.NiceTop(l.knee(outliers))}
	if s.More = most > s.Top; s.More {
		s.Note = fmt.Sprintf("highest %.3g", most)
	}
	return s
}

// ground paints what lies below the marks.
func (o Options) ground(g grid.Grid) *image.RGBA {
	t := o.theme()
	img := image.NewRGBA(image.Rect(0, 0, g.W, g.H))
	base := t.Blank
	if given(o.Bed) {
		base = t.Table
	} else if given(o.Blank) {
		base = t.Bed
	}
	draw.Draw(img, img.Bounds(), image.NewUniform(base), image.Point{}, draw.Src)
	fillRect(img, g, o.Bed, t.Bed)
	fillRect(img, g, o.Blank, t.Blank)
	return img
}

// fillRect paints the pixels whose middle lies in r, if it is given.
func fillRect(img *image.RGBA, g grid.Grid, r path.Rect, c color.RGBA) {
	if !given(r) {
		return
	}
	a := g.Pixel(path.Point{X: r.Min.X, Y: r.Max.Y})
	b := g.Pixel(path.Point{X: r.Max.X, Y: r.Min.Y})
	at := func(v float64, n int) int { return int(min(max(math.Round(v), 0), float64(n))) }
	box := image.Rect(at(a.X, g.W), at(a.Y, g.H), at(b.X, g.W), at(b.Y, g.H))
	draw.Draw(img, box, image.NewUniform(c), image.Point{}, draw.Src)
}

// paint colours the pixels above 0 by the scale.
func paint(img *image.RGBA, l *Layer, s page.Scale) {
	top := float32(len(s.Ramp) - 1)
	k := top / float32(s.Top)
	for i, v := range l.Value {
		if v > 0 {
			c := s.Ramp[int(min(float32(v*k)+0.5, top))]
			p := img.Pix[4*i : 4*i+4 : 4*i+4]
			p[0], p[1], p[2] = c.R, c.G, c.B
		}
	}
}
