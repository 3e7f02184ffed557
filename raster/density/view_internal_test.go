package density

import (
	"errors"
	"image"
	"image/color"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/path"
	"furrow/raster/grid"
	"furrow/raster/page"
)

func box(x0, y0, x1, y1 float64) path.Rect {
	return path.Rect{Min: path.Point{X: x0, Y: y0}, Max: path.Point{X: x1, Y: y1}}
}

// What is shown of work from 10, 30 to 20, 35 mm, by hand: a mark's width of 1 mm round it,
// and all that the options name, and then a fiftieth of the longer side round that.
func TestViewByHand(t *testing.T) {
	work := box(10, 30, 20, 35)
	keep, pocket := []path.Rect{box(50, 31, 60, 33)}, []Pocket{{Rect: box(0, 31, 15, 33)}}
	bed, blank, reach := box(0, 0, 100, 80), box(9, 20, 40, 40), box(-10, 30, 70, 31)
	for name, c := range map[string]struct {
		o    Options
		want path.Rect // without the fiftieth
	}{
		"work":                {Options{}, box(9, 29, 21, 36)},
		"a window":            {Options{Window: box(1, 2, 3, 4), Bed: bed}, path.Rect{}},
		"the bed":             {Options{Bed: bed}, bed},
		"the blank":           {Options{Blank: blank}, box(9, 20, 40, 40)},
		"the bed in an inset": {Options{Bed: bed, Inset: true, Blank: blank}, box(9, 20, 40, 40)},
		"zero":                {Options{Zero: "X0 Y0"}, box(0, 0, 21, 36)},
		"clamps":              {Options{Keep: keep}, box(9, 29, 60, 36)},
		"a pocket aslant": {Options{Pockets: []Pocket{{Rect: box(0, 31, 15, 33), Turn: 90}}}, // X 6.5 to 8.5
			box(6.5, 24.5, 21, 39.5)},
		"pockets": {Options{Pockets: pocket, Crop: true}, box(0, 29, 21, 36)},
		"cropped": {Options{Crop: true, Zero: "0", Bed: bed, Blank: blank, Keep: keep},
			box(9, 29, 21, 36)},
		"cropped travel": {Options{Crop: true, Show: ShowTravel, Keep: keep, Blank: blank},
			box(9, 29, 60, 36)},
		"travel":                  {Options{Show: ShowTravel, Reach: reach}, box(-11, 29, 71, 36)},
		"reach beside travel":     {Options{Show: ShowRows, Reach: reach}, box(9, 29, 21, 36)},
		"a reach of nothing":      {Options{Show: ShowTravel, Reach: box(-10, 30, -10, 31)}, box(9, 29, 21, 36)},
		"a bed that is flat":      {Options{Bed: box(-50, 30, 70, 30), Blank: box(12, -9, 12, 60)}, box(9, 29, 21, 36)},
		"a window without height": {Options{Window: box(1, 2, 3, 2)}, box(9, 29, 21, 36)},
	} {
		c.o.MarkWidthMM = 1
		want := c.want.Grow(0.02 * max(c.want.W(), c.want.H()))
		if c.want == (path.Rect{}) {
			want = c.o.Window
		}
		got := c.o.view(work)
		require.InDelta(t, 0, got.Min.Dist(want.Min), 1e-12, "%s: %v", name, got)
		require.InDelta(t, 0, got.Max.Dist(want.Max), 1e-12, "%s: %v", name, got)
	}
}

// Pixels to a millimetre by hand: of 1,600 pixels 9·15 stand beside the plot and 14·15 below
// it; paper takes ten a millimetre up to ten million of them.
func TestPixelsByHand(t *testing.T) {
	for _, c := range []struct {
		o    Options
		w, h float64
		want float64
	}{
		{Options{Size: 1600}, 100, 10, 14.65}, {Options{Size: 1600}, 10, 100, 13.9}, {Options{Size: 350}, 10, 10, 14},
		{Options{Size: 1600, DPI: 508}, 10, 10, 20}, {Options{DPI: 127, Paper: true}, 10, 10, 5},
		{Options{Paper: true}, 300, 300, 10}, {Options{Paper: true}, 1000, 400, 5},
		{Options{Paper: true}, 400, 1000, 5},
	} {
		require.InDelta(t, c.want, c.o.pxPerMM(box(0, 0, c.w, c.h)), 1e-9, "%+v", c)
	}
}

