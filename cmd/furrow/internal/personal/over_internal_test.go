package personal

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/data"
	"furrow/path"
)

// Two rows, 0.2 mm apart, of the ground from 100,50: 1 to 2 and 4 to 6 mm, and 3 to 5 mm.
func twoRows() ground {
	return ground{stepMM: 0.05, bare: 0.98, rows: path.RowSet{Origin: path.Point{X: 100, Y: 50}, Dir: path.Point{X: 1},
		Spacing: 0.2, Start: []int32{0, 2, 3}, Spans: []path.Span{{X0: 1, X1: 2}, {X0: 4, X1: 6}, {X0: 3, X1: 5}}}}
}

// A point lies on what the nearest row marks, and past the outer rows on nothing.
func TestGroundThatIsMarked(t *testing.T) {
	g := twoRows()
	for _, tt := range []struct {
		x, y float64
		want bool
	}{
		{101, 50, true}, {102, 50, true}, {101.5, 49.95, true}, {100.99, 50, false}, {102.01, 50, false},
		{103, 50, false},
		{104, 50, true}, {106, 50, true}, {106.01, 50, false}, {105.5, 50.09, true}, {105.5, 50.11, false},
		{103, 50.2, true}, {105, 50.29, true}, {104, 50.31, false}, {105, 49.89, false}, {101.5, 50.2, false},
	} {
		require.Equal(t, tt.want, g.marked(path.Point{X: tt.x, Y: tt.y}), "%g,%g", tt.x, tt.y)
	}
	require.False(t, (&ground{}).marked(path.Point{}), "where nothing is marked")
}

// line is a line between two points, as letters without width are.
func line(ink float64, from, to path.Point) path.Shape {
	s := path.Shape{Paint: path.Paint{Opacity: ink}}
	s.Centre.MoveTo(from)
	s.Centre.LineTo(to)
	return s
}

// A line from 99 to 106.5 mm along the upper row is on it for 1 and for 2 mm, thus at 21
// and 41 points that are 0.05 mm apart, of which rounding may lose those at the four ends.
func TestEdgesAreLookedAtStepByStep(t *testing.T) {
	g := twoRows()
	var xs []float64
	look := func(s path.Shape) {
		xs = nil
		g.under([]path.Shape{s}, func(p path.Point) { xs = append(xs, p.X) })
	}
	look(line(1, path.Point{X: 99, Y: 50}, path.Point{X: 106.5, Y: 50}))
	require.InDelta(t, 62, len(xs), 4)
	require.InDelta(t, 101, xs[0], 0.051)
	require.InDelta(t, 106, xs[len(xs)-1], 0.051)
	look(line(0, path.Point{X: 99, Y: 50}, path.Point{X: 106.5, Y: 50}))
	require.Empty(t, xs, "letters that stay bare")
	look(line(1, path.Point{X: 103.91, Y: 50}, path.Point{X: 104, Y: 50}))
	require.Len(t, xs, 1)
	require.InDelta(t, 104, xs[0], 1e-9, "its end")
	look(line(1, path.Point{X: 103.97, Y: 50}, path.Point{X: 104, Y: 50}))
	require.Len(t, xs, 1)
	require.InDelta(t, 104, xs[0], 1e-9, "shorter than a step")
	outline := line(1, path.Point{X: 99, Y: 40}, path.Point{X: 106.5, Y: 40})
	outline.Path, outline.Centre = outline.Centre, path.Path{}
	outline.Path.LineTo(path.Point{X: 106.5, Y: 50})
	outline.Path.LineTo(path.Point{X: 105.9, Y: 50})
	look(outline)
	require.InDelta(t, 3, len(xs), 1, "an outline's edge, from 106 to 105.9 mm")
}

