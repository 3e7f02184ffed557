package density

import (
	"fmt"
	"image"
	"image/color"
	"io"
	"math"
	"slices"

	"furrow/path"
	"furrow/raster/colour"
	"furrow/raster/grid"
	"furrow/raster/page"
	"furrow/raster/pngfile"
)

// Defaults and bounds of a film: its length is in seconds, its size the longer
// side in pixels.
const (
	DefaultFilmSeconds = 8.0
	MaxFilmSeconds     = 60.0
	defaultFilmSize    = 900
	framesPerSecond    = 15
	maxFrames          = 300
	maxFilmPixels      = 4e6 // of the work, each frame
	lastHeldMS         = 2000
)

// EncodeFilm writes an animated PNG of the marks as they are made, in the
// machine's own time, of which o.Marking tells, sped up to the given
// number of seconds; 0 takes DefaultFilmSeconds. A bar below shows the time. The
// last frame is held a while, and is what viewers show that know no animation. Where
// o.Show is ShowHeat the film is of the heat, whose states o.Heat has; else o.Show is not
// used.
func EncodeFilm(w io.Writer, prog path.Program, o Options, seconds float64) error {
	if seconds == 0 {
		seconds = DefaultFilmSeconds
	}
	if !(seconds >= 1 && seconds <= MaxFilmSeconds) {
		return fmt.Errorf("a film of %g s is out of range: use 1 to %g", seconds, MaxFilmSeconds)
	}
	if o.Show != ShowHeat {
		o.Show = ShowSequence
	}
	if o.Size == 0 && o.DPI == 0 {
		o.Size = defaultFilmSize
	}
	d, err := newDrawing(prog, o)
	if err != nil {
		return err
	}
	if d.g.W*d.g.H > maxFilmPixels {
		return fmt.Errorf("%w: %d x %d pixels, more than the %.0f million of a film", ErrTooLarge, d.g.W, d.g.H,
			maxFilmPixels/1e6)
	}
	if o.Show == ShowHeat {
		return encodeHeatFilm(w, d, seconds)
	}
	return newFilm(d, FilmFrames(seconds), seconds).encode(w)
}

// FilmFrames returns how many frames a film of so many seconds has; 0 takes
// DefaultFilmSeconds.
func FilmFrames(seconds float64) int {
	if seconds == 0 {
		seconds = DefaultFilmSeconds
	}
	return int(min(maxFrames, math.Round(seconds*framesPerSecond)))
}

// film is a drawing whose marks are laid one after the other.
type film struct {
	*drawing
	reel
	frames  int
	delayMS int
	scale   page.Scale
	ground  *image.RGBA // the plot without marks
	cover   *Layer
	darken  grid.Cover
	dirty   image.Rectangle // what the marks since have touched
}

// reel is the frame that was shown last, with a bar of the time that has passed.
type reel struct {
	shown  *image.Paletted
	bar    image.Rectangle // of all the time
	origin image.Point     // of the plot
	ink    uint8           // index of the bar's colour
}

func newFilm(d *drawing, frames int, seconds float64) *film {
	d.total = d.o.lastEnd()
	f := &film{drawing: d, frames: frames, scale: TimeScale(d.total), ground: d.plot, cover: newLayer(d.g)}
	f.darken = f.cover.shade(seeThrough)
	f.delayMS = int(math.Round(seconds * 1000 / float64(frames)))
	f.scale.Label = "time, " + f.scale.Label
	f.scale.Ramp = colour.Ramp{d.o.theme().Paper}
	d.spec.Scale = &f.scale
	d.key(page.Filled, d.markedTimes(1), "marked")
	_ = f.mark(func(float64) error { return nil }) // the legend and the still tell of the end
	d.keyOften(f.cover)
	p := page.New(d.spec)
	f.bar, f.origin = p.ScaleAt(), p.PlotAt()
	f.shown, f.ink = greys(p.Image()), greyIndex(d.o.theme().Ink)
	return f
}

func (f *film) encode(w io.Writer) error {
	out := pngfile.NewFilm(w, f.finished(), f.frames, f.g.PxPerMM)
	if err := out.Add(f.shown, f.delayMS); err != nil {
		return err
	}
	next := 1
	show := func(now float64) error { // all frames up to a time
		for ; next < f.frames-1 && f.timeOf(next) <= now; next++ {
			if err := out.Add(f.frame(f.timeOf(next)), f.delayMS); err != nil {
				return err
			}
		}
		return nil
	}
	if err := f.mark(show); err != nil {
		return err
	}
	if err := show(math.Inf(1)); err != nil {
		return err
	}
	if err := out.Add(f.frame(f.total), lastHeldMS); err != nil {
		return err
	}
	return out.Close()
}

