package density_test

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"testing"

	"furrow/path"
	"furrow/raster/colour"
	"furrow/raster/density"
	"furrow/raster/grid"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// 20 W at 500 mm/s in rows 50 um apart is P/(v h) = 0.8 J/mm2 = 80 J/cm2 a pass
// (formula from memory). A second direction and a second pass add.
func TestDoseOfTheWorkedExample(t *testing.T) {
	pass := hatched(8, 8, 0.05, 0)
	pass.Settings[0].SpeedMMPerS = 500
	across := pass.Transform(path.Rotate(90))
	for name, c := range map[string]struct {
		prog path.Program
		want float64
	}{
		"a pass":     {pass, 80},
		"crossed":    {join(pass, across), 160},
		"two passes": {join(pass, pass), 160},
	} {
		energy := energyOf(c.prog, 20)
		for _, pxPerMM := range []float64{5, 40, 77} {
			l := density.Dose(c.prog, grid.New(c.prog.Bounds().Grow(0.5), pxPerMM), 0.05, energy)
			assert.InEpsilon(t, c.want, mean(l, 5), 0.01, "%s at %g px/mm", name, pxPerMM)
		}
	}
}

// Dose times area, summed, is the energy of all strokes: those of dots too.
func TestDoseKeepsTheEnergy(t *testing.T) {
	p := hatched(10, 10, 0.3, 33)
	energy := energyOf(p, 7)
	p.Append(path.Stroke{}, path.Point{X: 1, Y: 1})
	p.Append(path.Stroke{}, path.Point{X: 2, Y: 1}, path.Point{X: 2, Y: 1})
	energy = append(energy, path.Marking{EnergyJ: 0.5}, path.Marking{EnergyJ: 0.25})
	l := density.Dose(p, grid.New(p.Bounds().Grow(1), 20), 0.1, energy)
	want := 7*length(p)/100 + 0.75
	assert.InEpsilon(t, want, total(l)/100, 0.001)
}

func TestShowsNeedTheirFacts(t *testing.T) {
	_, err := density.Picture(emblem(), density.Options{Show: density.ShowDose})
	assert.ErrorContains(t, err, "energy of each of")
	_, err = density.Picture(emblem(), density.Options{Show: density.ShowSequence})
	assert.ErrorContains(t, err, "start and end of each of")
	_, err = density.Picture(emblem(), density.Options{Show: 99})
	assert.Error(t, err)
}

func TestShowNames(t *testing.T) {
	for _, name := range density.Shows() {
		s, err := density.ParseShow(name)
		require.NoError(t, err)
		assert.Equal(t, name, s.String())
	}
	_, err := density.ParseShow("warmth")
	assert.ErrorContains(t, err, "sequence")
}

// drawn returns the pixels of a picture whose plot is the window of 10 x 10 mm
// at 10 px/mm, and a function from a place to its pixel.
func drawn(t *testing.T, p path.Program, o density.Options) func(x, y float64) color.RGBA {
	t.Helper()
	o.Window, o.DPI = path.Rect{Min: path.Point{X: -5, Y: -5}, Max: path.Point{X: 5, Y: 5}}, 254
	pic, err := density.Picture(p, o)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, pic.EncodePNG(&b))
	img, err := png.Decode(&b)
	require.NoError(t, err)
	at := pic.PlotAt()
	return func(x, y float64) color.RGBA {
		return img.(*image.RGBA).RGBAAt(at.X+int((x+5)*10), at.Y+int((5-y)*10))
	}
}

// Rows of 0.4 mm every 1 mm cover four tenths, their crossing 1 - 0.6 x 0.6;
// seen in pixels as large as 1 mm.
func TestFinishMixesTheToneByWhatIsCovered(t *testing.T) {
	black, white := color.RGBA{0, 0, 0, 255}, color.RGBA{255, 255, 255, 255}
	for name, c := range map[string]struct {
		prog path.Program
		want float64
	}{
		"rows":    {hatched(40, 40, 1, 0), 0.4},
		"crossed": {join(hatched(40, 40, 1, 0), hatched(40, 40, 1, 90)), 0.64},
		"at 45":   {join(hatched(40, 40, 1, 45), hatched(40, 40, 1, 135)), 0.64},
	} {
		o := density.Options{
			Show: density.ShowFinish, MarkWidthMM: 0.4, DPI: 25.4 / 4,
			Window: path.Rect{Min: path.Point{X: -8, Y: -8}, Max: path.Point{X: 8, Y: 8}},
			Ground: white, Tones: []color.RGBA{black},
		}
		pic, err := density.Picture(c.prog, o)
		require.NoError(t, err)
		at := pic.PlotAt()
		sum := 0.0
		for i := range 16 {
			sum += float64(pic.Image().RGBAAt(at.X+i%4, at.Y+i/4).R) / 255
		}
		assert.InDelta(t, c.want, 1-sum/16, 0.01, name)
	}
}