// A picture has 40 million pixels at most, and a mark 100,000 of its width.
func TestLargestPictures(t *testing.T) {
	for _, c := range []struct {
		dpi, w, h, mark float64
		want            string
	}{
		{254, 800, 500, 0.1, ""}, {254, 800, 500.1, 0.1,
			"the picture would be too large: 8000 x 5001 pixels, more than 40"},
		{25400, 1, 1, 100, ""}, {25400, 1, 2, 100.1, "a mark of 100.1 mm would be 100100 pixels wide"},
		{254, 3, math.NaN(), 1, "a picture of 3 x NaN mm cannot be drawn at 10 pixels"},
	} {
		o := Options{DPI: c.dpi, MarkWidthMM: c.mark}
		g, err := o.grid(box(0, 0, c.w, c.h))
		if c.want == "" {
			require.NoError(t, err)
			require.Equal(t, []int{int(c.w * c.dpi / 25.4), int(c.h * c.dpi / 25.4)}, []int{g.W, g.H})
			continue
		}
		require.ErrorContains(t, err, c.want)
		require.Equal(t, c.w == 800, errors.Is(err, ErrTooLarge))
	}
}

// The height of text by hand: 15 pixels on a screen; 2.5 mm on paper, less where that is
// narrower than 60 mm, to 1.8 mm; and nine tenths of that at a resolution.
func TestTextByHand(t *testing.T) {
	for _, c := range []struct {
		o    Options
		w, h float64 // of the grid, mm, at 20 pixels each
		want float64
	}{
		{Options{}, 100, 10, 15}, {Options{Paper: true}, 100, 10, 50}, {Options{Paper: true}, 48, 200, 40},
		{Options{Paper: true}, 10, 200, 36}, {Options{DPI: 508}, 100, 10, 45}, {Options{DPI: 508}, 48, 10, 36},
	} {
		require.InDelta(t, c.want, c.o.textPx(grid.New(box(0, 0, c.w, c.h), 20)), 1e-9, "%+v", c)
	}
	require.Equal(t, 15.0, Options{DPI: 50.8}.textPx(grid.New(box(0, 0, 100, 10), 2)), "no smaller than on a screen")
}

// What lies below the marks, by hand: a blank of 2 x 1 mm in a bed of 6 x 4 mm on a table, ten
// pixels a millimetre, and where one of them is not known.
func TestGroundByHand(t *testing.T) {
	g := grid.New(box(-1, -1, 9, 7), 10)
	bed, blank := box(0, 0, 6, 4), box(1, 2, 3, 3)
	l := page.Light
	for name, c := range map[string]struct {
		o                    Options
		table, onBed, onPart color.RGBA
	}{
		"both":         {Options{Bed: bed, Blank: blank}, l.Table, l.Bed, l.Blank},
		"bed":          {Options{Bed: bed}, l.Table, l.Bed, l.Bed},
		"blank":        {Options{Blank: blank}, l.Bed, l.Bed, l.Blank},
		"neither":      {Options{}, l.Blank, l.Blank, l.Blank},
		"in an inset":  {Options{Bed: bed, Blank: blank, Inset: true}, l.Bed, l.Bed, l.Blank},
		"dark":         {Options{Bed: bed, Blank: blank, Dark: true}, page.Dark.Table, page.Dark.Bed, page.Dark.Blank},
		"a flat blank": {Options{Bed: bed, Blank: box(1, 2, 3, 2)}, l.Table, l.Bed, l.Bed},
	} {
		img := c.o.ground(g)
		require.Equal(t, image.Rect(0, 0, 100, 80), img.Rect)
		for at, want := range map[image.Point]color.RGBA{ // pixels from the upper left, which is -1, 7
			{X: 9, Y: 50}: c.table, {X: 10, Y: 30}: c.onBed, {X: 69, Y: 69}: c.onBed, {X: 70, Y: 50}: c.table,
			{X: 40, Y: 29}: c.table, {X: 40, Y: 70}: c.table, {X: 20, Y: 40}: c.onPart, {X: 39, Y: 49}: c.onPart,
			{X: 40, Y: 45}: c.onBed, {X: 19, Y: 45}: c.onBed, {X: 30, Y: 39}: c.onBed, {X: 30, Y: 50}: c.onBed,
		} {
			require.Equal(t, want, img.RGBAAt(at.X, at.Y), "%s at %v", name, at)
		}
	}
	img := Options{Bed: box(-50, -50, 50, 50)}.ground(g)
	require.Equal(t, l.Bed, img.RGBAAt(0, 0))
	require.Equal(t, l.Bed, img.RGBAAt(99, 79))
}