// finished returns the last frame of a film of which all is marked, and leaves the
// film at its beginning. The marks are laid twice for it, which takes less than to
// keep all frames.
func (f *film) finished() *image.Paletted {
	blank := *f.shown
	blank.Pix = slices.Clone(blank.Pix)
	f.frame(f.total)
	last := f.shown
	f.shown = &blank
	clear(f.cover.Value)
	return last
}

// timeOf returns what a frame shows the state at.
func (f *film) timeOf(frame int) float64 {
	return f.total * float64(frame) / float64(f.frames-1)
}

// mark lays all marks, and calls before with the time of each.
func (f *film) mark(before func(now float64) error) (err error) {
	t := newTracer(f.g, f.even(f.o.MarkWidthMM, resolved))
	for i := 0; i < len(f.prog.Strokes) && err == nil; i++ {
		t.take(f.prog.Strokes[i], f.prog.PointsOf(i))
		f.eachPiece(i, func(p, q path.Point, at float64) {
			if err == nil {
				err = before(at)
			}
			t.line([]path.Point{p, q}, f.lay)
		})
	}
	return err
}

// lay darkens pixels and notes where.
func (f *film) lay(y, x int, cover []float32) {
	f.darken(y, x, cover)
	f.dirty = f.dirty.Union(image.Rect(x, y, x+len(cover), y+1))
}

// frame returns what has changed since the last one, at a time.
func (f *film) frame(now float64) *image.Paletted {
	bar := f.passed(now / f.scale.Top)
	r := f.dirty.Add(f.origin).Union(bar)
	if r.Empty() {
		r = image.Rectangle{f.bar.Min, f.bar.Min.Add(image.Pt(1, 1))}
	}
	img := f.blank(r)
	f.drawMarks(img)
	f.drawBar(img, bar)
	f.dirty = image.Rectangle{}
	return img
}

func (f *film) drawMarks(img *image.Paletted) {
	ink := f.o.theme().Ink
	for y := f.dirty.Min.Y; y < f.dirty.Max.Y; y++ {
		for x := f.dirty.Min.X; x < f.dirty.Max.X; x++ {
			c := colour.Mix(f.ground.RGBAAt(x, y), ink, float64(f.cover.Value[y*f.g.W+x]))
			f.set(img, x+f.origin.X, y+f.origin.Y, greyIndex(c))
		}
	}
}

// passed returns the part of the bar that stands for a share of the time.
func (r *reel) passed(share float64) image.Rectangle {
	bar := r.bar
	bar.Max.X = bar.Min.X + int(math.Round(float64(r.bar.Dx())*share))
	return bar
}

// blank returns a frame that changes nothing.
func (r *reel) blank(at image.Rectangle) *image.Paletted {
	img := image.NewPaletted(at, r.shown.Palette)
	for i := range img.Pix {
		img.Pix[i] = unchanged
	}
	return img
}

func (r *reel) drawBar(img *image.Paletted, bar image.Rectangle) {
	for y := bar.Min.Y; y < bar.Max.Y; y++ {
		for x := bar.Min.X; x < bar.Max.X; x++ {
			r.set(img, x, y, r.ink)
		}
	}
}

// set gives a pixel its colour if that is not there already.
func (r *reel) set(img *image.Paletted, x, y int, index uint8) {
	i := r.shown.PixOffset(x, y)
	if r.shown.Pix[i] != index {
		r.shown.Pix[i] = index
		img.SetColorIndex(x, y, index)
	}
}

// unchanged is the index of the transparent colour; those below are greys from
// black to white.
const unchanged = 255

var greyPalette = func() color.Palette {
	p := make(color.Palette, unchanged+1)
	for i := range unchanged {
		v := uint8(math.Round(float64(i) * 255 / (unchanged - 1)))
		p[i] = color.RGBA{v, v, v, 255}
	}
	p[unchanged] = color.RGBA{}
	return p
}()

func greyIndex(c color.RGBA) uint8 {
	return uint8(math.Round(float64(c.G) * (unchanged - 1) / 255))
}

// greys returns an image of greys as indices of greyPalette.
func greys(img *image.RGBA) *image.Paletted {
	p := image.NewPaletted(img.Rect, greyPalette)
	for i := range p.Pix {
		p.Pix[i] = greyIndex(color.RGBA{G: img.Pix[4*i+1]})
	}
	return p
}
