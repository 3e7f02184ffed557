package density

import (
	"fmt"
	"image"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"furrow/path"
	"furrow/raster/colour"
	"furrow/raster/grid"
	"furrow/raster/page"
)

// Dots of 1 mm with gaps of two, by hand, on a line of 7 mm, from each phase; and the phase
// that is left.
func TestDotsByHand(t *testing.T) {
	for _, c := range []struct {
		phase, length float64
		want          string
		rest          float64
	}{
		{0, 7, "0-1 3-4 6-7 ", 1}, {0.4, 7, "0-0.6 2.6-3.6 5.6-6.6 ", 1.4},
		{1, 7, "2-3 5-6 ", 2}, {2.5, 7, "0.5-1.5 3.5-4.5 6.5-7 ", 0.5}, {0, 0.5, "0-0.5 ", 0.5},
		{0, 6, "0-1 3-4 ", 0}, {0.25, 0.5, "0-0.5 ", 0.75},
	} {
		got := ""
		a, b := path.Point{X: 1, Y: 2}, path.Point{X: 1, Y: 2 + c.length}
		rest := dots(a, b, c.phase, 1, func(p, q path.Point) {
			require.Equal(t, []float64{1, 1}, []float64{p.X, q.X})
			got += fmt.Sprintf("%.4g-%.4g ", p.Y-2, q.Y-2)
		})
		require.Equal(t, c.want, got)
		require.InDelta(t, c.rest, rest, 1e-9)
	}
}

// A stroke from 10 to 18 s of a job of 32 s, by hand: eight of 256 pieces each second, each with
// the time of its middle, by the length of each straight part.
func TestPiecesByHand(t *testing.T) {
	p := lines(pts(0, 0, 3, 0, 3, 1), pts(5, 5), pts(0, 0, 1, 0))
	d := &drawing{prog: p, total: 32, o: Options{Marking: []path.Marking{
		{Start: 10 * time.Second, End: 18 * time.Second}, {Start: 20 * time.Second, End: 21 * time.Second},
		{Start: 30 * time.Second, End: 30*time.Second + time.Millisecond},
	}}}
	n, at := 0, path.Point{}
	d.eachPiece(0, func(a, b path.Point, now float64) {
		require.InDelta(t, 0, at.Dist(a), 1e-12)
		require.InDelta(t, 8.0/64*0.5, a.Dist(b), 1e-12)
		require.InDelta(t, 10+(float64(n)+0.5)/8, now, 1e-9)
		at = b
		n++
	})
	require.Equal(t, 64, n)
	require.Equal(t, path.Point{X: 3, Y: 1}, at)
	for i, want := range map[int]float64{1: 20, 2: 30.0005} {
		n = 0
		d.eachPiece(i, func(_, _ path.Point, now float64) {
			n++
			require.InDelta(t, want, now, 1e-9)
		})
		require.Equal(t, 1, n)
	}
	d.o.Marking[0].End = 300 * time.Second
	n = 0
	d.eachPiece(0, func(_, _ path.Point, _ float64) { n++ })
	require.Equal(t, 2*256, n, "no more than colours")
}

// The palest fifth of the colours is left out.
func TestTimeRampByHand(t *testing.T) {
	for _, dark := range []bool{false, true} {
		o := Options{Dark: dark}
		all, r := o.ramp(), o.timeRamp()
		require.Len(t, r, len(all))
		for _, share := range []float64{0, 0.25, 0.5, 1} {
			want, got := all.At(0.2+0.8*share), r.At(share)
			require.InDelta(t, want.G, got.G, 2)
			require.InDelta(t, want.B, got.B, 2)
		}
	}
	require.Equal(t, colour.Cividis, Options{Dark: true}.ramp())
}

// Steps of a time scale are of whole seconds, minutes and hours, and none is too long: a third of
// the time at the most, and no more than six.
func TestStepsOfTimeScales(t *testing.T) {
	whole := map[float64]bool{}
	for _, s := range []float64{1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10_800, 21_600, 43_200} {
		whole[s] = true
	}
	totals := []float64{6, 12, 30, 60, 3600, 6 * 43_200} // which six steps just reach
	for total := 4.0; total < 6*43_200; total *= 1.07 {
		totals = append(totals, total)
	}
	for _, total := range totals {
		s := TimeScale(total)
		n := len(s.Ticks) - 1
		step := s.Top / float64(n)
		require.True(t, whole[step], "%g s in steps of %g", total, step)
		require.LessOrEqual(t, n, 6)
		require.Greater(t, n, 1)
		require.GreaterOrEqual(t, s.Top, total-1e-6)
		require.Less(t, s.Top-step, total)
		for smaller := range whole {
			require.False(t, smaller < step && 6*smaller >= total, "%g s: steps of %g would do", total, smaller)
		}
		at := int(step) // the second tick
		want := fmt.Sprintf("%d:%02d", at/60, at%60)
		if s.Label == "h:min" {
			want = fmt.Sprintf("%d:%02d", at/3600, at/60%60)
		}
		require.Equal(t, want, s.Ticks[1])
	}
}

// Marks that are thinner than a pixel are a pixel wide in a picture of the times, and have that
// of their last part.
func TestTimesByHand(t *testing.T) {
	p := lines(pts(1, 1.05, 5, 1.05), pts(1, 1.05, 3, 1.05))
	d := &drawing{prog: p, g: grid.New(box(0, 0, 6, 2), 10), total: 10, o: Options{MarkWidthMM: 0.001,
		Marking: []path.Marking{{End: 8 * time.Second}, {Start: 8 * time.Second, End: 10 * time.Second}}}}
	times, cover := d.times()
	sum := 0.0
	for i, v := range cover.Value {
		sum += float64(v)
		if v > 0 {
			require.Equal(t, 9, i/60, "the row of pixels from 1 to 1.1 mm")
		}
	}
	require.InDelta(t, 60, sum, 0.01)
	require.InDelta(t, 8+1.1, times.at(2, 1.05), 0.06, "where the beam leaves the pixel")
	require.InDelta(t, 7.2, times.at(4.5, 1.05), 0.06)
}

// What a film says of itself.
func TestLegendOfAFilm(t *testing.T) {
	o := Options{Show: ShowSequence, Size: 400, Marking: []path.Marking{{End: 3 * time.Second}, {Start: 3 * time.Second,
		End: 90 * time.Second}}}
	d, err := newDrawing(twoMarks(path.Point{Y: 3}, false), o)
	require.NoError(t, err)
	f := newFilm(d, 20, 5)
	require.Equal(t, []string{"marked"}, labels(d.spec.Keys))
	require.Equal(t, "time, min:s", f.scale.Label)
	require.Equal(t, 250, f.delayMS)
	require.Equal(t, 2667, newFilm(d, 3, 8).delayMS)
	require.Equal(t, 90.0, f.total)
	require.Equal(t, colour.Ramp{page.Light.Paper}, f.scale.Ramp)
	f.frame(30)
	again := f.frame(0)
	require.Equal(t, image.Pt(1, 1), again.Rect.Size(), "a frame of nothing is a pixel")
	require.Equal(t, []uint8{unchanged}, again.Pix)
}