// A round blank of 4 mm about 3, 3: 1.4 mm to the side and up its edge is near (1.98 of 2
// mm), 1.45 are off it; in its corners lies the bed.
func TestGroundOfARoundBlank(t *testing.T) {
	g := grid.New(box(-1, -1, 9, 7), 10)
	o := Options{Blank: box(1, 1, 5, 5), Round: true}
	img, l := o.ground(g), page.Light
	at := func(x, y float64) color.RGBA { return img.RGBAAt(int((x+1)*10), int((7-y)*10)) }
	for _, s := range [][2]float64{{1, 1}, {-1, 1}, {1, -1}, {-1, -1}} {
		require.Equal(t, l.Blank, at(3.05+1.3*s[0], 3.05+1.3*s[1]), "%v", s)
		require.Equal(t, l.Bed, at(3.05+1.55*s[0], 3.05+1.55*s[1]), "%v", s)
		require.Equal(t, l.Blank, at(3.05+1.85*s[0], 3.05), "%v", s)
		require.Equal(t, l.Blank, at(3.05, 3.05+1.85*s[1]), "%v", s)
		require.Equal(t, l.Bed, at(3.05, 3.05+2.15*s[1]), "%v", s)
	}
	require.Equal(t, page.Frame{Rect: o.Blank, Round: true, Pattern: page.Dashed, Label: "round blank 4 x 4 mm"},
		o.frames()[0])
}

// A pocket of 6 x 2 mm about 4, 3 that lies aslant by 30 degrees is painted as it lies: its middle
// line and a corner of it, and nothing of the corners of an upright one; of the oval in it no corner.
func TestGroundOfAPocketAslant(t *testing.T) {
	for _, round := range []bool{false, true} {
		o := Options{Pockets: []Pocket{{Number: 7, Rect: box(1, 2, 7, 4), Turn: 30}}, Round: round}
		d := &drawing{o: o, g: grid.New(box(-1, -1, 9, 7), 20)}
		d.plot = o.ground(d.g)
		red := color.RGBA{R: 200, A: 255}
		d.paintBlank(red)
		cos, sin := math.Sqrt(3)/2, 0.5
		for along, on := range map[[2]float64]bool{
			{0, 0}: true, {2.85, 0}: true, {-2.85, 0}: true, {0, 0.85}: true, {0, -0.85}: true, {3.15, 0}: false,
			{0, 1.15}: false, {0, -1.15}: false, {2.8, 0.8}: !round, {-2.8, -0.8}: !round, {2.4, -0.7}: !round,
		} {
			x, y := 4+along[0]*cos-along[1]*sin, 3+along[0]*sin+along[1]*cos
			require.Equal(t, on, d.plot.RGBAAt(int((x+1)*20), int((7-y)*20)) == red, "%v, round %v", along, round)
		}
		require.InDelta(t, 30, o.frames()[0].Turn, 0)
		require.Equal(t, "pocket, with its number", o.frames()[0].Label)
	}
}

// Sizes are told to a tenth, below 10 to a hundredth.
func TestSizesInWords(t *testing.T) {
	require.Equal(t, "3.46 x 12.4 mm", Options{}.size(box(1, 1, 4.456, 13.36)))
	require.Equal(t, "9.99 x 10 mm", Options{}.size(box(0, 0, 9.99, 10.04)))
	require.Equal(t, "2 x 0.5 in", Options{Inches: true}.size(box(0, 0, 50.8, 12.7)))
}

// What stands round the work, by name.
func TestFramesByHand(t *testing.T) {
	o := Options{Bed: box(0, 0, 100, 80), Blank: box(1, 2, 21, 12), Zero: "X0 Y0", Keep: []path.Rect{box(5, 5, 6, 6)},
		Pockets: []Pocket{{Number: 7, Rect: box(0, 0, 4, 3)}, {Rect: box(0, 0, 4, 3)}}}
	require.Equal(t, []page.Frame{
		{Rect: o.Bed, Pattern: page.Solid, Label: "bed 100 x 80 mm"},
		{Rect: o.Blank, Pattern: page.Dashed, Label: "blank 20 x 10 mm"}, {Pattern: page.Cross, Label: "X0 Y0"},
		{Rect: box(0, 0, 4, 3), Pattern: page.Dashed, Label: "pocket, with its number", Text: "7"},
		{Rect: box(0, 0, 4, 3), Pattern: page.Dashed, Label: "blank 4 x 3 mm"},
		{Rect: o.Keep[0], Pattern: page.Hatched, Label: "keep out"},
	}, o.frames())
	o = Options{Bed: box(0, 0, 100, 80), BedName: "field", Blank: box(1, 2, 21, 12), BlankName: "page"}
	require.Equal(t, "field 100 x 80 mm", o.frames()[0].Label)
	require.Equal(t, "page 20 x 10 mm", o.frames()[1].Label)
	o.Inset = true
	require.Len(t, o.frames(), 1)
	require.Empty(t, Options{}.frames())
}

