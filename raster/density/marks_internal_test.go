package density

import (
	"bytes"
	"fmt"
	"image/color"
	"image/png"
	"io"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/path"
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
	clear(l.Value)
	for i := range 199 {
		l.Value[i] = 2
	}
	l.Value[199] = 5000
	require.InDelta(t, 5, l.knee(0.01), 3.1, "one spot over and over: a thousandth of it, and not all of it")
	require.Equal(t, 5000.0, l.knee(0.001))
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
		require.Len(t, d.spec.Lines, 2)
		require.Equal(t, driven, d.spec.Lines[0].Paths)
		require.True(t, d.spec.Lines[0].RoundEnds && !d.spec.Lines[1].RoundEnds)
		require.Equal(t, []float64{0.4, 1}, []float64{d.spec.Lines[0].Opacity, d.spec.Lines[1].Opacity})
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
	trace := Options{Show: ShowTravel, Size: 500, Reach: box(-10, -2, 20, 3), Guide: [][]path.Point{pts(0, 0, 5, 1)}}
	d, err = newDrawing(path.Program{}, trace)
	require.NoError(t, err)
	d.travel()
	require.Equal(t, []string{"visible guide"}, labels(d.spec.Keys), "nothing marked")
	require.Equal(t, trace.Guide, d.spec.Lines[0].Paths)
	at := d.g.Pixel(path.Point{X: 2.5, Y: 0.5})
	require.Less(t, d.plot.RGBAAt(int(at.X), int(at.Y)).R, page.Light.Mid.R, "darker than the dots of travel")
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
	assert.InEpsilon(t, 100*(2+0.5+0.5), sum/(g.PxPerMM*g.PxPerMM), 1e-3)
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

// Strokes of no points are passed over in every picture, and in a film.
func TestStrokesOfNothing(t *testing.T) {
	p := lines(pts(1, 1, 5, 1), nil, pts(2, 2), nil)
	o := heating()
	o.Window, o.Size, o.DPI = path.Rect{}, 300, 0
	for i := range p.Strokes {
		o.Marking = append(o.Marking, path.Marking{EnergyJ: 1, Start: time.Duration(i) * time.Second,
			End: time.Duration(i+1) * time.Second})
	}
	for show := ShowDensity; show <= ShowHeat; show++ {
		o.Show = show
		_, err := Picture(p, o)
		require.NoError(t, err, show)
	}
	o.Show = ShowSequence
	require.NoError(t, EncodeFilm(io.Discard, p, o, 1))
}

// A film whose size is not said has 900 pixels on its longer side; it takes a second to a minute.
func TestSizeOfAFilm(t *testing.T) {
	var b bytes.Buffer
	o := Options{Marking: []path.Marking{{End: time.Second}}}
	require.NoError(t, EncodeFilm(&b, lines(pts(1, 1, 5, 1)), o, 1))
	size, err := png.DecodeConfig(&b)
	require.NoError(t, err)
	require.LessOrEqual(t, max(size.Width, size.Height), 900)
	require.Greater(t, max(size.Width, size.Height), 850)
	for seconds, ok := range map[float64]bool{0.99: false, 60: true, 60.01: false} {
		err := EncodeFilm(io.Discard, lines(pts(1, 1, 5, 1)), o, seconds)
		require.Equal(t, ok, err == nil, "%g s", seconds)
	}
	require.Equal(t, "Show(7)", (ShowHeat + 1).String())
	for side, refused := range map[path.Point]string{
		{X: 300, Y: 150}: "3000 x 1500 pixels, more than the 4 million", {X: 100, Y: 450}: "1000 x 4500 pixels",
	} {
		o.Window, o.DPI = path.Rect{Max: side}, 254
		_, err := newDrawing(lines(pts(1, 1, 5, 1)), o)
		require.NoError(t, err)
		err = EncodeFilm(io.Discard, lines(pts(1, 1, 5, 1)), o, 1)
		require.ErrorIs(t, err, ErrTooLarge)
		require.ErrorContains(t, err, refused)
	}
}