// A text that runs into something 2 mm ahead of its anchor may be 2 mm wide if it starts
// there, 4 about its middle, and any width helps nothing that ends there; with 3 mm behind it
// is the other way round. On a blank twice as large as the page all is twice as wide.
func TestRoomThatKeepsClear(t *testing.T) {
	s := &Setter{scale: 2, ground: twoRows()}
	at := func(x, anchor float64) place {
		return place{Place: path.Place{Text: &path.Text{Matrix: path.Translate(x, 50), Anchor: anchor}}}
	}
	ends := func(from, to float64) []path.Shape {
		return []path.Shape{line(1, path.Point{X: from, Y: 50}, path.Point{X: to, Y: 50})}
	}
	for _, tt := range []struct {
		what         string
		x, anchor    float64
		from, to     float64
		onThePage    float64
		isUnbothered bool
	}{
		{what: "ahead, from its start", x: 98.5, anchor: 0, from: 98.5, to: 101.9, onThePage: 2.5},
		{what: "ahead, about its middle", x: 98.5, anchor: 0.5, from: 98, to: 101.9, onThePage: 5},
		{what: "just ahead", x: 100.5, anchor: 0, from: 100.5, to: 101.9, onThePage: 0.5},
		{what: "just behind", x: 106.5, anchor: 1, from: 105.5, to: 106.5, onThePage: 0.5},
		{what: "behind, to its end", x: 109, anchor: 1, from: 105.5, to: 109, onThePage: 3},
		{what: "behind, about its middle", x: 109, anchor: 0.5, from: 105.5, to: 110, onThePage: 6},
		{what: "ahead of its end", x: 98.5, anchor: 1, from: 101.2, to: 101.9},
		{what: "behind its start", x: 109, anchor: 0, from: 105.2, to: 105.9},
		{what: "nothing", x: 102.5, anchor: 0, from: 102.5, to: 103.5, isUnbothered: true},
	} {
		got := s.clear(at(tt.x, tt.anchor), ends(tt.from, tt.to))
		if tt.isUnbothered {
			require.True(t, math.IsInf(got, 1), tt.what)
			continue
		}
		require.InDelta(t, 2*tt.onThePage, got, 0.21, tt.what)
	}
	flat := at(98.5, 0)
	flat.Text.Matrix = path.Matrix{}
	require.True(t, math.IsInf(s.clear(flat, ends(98.5, 101.9)), 1), "a text without size")
}

// The room that is named is in halves of a millimetre, half to one short of what it runs
// over, and none below 1 mm.
func TestOverlapsInWords(t *testing.T) {
	for _, tt := range []struct {
		parts int
		room  float64
		want  string
	}{
		{1, 12.3, `oak runs; room = "11.5mm" keeps clear of it`}, {1, 12.5,
			`oak runs; room = "12mm" keeps clear of it`},
		{3, 12.49, `oak runs, the first of 3 such parts; room = "11.5mm" keeps clear of it`},
		{2, 1.5, `oak runs, the first of 2 such parts; room = "1mm" keeps clear of it`}, {1, 1.49, "oak runs"},
		{1, 0, "oak runs"},
	} {
		var problems data.Problems
		overlap{first: data.Problem{Row: 3, Part: 2, What: "oak runs"}, parts: tt.parts, room: tt.room}.tell(&problems)
		require.Equal(t, []data.Problem{{Row: 3, Part: 2, What: tt.want, Warning: true}}, problems.List)
	}
	var none data.Problems
	overlap{}.tell(&none)
	require.Empty(t, none.List)
}

// The rectangle of a code, 3 mm wide and 2 high, from 5,7.
func TestCodeAsIfAllOfItWereMarked(t *testing.T) {
	var corners []path.Point
	shape := black(path.Frame{W: 3, H: 2, Matrix: path.Translate(5, 7)})
	shape.Path.Flatten(0.01, func(pts []path.Point, closed bool) { corners = append(corners, pts[:4]...) })
	require.Equal(t, []path.Point{{X: 5, Y: 7}, {X: 8, Y: 7}, {X: 8, Y: 9}, {X: 5, Y: 9}}, corners)
	require.False(t, shape.Bare(0.98))
}
