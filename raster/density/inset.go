package density

import (
	"cmp"
	"image"
	"math"

	"furrow/path"
	"furrow/raster/grid"
	"furrow/raster/page"
)

// CloseUp is a place that an inset shows magnified.
type CloseUp struct {
	At     path.Point
	WideMM float64 // what the inset shows
	Label  string
}

// insets draws the close-ups and, if it is wanted, where the work lies.
func (d *drawing) insets() error {
	side := page.InsetPx(d.spec.TextPx)
	for _, c := range d.o.CloseUps {
		img, err := d.closeUp(c, side)
		if err != nil {
			return err
		}
		d.spec.Insets = append(d.spec.Insets, page.Inset{Image: img, Label: c.Label})
	}
	if d.o.Inset && given(d.o.Bed) {
		d.spec.Insets = append(d.spec.Insets, page.Inset{
			Image: d.locator(side), Label: "in the " + cmp.Or(d.o.BedName, "bed") + ", " + d.o.size(d.o.Bed),
		})
	}
	return nil
}

// closeUp draws the same picture of a small place.
func (d *drawing) closeUp(c CloseUp, side int) (*image.RGBA, error) {
	window := path.Rect{Min: c.At, Max: c.At}.Grow(c.WideMM / 2)
	g := grid.New(window, float64(side)/c.WideMM)
	o := d.o
	o.Window = window
	near := &drawing{prog: d.prog, o: o, g: g, plot: o.ground(g), spacings: d.spacings}
	near.spec = page.Spec{Plot: near.plot, Grid: g, Theme: o.theme(), TextPx: d.spec.TextPx}
	return near.plot, near.show()
}

// locator draws the bed with the work, and the blank if it is known.
func (d *drawing) locator(side int) *image.RGBA {
	t, bed, work := d.o.theme(), d.o.Bed, Marked(d.prog, d.o.MarkWidthMM)
	if given(d.o.Blank) {
		work = work.Union(d.o.Blank)
	}
	g := grid.New(bed, float64(side)/max(bed.W(), bed.H()))
	img := image.NewRGBA(image.Rect(0, 0, g.W, g.H))
	fillRect(img, g, g.Rect(), t.Bed)
	least := page.LinePx(d.spec.TextPx) * 4 / g.PxPerMM // to be seen
	grow := func(side float64) float64 { return math.Max(0, (least-side)/2) }
	work.Min.X, work.Max.X = work.Min.X-grow(work.W()), work.Max.X+grow(work.W())
	work.Min.Y, work.Max.Y = work.Min.Y-grow(work.H()), work.Max.Y+grow(work.H())
	fillRect(img, g, work, t.Mid)
	return img
}