// The defaults, and what is refused right beside the ranges.
func TestRangesOfOptions(t *testing.T) {
	p := twoMarks(path.Point{Y: 1}, false)
	o, err := Options{}.complete(p)
	require.NoError(t, err)
	require.Equal(t, []any{0.1, 1600}, []any{o.MarkWidthMM, o.Size})
	for _, c := range []struct {
		o  Options
		ok bool
	}{
		{Options{Size: 300}, true}, {Options{Size: 299}, false}, {Options{Size: 20_000}, true},
		{Options{Size: 20_001}, false},
		{Options{DPI: 1}, true}, {Options{DPI: 0.99}, false}, {Options{DPI: 100_000}, true},
		{Options{DPI: 100_001}, false},
		{Options{MarkWidthMM: 1e-9}, true}, {Options{MarkWidthMM: math.Inf(1)}, false},
		{Options{Show: ShowHeat + 1}, false},
	} {
		_, err := c.o.complete(p)
		require.Equal(t, c.ok, err == nil, "%+v: %v", c.o, err)
	}
	_, err = Options{}.complete(path.Program{Settings: p.Settings})
	require.ErrorIs(t, err, ErrNothing)
}

// Facts that are missing or do not go with the strokes.
func TestFactsByHand(t *testing.T) {
	p, both := twoMarks(path.Point{Y: 1}, false), []path.Marking{{EnergyJ: 1, End: time.Second}, {EnergyJ: 1}}
	cells := HeatMap{Rect: box(0, 0, 2, 1), NX: 2, NY: 1, RiseK: []float32{1, 2}}
	flat, none, few, narrow, low := cells, cells, cells, cells, cells
	single := HeatMap{Rect: box(0, 0, 2, 1), NX: 1, NY: 1, RiseK: []float32{1}}
	narrow.NX, narrow.RiseK, low.NY, low.RiseK = 0, nil, 0, nil
	flat.Rect.Max.Y, none.NX, none.NY, none.RiseK = 0, 0, 0, nil
	few.NX = 3
	for _, c := range []struct {
		o  Options
		ok bool
	}{
		{Options{Show: ShowDose, Marking: both}, true}, {Options{Show: ShowDose, Marking: both[:1]}, false},
		{Options{Show: ShowSequence, Marking: both}, true}, {Options{Show: ShowSequence, Marking: both[:1]}, false},
		{Options{Show: ShowSequence, Marking: make([]path.Marking, 2)}, false},
		{Options{Show: ShowRows, Marking: both[:1]}, true}, {Options{Show: ShowHeat, Heat: cells}, true},
		{Options{Show: ShowHeat, Heat: flat}, false}, {Options{Show: ShowHeat, Heat: none}, false},
		{Options{Show: ShowHeat, Heat: few}, false}, {Options{Show: ShowHeat}, false},
		{Options{Show: ShowHeat, Heat: single}, true},
		{Options{Show: ShowHeat, Heat: narrow}, false}, {Options{Show: ShowHeat, Heat: low}, false},
	} {
		_, err := c.o.complete(p)
		require.Equal(t, c.ok, err == nil, "%+v: %v", c.o, err)
	}
	require.Equal(t, 1.0, Options{Marking: both}.lastEnd())
}

// Where nothing of the work is seen there is no picture, but for one of travel or heat.
func TestNothingInTheWindow(t *testing.T) {
	p := twoMarks(path.Point{Y: 1}, false)
	for show, ok := range map[Show]bool{ShowRows: false, ShowDensity: false, ShowFinish: false, ShowTravel: true} {
		_, err := newDrawing(p, Options{Show: show, Window: box(50, 50, 60, 60)})
		require.Equal(t, ok, err == nil, show)
		if !ok {
			require.ErrorContains(t, err, "between X 0, Y 0 and X 10, Y 1 mm")
		}
		_, err = newDrawing(p, Options{Show: show, Window: box(10.05, 0, 12, 0.5)})
		require.NoError(t, err, "half a mark reaches in")
	}
}

