package density

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/path"
	"furrow/raster/page"
)

// rowsOf is so many rows of 6 mm, a tenth apart, the first at 0.05, turned about the origin.
func rowsOf(n int, degrees float64) path.Program {
	p := path.Program{Settings: []path.Setting{{SpeedMMPerS: 100, SpacingMM: 0.1}}}
	for i := range n {
		y := 0.05 + float64(i)/10
		p.Append(path.Stroke{}, path.Point{Y: y}, path.Point{X: 6, Y: y})
	}
	return p.Transform(path.Rotate(degrees))
}

// Scales by hand: rows a tenth of a millimetre apart are ten lines a millimetre, 254 an inch,
// and of a millijoule each they lay down 0.001/0.6 J/mm2; a spot that is marked ten times
// over lies beyond the end, and is told.
func TestScalesByHand(t *testing.T) {
	spot := path.Program{}
	for range 10 {
		spot.Append(path.Stroke{}, path.Point{X: 3, Y: 2.05}, path.Point{X: 3.1, Y: 2.05})
	}
	for name, c := range map[string]struct {
		o     Options
		spot  bool
		label string
		top   float64
		note  string
	}{
		"density":       {Options{}, false, "density, lines/mm", 10, ""},
		"inches":        {Options{Inches: true}, false, "density, lines/inch", 300, ""},
		"a spot":        {Options{}, true, "density, lines/mm", 10, "highest 110"},
		"an end":        {Options{ScaleEnd: 20}, false, "density, lines/mm", 20, ""},
		"a low end":     {Options{ScaleEnd: 4}, false, "density, lines/mm", 4, "highest 10"},
		"dose's end":    {Options{Show: ShowDose, ScaleEnd: 1}, false, "dose, J/cm\u00b2", 1, ""},
		"dose":          {Options{Show: ShowDose}, false, "dose, J/cm\u00b2", 0.2, ""},
		"dose, in inch": {Options{Show: ShowDose, Inches: true}, false, "dose, J/cm\u00b2", 0.2, ""},
	} {
		p := rowsOf(40, 0)
		if c.spot {
			for i := range spot.Strokes {
				p.Append(path.Stroke{}, spot.PointsOf(i)...)
			}
		}
		c.o.Marking = make([]path.Marking, len(p.Strokes))
		for i := range c.o.Marking {
			c.o.Marking[i].EnergyJ = 0.001
		}
		c.o.Window, c.o.DPI = box(-1, -1, 7, 5), 254
		d, err := newDrawing(p, c.o)
		require.NoError(t, err)
		require.NoError(t, d.laid())
		s := d.spec.Scale
		require.Equal(t, c.label, s.Label, name)
		require.InDelta(t, c.top, s.Top, 1e-9, name)
		require.Equal(t, c.note, s.Note, name)
		require.Equal(t, c.note != "", s.More, name)
		at := func(x, y float64) uint8 { // the blue of a pixel
			return d.plot.Pix[4*(int((5-y)*10)*80+int((x+1)*10))+2]
		}
		share := map[string]float64{"inches": 254.0 / 300, "dose": 1.0 / 6 / 0.2, "dose, in inch": 1.0 / 6 / 0.2,
			"an end": 0.5, "dose's end": 1.0 / 6}[name]
		if share == 0 {
			share = 1
		}
		want := s.Ramp.At(share)
		for _, y := range []float64{0.05, 1.95, 3.95} {
			require.InDelta(t, want.B, at(3.55, y), 3, "%s at %g", name, y)
		}
		require.Equal(t, page.Light.Blank.B, at(-0.5, 2))
		require.Equal(t, page.Light.Blank.B, at(3, 4.15))
	}
	dots := path.Program{Settings: []path.Setting{{}}}
	dots.Append(path.Stroke{}, path.Point{X: 1, Y: 1})
	d, err := newDrawing(dots, Options{})
	require.NoError(t, err)
	require.ErrorIs(t, d.laid(), ErrDots)
	d, err = newDrawing(dots, Options{Show: ShowDose, Marking: []path.Marking{{EnergyJ: 1}}})
	require.NoError(t, err)
	require.NoError(t, d.laid())
}

// Directions of rows are told from 0 up to 180 degrees, to a tenth, whichever way they run.
func TestDegreesOfRows(t *testing.T) {
	for turned, want := range map[float64]float64{
		0: 0, 33.33: 33.3, 90: 90, 150.06: 150.1, 179.9: 179.9, 179.97: 0, 213: 33,
	} {
		got := MeasureRows(rowsOf(30, turned))
		require.Len(t, got, 1, turned)
		assert.InDelta(t, want, got[0].Degrees, 1e-9)
		assert.InDelta(t, 0.1, got[0].SpacingMM, 1e-6)
	}
	// Of two sets the one of which more is marked comes first, and short marks are no rows.
	p := rowsOf(20, 0)
	more := rowsOf(30, 60)
	for i := range more.Strokes {
		p.Append(path.Stroke{}, more.PointsOf(i)...)
	}
	got := MeasureRows(p)
	require.Len(t, got, 2)
	require.Equal(t, []float64{60, 0}, []float64{got[0].Degrees, got[1].Degrees})
	for length, rows := range map[float64]int{0.29: 0, 0.31: 1} { // three times their distance
		short := path.Program{}
		for i := range 30 {
			short.Append(path.Stroke{}, path.Point{Y: float64(i) / 10}, path.Point{X: length, Y: float64(i) / 10})
		}
		require.Len(t, MeasureRows(short), rows, "%g mm", length)
	}
}

// What a film and a finish cover never exceeds all of a pixel, and ends where marks end.
func TestFinishByHand(t *testing.T) {
	p := rowsOf(40, 0)
	p.Settings[0].Name = "deep"
	o := Options{Show: ShowFinish, Window: box(-1, -1, 7, 5), DPI: 254, MarkWidthMM: 0.1, Ground: page.Light.Mid}
	d, err := newDrawing(p, o)
	require.NoError(t, err)
	d.finish()
	at := func(x, y float64) uint8 { return d.plot.Pix[4*(int((5-y)*10)*80+int((x+1)*10))] }
	require.Equal(t, page.Light.Ink.R, at(3, 2))
	require.Equal(t, page.Light.Ink.R, at(0.05, 0.05))
	require.Equal(t, page.Light.Mid.R, at(3, 4.05))
	require.Equal(t, page.Light.Mid.R, at(-0.15, 2))
	half := math.Pi / 8 // of a pixel is half of a spot
	require.InDelta(t, half*float64(page.Light.Ink.R)+(1-half)*float64(page.Light.Mid.R), at(-0.05, 2), 4)
	require.Equal(t, []string{"marked"}, labels(d.spec.Keys))
}

// The scale of a rise of 40 K ends there, or where it is told to, and then says if there is more.
func TestEndOfAHeatScale(t *testing.T) {
	for end, want := range map[float64]page.Scale{0: {Top: 40}, 100: {Top: 100}, 20: {Top: 20, More: true}} {
		d := &drawing{o: Options{Heat: HeatMap{RiseK: []float32{12, 40, 3}}, ScaleEnd: end}}
		s := d.heatScale("rise, K")
		require.Equal(t, want.Top, s.Top, "%g", end)
		require.Equal(t, want.More, s.More, "%g", end)
		require.Equal(t, "highest 40", s.Note)
	}
}
