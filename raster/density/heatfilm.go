package density

import (
	"errors"
	"image"
	"image/color"
	"io"
	"math"
	"slices"

	"furrow/path"
	"furrow/raster/colour"
	"furrow/raster/page"
	"furrow/raster/pngfile"
)

// heatFilm is a plate that gets warm and cools, in the colours of the still picture.
type heatFilm struct {
	*drawing
	reel
	scale  page.Scale
	time   page.Scale
	colour warmPalette
	on     []int // pixels of the plot on the plate that nothing is drawn over
	at     []path.Point
}

func encodeHeatFilm(w io.Writer, d *drawing, seconds float64) error {
	if m := d.o.Heat; len(m.Frames) < 2 || !(m.EndS > 0) {
		return errors.New("a film of the heat needs the states of the plate and the time of the job")
	}
	f := newHeatFilm(d)
	n := len(d.o.Heat.Frames)
	out := pngfile.NewFilm(w, f.last(), n, f.g.PxPerMM)
	if err := out.Add(f.shown, f.delayMS(seconds, 0)); err != nil {
		return err
	}
	for i := 1; i < n; i++ {
		if err := out.Add(f.frame(i), f.delayMS(seconds, i)); err != nil {
			return err
		}
	}
	return out.Close()
}

// last returns the last frame, and leaves the film at its beginning.
func (f *heatFilm) last() *image.Paletted {
	start := *f.shown
	start.Pix = slices.Clone(start.Pix)
	f.frame(len(f.o.Heat.Frames) - 1)
	last := f.shown
	f.shown = &start
	return last
}

// delayMS returns how long a frame is shown, ms.
func (f *heatFilm) delayMS(seconds float64, frame int) int {
	if n := len(f.o.Heat.Frames); frame < n-1 {
		return int(math.Round(seconds * 1000 / float64(n)))
	}
	return lastHeldMS
}

func newHeatFilm(d *drawing) *heatFilm {
	f := &heatFilm{drawing: d, scale: d.heatScale("rise, K"), time: TimeScale(d.o.Heat.EndS)}
	f.time.Label = "time, " + f.time.Label
	f.time.Ramp = colour.Ramp{d.o.theme().Paper}
	d.spec.Scale, d.spec.Time = &f.scale, &f.time
	f.colour = newWarmPalette(f.scale.Ramp)
	p := f.all(0)
	f.bar, f.origin = p.TimeAt(), p.PlotAt()
	hot, cold := f.all(1).Image(), p.Image()
	d.eachOnPlate(func(i int, p path.Point) {
		at := f.origin.Add(image.Pt(i%d.g.W, i/d.g.W))
		if hot.RGBAAt(at.X, at.Y) == f.scale.Ramp.At(1) && cold.RGBAAt(at.X, at.Y) == f.scale.Ramp.At(0) {
			f.on, f.at = append(f.on, i), append(f.at, p)
		}
	})
	f.ink = f.colour.index(d.o.theme().Ink)
	f.shown = f.colour.paletted(cold)
	return f
}

// all returns the page with the plate evenly at a share of the scale.
func (f *heatFilm) all(share float64) *page.Page {
	plot := *f.plot
	plot.Pix = slices.Clone(f.plot.Pix)
	f.eachOnPlate(func(i int, _ path.Point) {
		blendPixel(plot.Pix[4*i:4*i+4:4*i+4], f.scale.Ramp.At(share), 1)
	})
	spec := f.spec
	spec.Plot = &plot
	return page.New(spec)
}

// frame returns what has changed since the last one.
func (f *heatFilm) frame(i int) *image.Paletted {
	m := f.o.Heat
	m.RiseK = m.Frames[i]
	bar := f.passed(m.EndS * float64(i) / float64(len(m.Frames)-1) / f.time.Top)
	img := f.blank(image.Rect(0, 0, f.g.W, f.g.H).Add(f.origin).Union(f.bar))
	for k, px := range f.on {
		v, _ := m.at(f.at[k])
		f.set(img, f.origin.X+px%f.g.W, f.origin.Y+px/f.g.W, f.colour.warm(v/f.scale.Top))
	}
	f.drawBar(img, bar)
	return img
}

// warmPalette is colours of the ramp, then greys, then the one that changes nothing.
type warmPalette struct {
	color.Palette
	seen map[color.RGBA]uint8
}

const (
	warmColours = 160
	warmGreys   = unchanged - warmColours
)

func newWarmPalette(r colour.Ramp) warmPalette {
	p := warmPalette{make(color.Palette, unchanged+1), map[color.RGBA]uint8{}}
	for i := range warmColours {
		p.Palette[i] = r.At(float64(i) / (warmColours - 1))
	}
	for i := range warmGreys {
		v := uint8(math.Round(float64(i) * 255 / (warmGreys - 1)))
		p.Palette[warmColours+i] = color.RGBA{v, v, v, 255}
	}
	p.Palette[unchanged] = color.RGBA{}
	return p
}

// warm returns the index of a share of the ramp.
func (p warmPalette) warm(share float64) uint8 {
	return uint8(math.Round((warmColours - 1) * max(0, min(1, share))))
}

// index returns that of the nearest colour.
func (p warmPalette) index(c color.RGBA) uint8 {
	i, ok := p.seen[c]
	if !ok {
		i = uint8(p.Palette[:unchanged].Index(c))
		p.seen[c] = i
	}
	return i
}

// paletted returns an image as indices.
func (p warmPalette) paletted(img *image.RGBA) *image.Paletted {
	out := image.NewPaletted(img.Rect, p.Palette)
	for i := range out.Pix {
		c := img.Pix[4*i : 4*i+4 : 4*i+4]
		out.Pix[i] = p.index(color.RGBA{c[0], c[1], c[2], c[3]})
	}
	return out
}