// What is marked later is further up the scale, in both themes; a place marked
// twice has its last time.
func TestSequenceRuns(t *testing.T) {
	p := join(hatched(8, 8, 0.1, 0), hatched(2, 2, 0.1, 90))
	for _, dark := range []bool{false, true} {
		o := withFacts(p, density.Options{Show: density.ShowSequence, Dark: dark})
		at := drawn(t, p, o)
		early, late, again := luma(at(-3, -3)), luma(at(-3, 3)), luma(at(0, 0))
		if dark {
			early, late, again = -early, -late, -again
		}
		assert.Greater(t, early, late)
		assert.Greater(t, late, again)
	}
}

// Rows far thinner than a pixel, and rows a few pixels apart, keep the colour of
// their time: that of the scale, half way up in the middle. The scale leaves out the
// palest fifth of the colours.
func TestSequenceKeepsTheColoursOfTheScale(t *testing.T) {
	for _, spacing := range []float64{0.03, 0.2, 0.5} {
		p := hatched(9, 9, spacing, 0)
		o := withFacts(p, density.Options{Show: density.ShowSequence, MarkWidthMM: 0.01})
		got := drawn(t, p, o)(0, spacing/4) // off the edge between two rows
		end := o.Marking[len(o.Marking)-1].End.Seconds()
		want := colour.Cividis.Reversed().At(0.2 + 0.8*end/2/density.TimeScale(end).Top)
		assert.InDelta(t, want.R, got.R, 12, "%g mm", spacing)
		assert.InDelta(t, want.B, got.B, 12, "%g mm", spacing)
	}
}

// However sparse the rows, the tone of what they cover is even, as the eye sees it.
func TestFinishIsEven(t *testing.T) {
	p := hatched(9, 9, 0.13, 7)
	at := drawn(t, p, density.Options{Show: density.ShowFinish, MarkWidthMM: 0.06})
	for i := range 60 {
		c := at(-3+float64(i)*0.1, 0.05)
		assert.InDelta(t, luma(at(0, 0)), luma(c), 3, "at %d", i)
	}
	share := (255 - luma(at(0, 0))) / (255 - 26)
	assert.InDelta(t, 0.06/0.13, share, 0.02)
}

func luma(c color.RGBA) float64 {
	return 0.2126*float64(c.R) + 0.7152*float64(c.G) + 0.0722*float64(c.B)
}

// Beam-off movement has no colour of its own, and neither has what is round it.
func TestTravelIsGrey(t *testing.T) {
	p := emblem()
	pic, err := density.Picture(p, withFacts(p, density.Options{Show: density.ShowTravel,
		Blank: corner(60, 40), Size: 500}))
	require.NoError(t, err)
	pix := pic.Image().Pix
	for i := 0; i < len(pix); i += 4 {
		if pix[i] != pix[i+1] || pix[i] != pix[i+2] {
			t.Fatalf("pixel %d is %v", i/4, pix[i:i+3])
		}
	}
}

// Dotted lines show a third of their length, wherever they are cut.
func TestTravelIsDotted(t *testing.T) {
	p := path.Program{}
	p.Append(path.Stroke{}, path.Point{X: -4, Y: 4}, path.Point{X: 4, Y: 4})
	var cut [][]path.Point
	for i := range 800 {
		x := -4 + float64(i)*0.01
		cut = append(cut, []path.Point{{X: x, Y: 0}, {X: x + 0.01, Y: 0}})
	}
	whole := [][]path.Point{{{X: -4, Y: 0}, {X: 4, Y: 0}}}
	for _, lines := range [][][]path.Point{whole, cut} {
		at := drawn(t, p, density.Options{Show: density.ShowTravel, Travel: lines})
		dark := 0.0
		for i := range 80 {
			for _, y := range []float64{-0.05, 0.05} {
				dark += (255 - luma(at(-3.95+float64(i)*0.1, y))) / (255 - 128)
			}
		}
		assert.InDelta(t, 80.0/3, dark, 1.5, "%d lines", len(lines))
	}
}

func TestTravelBeyondMeasure(t *testing.T) {
	p := emblem()
	o := density.Options{Show: density.ShowTravel, Size: 400, Crop: true}
	o.Travel = [][]path.Point{{{X: -1e12, Y: 20}, {X: 1e12, Y: 20}}, {{X: math.NaN(), Y: 0}, {X: 1, Y: 1}}, {}}
	_, err := density.Picture(p, o)
	assert.NoError(t, err)
}