// Where the work lies in a bed of 200 x 100 mm, by hand: an inset of 112 pixels for the 200,
// so a pixel of 1.79 mm; the blank is part of it, and what is small is grown to be seen.
func TestLocatorByHand(t *testing.T) {
	p := twoMarks(path.Point{Y: 20}, false)
	p = p.Transform(path.Translate(50, 30))
	count := func(o Options) (n int, at image.Rectangle) {
		d := &drawing{prog: p, o: o, spec: page.Spec{TextPx: 15}}
		img := d.locator(100)
		require.Equal(t, image.Rect(0, 0, 100, 50), img.Rect)
		for y := range 50 {
			for x := range 100 {
				if img.RGBAAt(x, y) == page.Light.Mid {
					n++
					at = at.Union(image.Rect(x, y, x+1, y+1))
				} else {
					require.Equal(t, page.Light.Bed, img.RGBAAt(x, y))
				}
			}
		}
		return n, at
	}
	o := Options{Bed: box(0, 0, 200, 100), MarkWidthMM: 1}
	n, at := count(o) // 49.5..60.5 x 29.5..50.5 mm
	require.Equal(t, image.Rect(25, 25, 30, 35), at)
	require.Equal(t, 50, n)
	o.Blank = box(40, 20, 100, 80)
	_, at = count(o)
	require.Equal(t, image.Rect(20, 10, 50, 40), at)
	o.Blank = path.Rect{}
	p = path.Program{}
	p.Append(path.Stroke{}, path.Point{X: 100, Y: 50}, path.Point{X: 100.1, Y: 50})
	_, at = count(o)
	require.Equal(t, image.Rect(48, 23, 52, 27), at, "four lines' width at least")
}

// A heat map of three by three cells, by hand.
func TestHeatMapByHand(t *testing.T) {
	m := HeatMap{Rect: box(10, 20, 16, 26), NX: 3, NY: 3, RiseK: []float32{0, 10, 20, 30, 60, 50, 10, 0, 40}}
	require.Equal(t, 4, m.hottest())
	require.Equal(t, path.Point{X: 11, Y: 21}, m.middle(0))
	require.Equal(t, path.Point{X: 15, Y: 21}, m.middle(2))
	require.Equal(t, path.Point{X: 13, Y: 23}, m.middle(4))
	for _, c := range []struct{ x, y, want float64 }{
		{11, 21, 0}, {13, 21, 10}, {15, 21, 20}, {11, 23, 30}, {13, 23, 60}, {15, 23, 50}, {12, 21, 5}, {11, 22, 15},
		{12, 22, 25}, {14, 22, 35}, {10, 20, 0}, {16, 26, 40}, {16, 20, 20}, {10, 26, 10}, {14.5, 23, 52.5},
		{13, 21.5, 22.5},
		{13, 24, 30}, {15, 24.5, 42.5},
	} {
		v, on := m.at(path.Point{X: c.x, Y: c.y})
		require.True(t, on, "%+v", c)
		require.InDelta(t, c.want, v, 1e-9, "%+v", c)
	}
	for _, p := range []path.Point{{X: 9.9, Y: 22}, {X: 16.1, Y: 22}, {X: 13, Y: 19.9}, {X: 13, Y: 26.1}} {
		_, on := m.at(p)
		require.False(t, on, p)
	}
}

// The pixels on the plate are those whose middles are, and the place is that of the middle.
func TestPixelsOnThePlate(t *testing.T) {
	d := &drawing{g: grid.New(box(0, 0, 6, 4), 2)}
	d.o.Heat = HeatMap{Rect: box(1.5, 0.5, 4, 2), NX: 1, NY: 1, RiseK: []float32{1}}
	n := 0
	d.eachOnPlate(func(i int, p path.Point) {
		n++
		require.Equal(t, path.Point{X: float64(i%12)/2 + 0.25, Y: 4 - float64(i/12)/2 - 0.25}, p)
		assert.True(t, p.X > 1.5 && p.X < 4 && p.Y > 0.5 && p.Y < 2, p)
	})
	require.Equal(t, 5*3, n)

	// Of a disc of 4 mm in a map as large a share of π/4 is it, and in its corners is nothing.
	d = &drawing{g: grid.New(box(0, 0, 4, 4), 50), o: Options{Blank: box(0, 0, 4, 4), Round: true}}
	d.o.Heat = HeatMap{Rect: d.o.Blank, NX: 1, NY: 1, RiseK: []float32{1}}
	n = 0
	d.eachOnPlate(func(_ int, p path.Point) {
		n++
		require.LessOrEqual(t, p.Dist(path.Point{X: 2, Y: 2}), 2.0)
	})
	require.InDelta(t, math.Pi/4, float64(n)/(200*200), 0.002)
}
