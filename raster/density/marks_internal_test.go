package density

import (
	"fmt"
	"image/color"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/path"
	"furrow/raster/colour"
	"furrow/raster/grid"
	"furrow/raster/page"
)

func pts(xy ...float64) (all []path.Point) {
	for i := 0; i < len(xy); i += 2 {
		all = append(all, path.Point{X: xy[i], Y: xy[i+1]})
	}
	return all
}

func lines(all ...[]path.Point) path.Program {
	p := path.Program{Settings: []path.Setting{{SpeedMMPerS: 100}}}
	for _, l := range all {
		p.Append(path.Stroke{}, l...)
	}
	return p
}

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
	for total := 4.0; total < 6*43_200; total *= 1.07 {
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

// The classes of directions: 22.5 degrees wide, of which the first begins at 5.1, whichever way a
// mark goes; polylines have their own.
func TestDirectionsByHand(t *testing.T) {
	for deg := 0.0; deg < 360; deg += 0.7 {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		want := 7
		for class := range 8 {
			if from := 5.1 + 22.5*float64(class); math.Mod(deg, 180) >= from && math.Mod(deg, 180) < from+22.5 {
				want = class
			}
		}
		require.Equal(t, want, directionOf(pts(3, 4, 3+2*cos, 4+2*sin)), "%g degrees", deg)
	}
	require.Equal(t, 8, directionOf(pts(1, 1)))
	require.Equal(t, 8, directionOf(pts(1, 1, 2, 1, 3, 1)))
}

// A line is made longer at both ends, each on its own way; a closed one and a dot are not.
func TestLengthenedByHand(t *testing.T) {
	require.Equal(t, pts(-1, 0, 4, 0, 4, 6), lengthened(pts(0, 0, 4, 0, 4, 5), 1))
	require.Equal(t, pts(0, -2, 0, 5), lengthened(pts(0, 0, 0, 3), 2))
	closed := pts(0, 0, 4, 0, 4, 5, 0, 0)
	require.Equal(t, closed, lengthened(closed, 1))
	require.Equal(t, pts(3, 3), lengthened(pts(3, 3), 1))
	require.Equal(t, pts(0, 0, 0, 0, 5, 0), lengthened(pts(0, 0, 0, 0, 4, 0), 1))
}

// What layers cover together, by hand: at most all of a pixel alone, and what crossing marks
// leave bare multiplies.
func TestCrossByHand(t *testing.T) {
	layer := func(v ...float32) *Layer { return &Layer{Grid: grid.Grid{W: len(v), H: 1}, Value: v} }
	var none *Layer
	first := none.cross(layer(0, 0.5, 1.7, 0.25))
	require.Equal(t, []float32{0, 0.5, 1, 0.25}, first.Value)
	require.Equal(t, []float32{0.5, 0.75, 1, 1}, first.cross(layer(0.5, 0.5, 0.5, 3)).Value)
	require.Equal(t, 0.75, layer(0.1, 0.75, 0.3).Max())
	require.Equal(t, []float32{100, 50}, layer(1, 0.5).perCM2().Value)
}

// The value that all but a share stay below, by counting: of a hundred from 1 to 100 and as many
// zeros, all but five stay at or below 95.
func TestKneeByHand(t *testing.T) {
	l := &Layer{Grid: grid.Grid{W: 200, H: 1}, Value: make([]float32, 200)}
	require.Zero(t, l.knee(0.1))
	for i := range 100 {
		l.Value[2*i] = float32(i + 1)
	}
	for share, want := range map[float64]float64{0.05: 95, 0.5: 50, 0.011: 99, 0.009: 100, 0: 100, 0.995: 1} {
		require.InDelta(t, want, l.knee(share), 0.2, "%g", share)
	}
	require.InDelta(t, 0.1, l.knee(1), 100, "all of them")
}

// Lines are lone marks where they are thinner than a line and no rows of less than three.
func TestLoneMarks(t *testing.T) {
	for _, c := range []struct {
		spacing, width float64
		lone           bool
	}{{0, 0.1, true}, {0, 0.5, false}, {0, 0.6, false}, {1.5, 0.1, true}, {1.49, 0.1, false}, {0.2, 0.1, false}} {
		p := lines(pts(0, 0, 9, 0))
		p.Settings[0].SpacingMM = c.spacing
		d := &drawing{prog: p, o: Options{MarkWidthMM: c.width}}
		require.Equal(t, c.lone, d.lone(0.5), "%+v", c)
	}
}

// Which lines are seen in a window.
func TestMeetsByHand(t *testing.T) {
	r := box(0, 0, 10, 5)
	for _, c := range []struct {
		line []path.Point
		in   bool
	}{
		{pts(1, 1), true}, {pts(10, 5), true}, {pts(0, 0), true}, {pts(10.1, 5), false}, {pts(1, 5.1), false},
		{pts(-0.1, 1), false},
		{pts(1, -0.1), false}, {pts(-5, 2, 20, 2), true}, {pts(-5, 6, 20, 6), false},
		{pts(11, 1, 12, 1, 12, 9, 5, 9, 5, 4), true},
		{pts(11, 1, 12, 1), false}, {nil, false}, {pts(1, 1, 20, 20), true},
	} {
		require.Equal(t, c.in, meets(c.line, r), "%v", c.line)
		if c.line != nil {
			require.Equal(t, c.in, anyMeets(lines(pts(99, 99), c.line), r))
		}
	}
	require.False(t, anyMeets(path.Program{}, r))
	p := lines(pts(1, 1, 2, 1), pts(50, 50, 60, 60), pts(1, 1, 2, 2, 3, 1))
	p.Append(path.Stroke{Kind: path.LineStroke}, pts(1, 2, 2, 2)...)
	p.Append(path.Stroke{Kind: path.LineStroke}, pts(1, 2, 2, 2, 3, 4)...)
	d := &drawing{prog: p, g: grid.New(r, 1), o: Options{MarkWidthMM: 1}}
	all, outlines := d.linesOf()
	require.Len(t, all, 4)
	require.Equal(t, [][]path.Point{pts(1, 2, 2, 2, 3, 4)}, outlines)
}

// The tones of settings, by hand.
func TestTonesByHand(t *testing.T) {
	d := &drawing{o: Options{Tones: []color.RGBA{{R: 9, G: 8, B: 7}, {}, {R: 5}}},
		prog: path.Program{Settings: []path.Setting{{Name: "deep"}, {Name: "b"}}}}
	for set, want := range map[int]string{0: "{9 8 7 255} deep", 1: "{26 26 26 255} marked", 2: "{5 0 0 255} marked",
		3: "{26 26 26 255} marked"} {
		c, name := d.tone(set)
		require.Equal(t, want, fmt.Sprint(c, " ", name))
	}
	d.prog.Settings[0].Name = ""
	_, name := d.tone(0)
	require.Equal(t, "marked", name)
	blank := color.RGBA{R: 100, G: 200, B: 0, A: 255} // 0.65 of the way
	light, dark := Lighter(blank), Darker(blank)
	for i, want := range []float64{201, 236, 166} {
		require.InDelta(t, want, []uint8{light.R, light.G, light.B}[i], 1)
		require.InDelta(t, []float64{35, 70, 0}[i], []uint8{dark.R, dark.G, dark.B}[i], 1)
	}
	require.Equal(t, []uint8{255, 255}, []uint8{light.A, dark.A})
}

// The blank has its colour where it lies; else those in the pockets have, else all has.
func TestPaintedBlank(t *testing.T) {
	wood := color.RGBA{R: 200, G: 168, B: 120}
	for name, c := range map[string]struct {
		o      Options
		pixels int
	}{
		"blank":   {Options{Blank: box(1, 1, 4, 3), Pockets: []Pocket{{Rect: box(0, 0, 9, 9)}}}, 6},
		"pockets": {Options{Pockets: []Pocket{{Rect: box(0, 0, 2, 1)}, {Rect: box(5, 5, 6, 8)}}}, 5},
		"neither": {Options{}, 100},
	} {
		g := grid.New(box(0, 0, 10, 10), 1)
		d := &drawing{o: c.o, g: g, plot: Options{}.ground(g)}
		d.paintBlank(wood)
		n := 0
		for i := 0; i < len(d.plot.Pix); i += 4 {
			if d.plot.Pix[i] == 200 && d.plot.Pix[i+1] == 168 && d.plot.Pix[i+2] == 120 && d.plot.Pix[i+3] == 255 {
				n++
			}
		}
		require.Equal(t, c.pixels, n, name)
	}
}

// How far a mark lies from the rows of a direction, by hand, and the gaps between rows.
func TestGapsByHand(t *testing.T) {
	r, ok := pieceOf(pts(5, 3, 1, 3), path.Point{X: 1})
	require.True(t, ok)
	require.Equal(t, rowPiece{across: 3, from: 1, to: 5}, r)
	r, ok = pieceOf(pts(2, 1, 2, 4), path.Point{Y: 1})
	require.True(t, ok)
	require.Equal(t, rowPiece{across: -2, from: 1, to: 4}, r)
	_, ok = pieceOf(pts(0, 0, 10, 0.0099), path.Point{X: 1})
	require.True(t, ok)
	_, ok = pieceOf(pts(0, 0, 10, 0.0101), path.Point{X: 1})
	require.False(t, ok)

	piece := func(across, from, to float64) rowPiece { return rowPiece{across, from, to} }
	for name, c := range map[string]struct {
		pieces []rowPiece
		want   []float64
	}{
		"rows":                {[]rowPiece{piece(0.5, 0, 9), piece(0, 0, 9), piece(0.2, 0, 9)}, []float64{0.2, 0.3}},
		"pieces of a row":     {[]rowPiece{piece(0, 0, 4), piece(0.001, 5, 9), piece(0.2, 0, 9)}, []float64{0.2, 0.199}},
		"hardly beside":       {[]rowPiece{piece(0, 0, 4), piece(0.2, 2, 6)}, nil},
		"beside":              {[]rowPiece{piece(0, 0, 4), piece(0.2, 1.9, 5.9)}, []float64{0.2}},
		"too far apart":       {[]rowPiece{piece(0, 0, 3), piece(1.01, 0, 9)}, nil},
		"just near enough":    {[]rowPiece{piece(0, 0, 3), piece(1, 0, 9)}, []float64{1}},
		"one behind another":  {[]rowPiece{piece(0, 0, 3), piece(0.1, 5, 9), piece(0.2, 0, 3)}, []float64{0.2}},
		"one over the other":  {[]rowPiece{piece(0, 0, 3), piece(0.002, 0, 3)}, nil},
		"the next one counts": {[]rowPiece{piece(0, 0, 3), piece(0.1, 0, 3), piece(0.2, 0, 3)}, []float64{0.1, 0.1}},
	} {
		got := gapsOf(c.pieces)
		require.Len(t, got, len(c.want), name)
		for i := range got {
			require.InDelta(t, c.want[i], got[i], 1e-12, name)
		}
	}
	for _, c := range []struct {
		p, q []path.Point
		gap  float64
		ok   bool
	}{
		{nil, pts(0, 0, 9, 0), 0, false}, {pts(0, 2, 9, 2), pts(0, 0, 9, 0), 2, true},
		{pts(5, 7, 5, 3), pts(2, 0, 2, 1), 3, true},
		{pts(0, 2, 9, 2.02), pts(0, 0, 9, 0), 2, false}, {pts(0, 0.001, 9, 0.001), pts(0, 0, 9, 0), 0.001, false},
	} {
		gap, ok := rowGap(c.p, c.q)
		require.Equal(t, c.ok, ok, "%v", c)
		require.InDelta(t, c.gap, gap, 1e-9)
	}
}

// The gaps that are most alike, by hand: within a fiftieth and two thousandths of a millimetre,
// and a quarter of all at least.
func TestCommonGapsByHand(t *testing.T) {
	for name, c := range map[string]struct {
		gaps []float64
		want float64
	}{
		"two":                {[]float64{0.2, 0.2}, 0.2},
		"one":                {[]float64{0.2}, 0},
		"none":               {nil, 0},
		"the most":           {[]float64{0.1, 0.5, 0.1, 0.5, 0.5}, 0.5},
		"all within a few":   {[]float64{1, 1.01, 1.02}, 1.01},
		"too far apart":      {[]float64{1, 1.025}, 0},
		"a quarter":          {[]float64{0.3, 0.3, 1, 2, 3, 4, 5, 6}, 0.3},
		"less than that":     {[]float64{0.3, 0.3, 1, 2, 3, 4, 5, 6, 7}, 0},
		"by the grid's step": {[]float64{0.02, 0.0215}, 0.02075},
	} {
		require.InDelta(t, c.want, common(c.gaps), 1e-12, name)
	}
}

// Marks as driven are seen as vectors up to 50,000 lines, wanted ones with them; others are pixels.
func TestManyLinesStayPixels(t *testing.T) {
	few := lines(pts(0, 0, 10, 0))
	for n, vector := range map[int]bool{1: true, 49_999: true, 50_000: false} {
		driven := make([][]path.Point, n)
		for i := range driven {
			driven[i] = pts(0, 0, 1, 0)
		}
		d, err := newDrawing(few, Options{Show: ShowRows, MarkWidthMM: 0.2, Size: 300, Driven: driven})
		require.NoError(t, err)
		d.rows()
		require.Equal(t, vector, d.spec.Under != nil, n)
		require.Equal(t, []string{"mark as driven, 0.2 mm wide", "wanted"}, labels(d.spec.Keys)[:2])
		require.Equal(t, driven, d.spec.Lines[0].Paths)
	}
}

// Rows as lines of vectors, and the middles of polylines where there is room for one.
func TestRowsAsVectors(t *testing.T) {
	p := lines(pts(0, 0, 10, 0))
	p.Append(path.Stroke{Kind: path.LineStroke}, pts(0, 2, 10, 2, 10, 4)...)
	for _, c := range []struct {
		width   float64
		middles int
		keys    []string
		opacity float64
		drawn   float64 // width, 0 for that of a line
	}{
		{1, 1, []string{"mark, 1 mm wide", "outline"}, 0.4, 1},
		{0.04, 0, []string{"mark, 0.04 mm wide"}, 0.4, 0.04},
		{0.001, 0, []string{"mark, 0.001 mm wide, drawn wider"}, 0.85, 0},
	} {
		d, err := newDrawing(p, Options{Show: ShowRows, MarkWidthMM: c.width, Size: 800})
		require.NoError(t, err)
		line := 1 / d.g.PxPerMM
		d.rows()
		require.Equal(t, c.keys, labels(d.spec.Keys)[:len(c.keys)])
		require.Len(t, d.spec.Lines, 2)
		require.Len(t, d.spec.Lines[0].Paths, 2)
		require.Len(t, d.spec.Lines[1].Paths, c.middles)
		require.Equal(t, c.opacity, d.spec.Lines[0].Opacity)
		want := c.drawn
		if want == 0 {
			want = line
		}
		require.InDelta(t, want, d.spec.Lines[0].WidthMM, 1e-12)
		require.InDelta(t, line, d.spec.Lines[1].WidthMM, 1e-12)
		require.NotNil(t, d.spec.Under)
	}
}

// Travel is dotted lines, beside it the reach, by name.
func TestTravelAsVectors(t *testing.T) {
	p := lines(pts(0, 0, 10, 0))
	for name, label := range map[string]string{"": "reach of the head 30 x 5 mm", "swing": "swing 30 x 5 mm"} {
		o := Options{Show: ShowTravel, Size: 500, Reach: box(-10, -2, 20, 3), ReachName: name,
			Travel: [][]path.Point{pts(0, 0, 5, 5)}}
		d, err := newDrawing(p, o)
		require.NoError(t, err)
		d.travel()
		require.Equal(t, []page.Frame{{Rect: o.Reach, Pattern: page.DashDotted, Label: label}}, d.spec.Frames)
		require.Equal(t, []page.Lines{{Paths: o.Travel, Dotted: true, Colour: page.Light.Mid}}, d.spec.Lines)
		require.NotNil(t, d.spec.Under)
		require.Equal(t, []string{"marked", "beam-off movement"}, labels(d.spec.Keys))
	}
	d, err := newDrawing(p, Options{Show: ShowTravel, Size: 500})
	require.NoError(t, err)
	d.travel()
	require.Empty(t, d.spec.Frames)
	require.Empty(t, d.spec.Lines)
	require.Equal(t, []string{"marked"}, labels(d.spec.Keys))
}

// Energy and length over an area, by hand: a line of 4 mm and 2 J, a way of no length and a dot
// of 0.5 J each, and nothing.
func TestDoseByHand(t *testing.T) {
	p := lines(pts(1, 1, 5, 1), pts(7, 7), pts(7, 3, 7, 3), nil)
	marking := []path.Marking{{EnergyJ: 2}, {EnergyJ: 0.5}, {EnergyJ: 0.5}, {EnergyJ: 7}}
	g := grid.New(box(0, 0, 10, 10), 20)
	l := Dose(p, g, 1, marking)
	at := func(x, y float64) float64 { return l.at(x, y) }
	assert.InDelta(t, 100*2.0/4, at(3, 1), 1e-3, "2 J over 4 mm2")
	for _, c := range []path.Point{{X: 7, Y: 7}, {X: 7, Y: 3}} {
		assert.InEpsilon(t, 100*0.5/(math.Pi/4), at(c.X, c.Y), 0.02, "0.5 J over a disc of 1 mm")
	}
	sum := 0.0
	for _, v := range l.Value {
		sum += float64(v)
	}
	assert.InEpsilon(t, 100*(2+0.5+0.5), sum*g.PixelArea(), 1e-3)
	assert.InDelta(t, 1, Density(p, g, 1).at(3, 1), 1e-6, "4 mm over 4 mm2")
}

// A closed way is filled at the corner where it closes, and an open one ends square, unless its
// ends are round.
func TestCornersByHand(t *testing.T) {
	triangle := traced(pts(2, 2, 8, 2, 5, 7, 2, 2)...)
	assert.InDelta(t, 1, triangle.at(1.75, 1.85), 0.05, "the corner where it closes")
	assert.InDelta(t, 1, triangle.at(5, 7.3), 0.05)
	open := traced(pts(2, 2, 5, 2, 5, 7)...)
	assert.Zero(t, open.at(1.8, 2))
	assert.InDelta(t, 1, open.at(5.2, 1.8), 0.05)
	assert.False(t, isCorner(path.Point{}, path.Point{X: 1}, path.Point{X: 2, Y: 0.33}), "of 18 degrees")
	assert.True(t, isCorner(path.Point{}, path.Point{X: 1}, path.Point{X: 2, Y: 0.38}), "of 21 degrees")
}

// The band of rows that a spacing is told from, by hand: all of up to 40,000, and of 80,000 those
// in the middle half.
func TestBandByHand(t *testing.T) {
	var c rowClass
	for _, across := range []float64{6, 5, 9, 8} {
		c.count(rowPiece{across: across})
	}
	require.Equal(t, []float64{5, 9, 4}, []float64{c.least, c.most, float64(c.n)})
	in := func(n int) (all []float64) {
		c.n = n
		for _, across := range []float64{5, 5.9, 6, 7, 8, 8.1, 9} {
			if c.inBand(rowPiece{across: across}) {
				all = append(all, across)
			}
		}
		return all
	}
	require.Len(t, in(4), 7)
	require.Len(t, in(40_000), 7)
	require.Equal(t, []float64{6, 7, 8}, in(80_000))
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
	require.InDelta(t, 8+1.0, times.at(2, 1.05), 0.15)
	require.InDelta(t, 7, times.at(4.5, 1.05), 0.15)
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
	require.Equal(t, 90.0, f.total)
	require.Equal(t, colour.Ramp{page.Light.Paper}, f.scale.Ramp)
}
