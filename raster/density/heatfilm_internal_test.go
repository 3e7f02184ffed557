package density

import (
	"image"
	"image/color"
	"io"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/raster/page"
)

// heating is a plate of two cells, of which the right one gets warm first, for 20 s: 40 K at
// the most.
func heating() Options {
	return Options{
		Show: ShowHeat, Window: box(-1, -1, 9, 5), DPI: 254,
		Heat: HeatMap{
			Rect: box(0, 0, 8, 4), NX: 2, NY: 1, RiseK: []float32{40, 30}, EndS: 20,
			Frames: [][]float32{{0, 0}, {0, 30}, {20, 10}, {40, 10}, {10, 10}},
		},
	}
}

// The frames of a film of the heat by hand: each cell's middle has the colour of its rise at
// that time, and the bar is as long as that share of the time; what lies beside the plate stays.
func TestHeatFilmByHand(t *testing.T) {
	for _, dark := range []bool{false, true} {
		o := heating()
		o.Dark = dark
		d, err := newDrawing(lines(pts(1, 1, 7, 1)), o)
		require.NoError(t, err)
		f := newHeatFilm(d)
		require.InDelta(t, d.o.theme().Ink.R, f.colour.Palette[f.ink].(color.RGBA).R, 2)
		before := *f.shown
		before.Pix = append([]uint8(nil), f.shown.Pix...)
		at := func(x, y float64) color.RGBA { // mm
			return f.shown.At(f.origin.X+int((x+1)*10), f.origin.Y+int((5-y)*10)).(color.RGBA)
		}
		last := f.last()
		require.Equal(t, before.Pix, f.shown.Pix, "and it begins anew")
		require.NotEqual(t, before.Pix, last.Pix)
		ramp, top := d.o.ramp(), page.NiceTop(40/1.005)
		for i, state := range o.Heat.Frames {
			if i > 0 {
				was := append([]uint8(nil), f.shown.Pix...)
				changed := f.frame(i)
				require.True(t, changed.Rect.In(f.shown.Rect))
				for k, index := range changed.Pix { // laid over what was shown it is what is shown
					at := changed.Rect.Min.Add(image.Pt(k%changed.Stride, k/changed.Stride))
					if index != unchanged {
						was[f.shown.PixOffset(at.X, at.Y)] = index
					}
				}
				require.Equal(t, f.shown.Pix, was)
			}
			for cell, x := range []float64{2, 6} {
				want := ramp.At(float64(state[cell]) / top)
				got := at(x, 2.05)
				require.InDelta(t, want.R, got.R, 4, "frame %d, cell %d", i, cell)
				require.InDelta(t, want.G, got.G, 4, "frame %d, cell %d", i, cell)
				require.InDelta(t, want.B, got.B, 4, "frame %d, cell %d", i, cell)
			}
			for x := 0.25; x < 8; x += 0.5 { // evenly between the middles of the cells
				share := min(max((x-2)/4, 0), 1)
				want := ramp.At((float64(state[0])*(1-share) + float64(state[1])*share) / top)
				for y := 0.25; y < 4; y += 0.5 {
					require.InDelta(t, want.G, at(x, y).G, 6, "frame %d at %g, %g", i, x, y)
				}
			}
			require.Equal(t, at(-0.5, 2), at(8.5, 4.5))
			ink := 0
			y := (f.bar.Min.Y + f.bar.Max.Y) / 2
			for x := f.bar.Min.X; x < f.bar.Max.X; x++ {
				if f.shown.At(x, y) == f.colour.Palette[f.ink] {
					ink++
				}
			}
			require.InDelta(t, float64(i)/4*20/f.time.Top, float64(ink)/float64(f.bar.Dx()), 0.02, "frame %d", i)
		}
		require.Equal(t, last.Pix, f.shown.Pix, "the still is the end")
		require.Equal(t, 20.0, f.time.Top)
		require.Equal(t, image.Pt(100, 60), image.Pt(d.g.W, d.g.H))
	}
}