// In vector output, rows and travel are lines; the rest is one picture.
func TestVectorOutputHoldsLines(t *testing.T) {
	p := emblem()
	count := func(o density.Options) (paths, images int) {
		o.Paper, o.DPI = true, 100
		pic, err := density.Picture(p, withFacts(p, o))
		require.NoError(t, err)
		var b bytes.Buffer
		require.NoError(t, pic.EncodeSVG(&b))
		return bytes.Count(b.Bytes(), []byte("<path")), bytes.Count(b.Bytes(), []byte("<image"))
	}
	density0, images := count(density.Options{})
	assert.Equal(t, 1, images)
	rows, _ := count(density.Options{Show: density.ShowRows, MarkWidthMM: 0.2})
	assert.Greater(t, rows, len(p.Strokes))
	travel, _ := count(density.Options{Show: density.ShowTravel})
	assert.Less(t, travel, density0)
}

func TestTimeScales(t *testing.T) {
	for _, c := range []struct {
		total float64
		top   float64
		last  string
		label string
	}{
		{0, 1, "", "s"}, {1.7, 2, "", "s"}, {8, 8, "0:08", "min:s"}, {40, 40, "0:40", "min:s"},
		{41, 50, "0:50", "min:s"},
		{654, 720, "12:00", "min:s"}, {3599, 3600, "1:00", "h:min"}, {3000, 3000, "50:00", "min:s"},
		{4 * 3600, 4 * 3600, "4:00", "h:min"}, {400 * 3600, 432 * 3600, "432:00", "h:min"},
	} {
		s := density.TimeScale(c.total)
		assert.Equal(t, c.top, s.Top, "of %g s", c.total)
		assert.Equal(t, c.label, s.Label, "of %g s", c.total)
		assert.LessOrEqual(t, len(s.Ticks), 7, "of %g s", c.total)
		if c.last != "" {
			require.NotEmpty(t, s.Ticks, "of %g s", c.total)
			assert.Equal(t, c.last, s.Ticks[len(s.Ticks)-1], "of %g s", c.total)
		}
	}
}

func TestTonesOfABlank(t *testing.T) {
	wood := color.RGBA{200, 168, 120, 255}
	assert.Greater(t, luma(density.Lighter(wood)), luma(wood)+30)
	assert.Less(t, luma(density.Darker(wood)), luma(wood)-30)
	assert.Equal(t, color.RGBA{}, density.Darker(color.RGBA{}))
}

// A line that must be read is drawn as wide as is asked for, where it is thinner; the one
// beside it stays as it is. At 10 px/mm a column across 0.6 mm holds 6 pixels of ink, across
// 0.05 mm half a one.
func TestLinesThatMustBeRead(t *testing.T) {
	white, ink := color.RGBA{255, 255, 255, 255}, color.RGBA{0, 0, 0, 255}
	prog := path.Program{Settings: []path.Setting{{}, {}}}
	prog.Append(path.Stroke{Kind: path.LineStroke, Setting: 1}, path.Point{X: -3}, path.Point{X: 3})
	fine := path.Program{Settings: prog.Settings}
	fine.Append(prog.Strokes[0], prog.PointsOf(0)...)
	prog.Append(path.Stroke{Kind: path.LineStroke, Setting: 1}, path.Point{X: -3, Y: 2}, path.Point{X: 3, Y: 2})
	for _, c := range []struct {
		show         density.Show
		fineMM       float64
		read, unread float64 // pixels of ink across
		opacity      float64
	}{
		{show: density.ShowFinish, fineMM: 0.6, read: 6, unread: 0.5, opacity: 1},
		{show: density.ShowFinish, fineMM: 0.04, read: 0.5, unread: 0.5, opacity: 1},
		// of ink that is no full black; a thinner line is a pixel
		{show: density.ShowRows, fineMM: 0.6, read: 6, unread: 1, opacity: 0.78},
	} {
		at := drawn(t, prog, density.Options{Show: c.show, MarkWidthMM: 0.05, Fine: fine, FineMM: c.fineMM,
			Ground: white, Tones: []color.RGBA{white, ink}})
		across := func(y float64) (px float64) {
			paper := luma(at(0, 4))
			for k := range 14 {
				px += (paper - luma(at(0, y-0.65+0.1*float64(k)))) / paper
			}
			return px
		}
		assert.InDelta(t, c.read*c.opacity, across(0), 0.35, "%v at %g mm", c.show, c.fineMM)
		assert.InDelta(t, c.unread*c.opacity, across(2), 0.35, "%v at %g mm", c.show, c.fineMM)
		assert.InDelta(t, luma(at(0, 4)), luma(at(3.6, 0)), 1, "no farther than its round end")
	}
}
