package density

import (
	"furrow/path"
	"furrow/raster/colour"
	"furrow/raster/grid"
	"furrow/raster/page"
)

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

// amount is what marks lay down on each pixel, and what share of it is marked.
type amount struct {
	*Layer
	times *Layer // how often a pixel is covered
	area  *grid.Samples
}

// laid shows how much the marks lay down: lines/mm, or J/cm2.
func (d *drawing) laid() error {
	a := amount{Layer: newLayer(d.g), times: newLayer(d.g), area: d.area(d.tileWidth)}
	var marking []path.Marking
	if d.o.Show == ShowDose {
		marking = d.o.Marking
	}
	lay(d.prog, a.Layer, a.times, d.tiles(), marking)
	switch {
	case d.o.Show == ShowDose:
		a.perCM2()
		d.colour(a, "dose, J/cm\u00b2", 1)
	case a.Max() == 0:
		return ErrDots
	case d.o.Inches:
		d.colour(a, "density, lines/inch", path.MMPerInch)
	default:
		d.colour(a, "density, lines/mm", 1)
	}
	return nil
}

// share returns what share of a pixel is marked: no more than all marks on it cover
// together, which the places of its area are too coarse for where a lone mark is
// thin. It is exact for whole pixels and for marks that do not overlap.
func (a amount) share(i int) (share float32, exact bool) {
	area, times := a.area.Share(i), a.times.Value[i]
	if times <= area {
		return min(times, 1), true
	}
	return area, area == 1
}

// whereMarked makes the value of each pixel that of its marked share, which is
// what lies there, as far as it is exact: the edge of an area is else the paler
// the less of a pixel it takes, and looks like an outline.
func (a amount) whereMarked() {
	for i, v := range a.Value {
		if share, exact := a.share(i); v > 0 && exact && share > 0 {
			a.Value[i] = v / share
		}
	}
}

// colour colours a by a scale from 0, in a unit of which there are so many to the
// layer's own. A pixel is as opaque as it is marked.
func (d *drawing) colour(a amount, label string, units float64) {
	a.whereMarked()
	s := page.Scale{Label: label, Ramp: d.o.ramp(), Top: page.NiceTop(a.knee(outliers) * units / above)}
	highest := a.Max()
	if d.o.ScaleEnd > 0 {
		s.Top = d.o.ScaleEnd
	}
	if highest*units > s.Top*above {
		s.More, s.Note = true, "highest "+page.Number(highest*units)
	}
	d.spec.Scale = &s
	top := float32(len(s.Ramp) - 1)
	k := top * float32(units/s.Top)
	for i, v := range a.Value {
		share, exact := a.share(i)
		if !(v > 0 && share > 0) {
			continue
		}
		if !exact {
			v = min(v/share, float32(highest))
		}
		blendPixel(d.plot.Pix[4*i:4*i+4:4*i+4], s.Ramp[int(min(float32(v*k)+0.5, top))], float64(share))
	}
}