// Frames share the seconds evenly, and the last is held for two.
func TestDelaysOfHeatFilm(t *testing.T) {
	f := &heatFilm{drawing: &drawing{o: heating()}}
	for frame, ms := range []int{600, 600, 600, 600, 2000} {
		require.Equal(t, ms, f.delayMS(3, frame))
	}
}

// A film of the heat needs two states and a time.
func TestHeatFilmNeedsItsStates(t *testing.T) {
	p := lines(pts(1, 1, 7, 1))
	none, one, still := heating(), heating(), heating()
	none.Heat.Frames, one.Heat.Frames, still.Heat.EndS = nil, one.Heat.Frames[:1], 0
	for _, o := range []Options{none, one, still} {
		require.ErrorContains(t, EncodeFilm(io.Discard, p, o, 2), "needs the states")
	}
	two := heating()
	two.Heat.Frames = two.Heat.Frames[:2]
	require.NoError(t, EncodeFilm(io.Discard, p, two, 2))
	require.Error(t, EncodeFilm(full{}, p, two, 2))
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, io.ErrShortWrite }

// Colours of the ramp come first, then greys from black to white, and last the one that
// changes nothing.
func TestWarmPaletteByHand(t *testing.T) {
	r := Options{}.ramp()
	p := newWarmPalette(r)
	require.Len(t, p.Palette, 256)
	require.Equal(t, r.At(0), p.Palette[0])
	require.Equal(t, r.At(1), p.Palette[159])
	require.Equal(t, color.RGBA{A: 255}, p.Palette[160])
	require.Equal(t, color.RGBA{255, 255, 255, 255}, p.Palette[254])
	require.Equal(t, color.RGBA{}, p.Palette[255])
	for share, want := range map[float64]uint8{-1: 0, 0: 0, 0.5: 80, 1: 159, 7: 159} {
		require.Equal(t, want, p.warm(share))
	}
	for range 2 {
		require.Equal(t, uint8(254), p.index(color.RGBA{255, 255, 255, 255}))
		require.Equal(t, uint8(160), p.index(color.RGBA{A: 255}))
	}
	img := image.NewRGBA(image.Rect(0, 0, 3, 2))
	for i, c := range []color.RGBA{r.At(0), r.At(1), {255, 255, 255, 255}, {A: 255}, r.At(0.5), {254, 254, 254, 255}} {
		img.SetRGBA(i%3, i/3, c)
	}
	got := p.paletted(img)
	require.Equal(t, img.Rect, got.Rect)
	require.Equal(t, []uint8{0, 159, 254, 160}, got.Pix[:4])
	require.InDelta(t, 80, got.Pix[4], 1)
}

// The greys of a film from black to white, by their green.
func TestGreysByHand(t *testing.T) {
	require.Equal(t, color.RGBA{A: 255}, greyPalette[0])
	require.Equal(t, color.RGBA{255, 255, 255, 255}, greyPalette[254])
	require.Equal(t, color.RGBA{}, greyPalette[255])
	for i := range 255 {
		require.InDelta(t, float64(i)*255/254, greyPalette[i].(color.RGBA).R, 0.51)
		require.Equal(t, uint8(i), greyIndex(greyPalette[i].(color.RGBA)))
	}
	img := image.NewRGBA(image.Rect(0, 0, 2, 1))
	img.SetRGBA(1, 0, color.RGBA{7, 255, 9, 255})
	require.Equal(t, []uint8{0, 254}, greys(img).Pix)
}

// When frames show the state, by hand: of 15 frames of 7 s one every half second, the last at
// the end; and how many there are.
func TestTimesOfFrames(t *testing.T) {
	f := &film{drawing: &drawing{total: 7}, frames: 15}
	for i := range 15 {
		require.InDelta(t, float64(i)/2, f.timeOf(i), 1e-12)
	}
	for seconds, n := range map[float64]int{1: 15, 0: 120, 8: 120, 20: 300, 60: 300, 1.1: 17} {
		require.Equal(t, n, FilmFrames(seconds))
	}
}
