package personal

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/data"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/work"
	"furrow/path"
)

// square is a black one, of 4 mm, with its lower left corner at x,y.
func square(x, y float64) path.Shape {
	return black(path.Frame{W: 4, H: 4, Matrix: path.Translate(x, y)})
}

// besideTexts is a ground of a page at half its size on the blank: a disc of 10 mm about
// 20,20, a text in the place of a square, a code, and a square that comes after both.
func besideTexts() ground {
	disc := path.Shape{Paint: path.Paint{Opacity: 1}}
	disc.Path.MoveTo(path.Point{X: 30, Y: 20})
	disc.Path.ArcTo(path.Point{X: 20, Y: 20}, path.Point{X: 10}, path.Point{Y: 10}, 0, 2*math.Pi,
		path.Point{X: 30, Y: 20})
	s := &Setter{scale: 0.5, in: work.Input{Drawing: work.Drawing{Art: path.Artwork{
		Page:   path.Rect{Max: path.Point{X: 80, Y: 40}},
		Shapes: []path.Shape{disc, square(40, 10), square(60, 10)},
	}}}}
	s.places = []place{{Place: path.Place{First: 1, Last: 2, Text: &path.Text{}}, text: &job.Text{}},
		{Place: path.Place{First: 2, Last: 2, Frame: &path.Frame{W: 4, H: 4, Matrix: path.Translate(50, 10)}},
			code: &job.Code{}}}
	return s.newGround()
}

// What lies beside the texts is looked at every tenth of a millimetre on the blank, a fifth
// on a page that is twice as large; the rows end where the artwork does.
func TestGroundOfAPage(t *testing.T) {
	g := besideTexts()
	require.InDelta(t, 0.2, g.rows.Spacing, 0.001) // a whole number of rows
	require.InDelta(t, 0.1, g.stepMM, 1e-12)
	for x, want := range map[float64]bool{20: true, 42: false, 52: true, 62: true, 35: false, 70: false} {
		require.Equal(t, want, g.marked(path.Point{X: x, Y: 12}), "%g", x)
	}
	ends := 0
	for k := range g.rows.NumRows() {
		y := g.rows.Origin.Y + float64(k)*g.rows.Spacing
		for _, span := range g.rows.Row(k) {
			if x := g.rows.Origin.X + span.X1; x < 31 {
				require.InDelta(t, 10, math.Hypot(x-20, y-20), 0.021)
				ends++
			}
		}
	}
	require.InDelta(t, 20/0.2, ends, 2)
}

// Of all parts whose words run over something the least room is told, and the first of them.
func TestOverlapsOfAllParts(t *testing.T) {
	value, err := data.ParseTemplate("{n}")
	require.NoError(t, err)
	s := &Setter{scale: 1, ground: twoRows(), places: []place{{pick: "#n", template: value, text: &job.Text{},
		Place: path.Place{Text: &path.Text{Matrix: path.Translate(100, 50)}}}}}
	over := make([]overlap, 1)
	for row, y := range []float64{49, 50.2, 50, 50.2} { // over nothing, from 3 mm on, from 1 mm on
		part := Part{Part: data.Part{Values: map[string]string{"n": string(rune('a' + row))}},
			laid: [][]path.Shape{{line(1, path.Point{X: 100, Y: y}, path.Point{X: 107, Y: y})}}}
		s.overlaps(part, data.Problem{Row: row}, over)
	}
	require.Equal(t, 3, over[0].parts)
	require.InDelta(t, 1, over[0].room, 0.06)
	require.Equal(t, data.Problem{Row: 1, What: `#n: "b" runs over other artwork`}, over[0].first)
}

// A mark whose width is not known is as wide as rows are apart.
func TestWidthOfTheMarksOfACode(t *testing.T) {
	for mark, want := range map[float64]float64{0: 0.1, 0.04: 0.04} {
		s := &Setter{scale: 1, placing: path.Scale(1, 1)}
		s.in.Groups = append(s.in.Groups, groupOf(0.1, mark))
		var p Part
		_, err := s.setCode(&p, place{code: &job.Code{Kind: "qr"}, Place: path.Place{
			Frame: &path.Frame{W: 20, H: 20, Matrix: path.Translate(0, 0)}}}, "7")
		require.NoError(t, err)
		require.InDelta(t, want, p.Codes[0].width, 1e-12)
	}
}
