package hatch_test

import (
	"math"
	"testing"

	"furrow/path"
	"furrow/path/hatch"

	"github.com/stretchr/testify/require"
)

// polygon reads "x,y x,y ..." as pairs of numbers.
func polygon(xy ...float64) path.Path {
	var p path.Path
	for i := 0; i < len(xy); i += 2 {
		q := path.Point{X: xy[i], Y: xy[i+1]}
		if i == 0 {
			p.MoveTo(q)
		} else {
			p.LineTo(q)
		}
	}
	p.Close()
	return p
}

func rect(x0, y0, x1, y1 float64) path.Path { return polygon(x0, y0, x1, y0, x1, y1, x0, y1) }

func disc(x, y, r float64) path.Path {
	var p path.Path
	start := path.Point{X: x + r, Y: y}
	p.MoveTo(start)
	p.ArcTo(path.Point{X: x, Y: y}, path.Point{X: r}, path.Point{Y: r}, 0, 2*math.Pi, start)
	p.Close()
	return p
}

var (
	black = path.Paint{Opacity: 1}
	white = path.Paint{R: 1, G: 1, B: 1, Opacity: 1}
)

func solid(p path.Path) path.Shape   { return path.Shape{Path: p, Paint: black} }
func evenOdd(p path.Path) path.Shape { return path.Shape{Path: p, Paint: black, Rule: path.EvenOdd} }
func knock(p path.Path) path.Shape   { return path.Shape{Path: p, Paint: white} }

func art(shapes ...path.Shape) path.Artwork {
	return path.Artwork{Page: path.Rect{Max: path.Point{X: 100, Y: 100}}, Shapes: shapes}
}

func fill(t testing.TB, a path.Artwork, groups ...hatch.Group) path.Marks {
	t.Helper()
	m, _, err := hatch.Fill(a, hatch.Settings{Groups: groups})
	require.NoError(t, err)
	return m
}

func rowsOf(spacing float64, angles ...float64) hatch.Group {
	return hatch.Group{Setting: path.Setting{SpacingMM: spacing}, Angles: angles}
}

// length returns the marked length of all rows, and of the marks times the
// spacing of their rows: the area that they stand for.
func length(m path.Marks) (mm, area float64) {
	for i := range m.Rows {
		l := m.Rows[i].Length()
		mm += l
		area += l * m.Rows[i].Spacing
	}
	return mm, area
}

// 76.2 x 127 mm at 400 lines an inch: arithmetic of the panel that the design
// quotes.
func TestPanelRows(t *testing.T) {
	for _, tt := range []struct {
		group  hatch.Group
		rows   int
		length float64
	}{
		{rowsOf(0.0635), 2000, 152400},
		{rowsOf(0.0635, 90), 1200, 152400},
		{hatch.Group{Setting: path.Setting{SpacingMM: 0.0635}, Cross: 90}, 3200, 304800},
		{hatch.Group{Setting: path.Setting{SpacingMM: 0.0635}, Passes: 2, PassTurn: 90}, 3200, 304800},
		{hatch.Group{Setting: path.Setting{SpacingMM: 0.0635}, Skip: 3}, 2000, 152400},
		{hatch.Group{Setting: path.Setting{SpacingMM: 0.06354}, Stretch: true}, 1999, 1999 * 76.2},
	} {
		m, r, err := hatch.Fill(art(solid(rect(0, 0, 76.2, 127))), hatch.Settings{Groups: []hatch.Group{tt.group}})
		require.NoError(t, err)
		require.Equal(t, tt.rows, r.Rows)
		require.Equal(t, tt.rows, r.Spans)
		mm, _ := length(m)
		require.InEpsilon(t, tt.length, mm, 1e-9)
	}
}

// Marked length times spacing is the area where the height is a whole number
// of spacings; elsewhere it is off by at most the spacing times the widest row.
func TestLengthTimesSpacingIsArea(t *testing.T) {
	a := art(solid(rect(0, 0, 76.2, 127)))
	for _, angle := range []float64{0, 90} {
		_, area := length(fill(t, a, rowsOf(0.0635, angle)))
		require.InEpsilon(t, 76.2*127, area, 1e-9)
	}
	for _, angle := range []float64{10, 45, 77.7} {
		m := fill(t, a, rowsOf(0.5, angle))
		_, area := length(m)
		require.InDelta(t, 76.2*127, area, 0.5*math.Hypot(76.2, 127))
	}
}

// Areas of the five-pointed star of the SVG specification; path from its text,
// areas computed and counted in librsvg's pixels.
func TestStarAreas(t *testing.T) {
	star := polygon(250, 75, 323, 301, 131, 161, 369, 161, 177, 301)
	for _, tt := range []struct {
		shape path.Shape
		want  float64
	}{{solid(star), 17523.2309}, {evenOdd(star), 12108.4617}} {
		for _, angle := range []float64{0, 37, 90} {
			_, area := length(fill(t, art(tt.shape), rowsOf(0.01, angle)))
			require.InEpsilon(t, tt.want, area, 1e-6)
		}
	}
}

// Star rows at pitch 1, the first at y = 75.5 (computed): 226 rows. The star's
// height is a whole number of spacings, so that the grid falls there too.
func TestStarRows(t *testing.T) {
	star := polygon(250, 75, 323, 301, 131, 161, 369, 161, 177, 301)
	m := fill(t, art(solid(star)), rowsOf(1))
	require.Equal(t, 226, m.Rows[0].NumRows())
	require.InDelta(t, 75.5, m.Rows[0].At(0, 0).Y, 1e-12)
	require.InDelta(t, 17523.257, m.Rows[0].Length(), 1e-3)
	require.InDelta(t, 12108.514, fill(t, art(evenOdd(star)), rowsOf(1)).Rows[0].Length(), 1e-3)
}

func TestAnalyticAreas(t *testing.T) {
	for _, tt := range []struct {
		name string
		art  path.Artwork
		want float64
	}{
		{"disc", art(solid(disc(3, 4, 10))), math.Pi * 100},
		{"annulus", art(solid(disc(0, 0, 10)), knock(disc(0, 0, 6))), math.Pi * 64},
		{"two discs that overlap", art(solid(disc(0, 0, 5)), solid(disc(5, 0, 5))),
			2*math.Pi*25 - (2*25*math.Acos(0.5) - 2.5*math.Sqrt(75))},
	} {
		for _, angle := range []float64{0, 45, 61} {
			s := hatch.Settings{Groups: []hatch.Group{rowsOf(0.005, angle)}, Tolerance: 1e-5}
			m, _, err := hatch.Fill(tt.art, s)
			require.NoError(t, err)
			_, area := length(m)
			require.InEpsilon(t, tt.want, area, 2e-5, tt.name)
		}
	}
}

func TestTopmostDecidesBetweenParts(t *testing.T) {
	top := solid(rect(4, 0, 6, 10))
	top.Group = 1
	m := fill(t, art(solid(rect(0, 0, 10, 10)), top),
		hatch.Group{Setting: path.Setting{Name: "a", SpacingMM: 1}},
		hatch.Group{Setting: path.Setting{Name: "b", SpacingMM: 0.5}})
	require.Equal(t, []path.Span{{X0: 0, X1: 4}, {X0: 6, X1: 10}}, m.Rows[0].Row(3))
	require.Equal(t, []path.Span{{X0: 4, X1: 6}}, m.Rows[1].Row(3))
	require.Equal(t, "b", m.Settings[m.Rows[1].Setting].Name)
	require.Equal(t, 20, m.Rows[1].NumRows())
}

func TestSwapInsideAShapeAndThePage(t *testing.T) {
	box := solid(rect(0, 0, 10, 10))
	box.Invert = true
	m := fill(t, art(box, knock(rect(4, 0, 6, 10))), rowsOf(1))
	require.Equal(t, []path.Span{{X0: 4, X1: 6}}, m.Rows[0].Row(3))
	m = fill(t, hatch.InvertPage(art(solid(rect(40, 0, 60, 100)))), rowsOf(1))
	require.Equal(t, []path.Span{{X0: 0, X1: 40}, {X0: 60, X1: 100}}, m.Rows[0].Row(50))
}

// The same set, whichever way round the angle is given; only one-way rows are
// told apart, by their direction.
func TestHalfTurnMarksTheSame(t *testing.T) {
	a := art(solid(disc(3, 4, 5)), knock(rect(2, 2, 4, 5)))
	for _, angle := range []float64{0, 45, 90, -45, 12.25} {
		require.Equal(t, fill(t, a, rowsOf(0.3, angle)), fill(t, a, rowsOf(0.3, angle+180)))
		require.Equal(t, fill(t, a, rowsOf(0.3, angle)), fill(t, a, rowsOf(0.3, angle-720)))
		one := rowsOf(0.3, angle)
		one.OneWay = true
		back := rowsOf(0.3, angle+180)
		back.OneWay = true
		f, r := fill(t, a, one).Rows[0], fill(t, a, back).Rows[0]
		n := f.NumRows()
		require.Equal(t, n, r.NumRows())
		for k := range n {
			row, rev := f.Row(k), r.Row(n-1-k)
			require.Len(t, rev, len(row))
			for i, s := range row {
				q := rev[len(rev)-1-i]
				require.InDelta(t, 0, f.At(k, s.X0).Dist(r.At(n-1-k, q.X1)), 1e-12)
				require.InDelta(t, 0, f.At(k, s.X1).Dist(r.At(n-1-k, q.X0)), 1e-12)
			}
		}
	}
}

func TestSkippedRowsComeInGroups(t *testing.T) {
	p := rowsOf(1)
	p.Skip = 4
	m := fill(t, art(solid(rect(0, 0, 5, 10))), p)
	var ys [][]float64
	for i := range m.Rows {
		var y []float64
		for k := range m.Rows[i].NumRows() {
			y = append(y, m.Rows[i].At(k, 0).Y)
		}
		ys = append(ys, y)
		require.Equal(t, 1+i, m.Rows[i].Phase)
	}
	require.Equal(t, [][]float64{{0.5, 4.5, 8.5}, {2.5, 6.5}, {1.5, 5.5, 9.5}, {3.5, 7.5}}, ys)
}

func TestGapsAndShortSpans(t *testing.T) {
	a := art(solid(rect(0, 0, 1, 10)), solid(rect(1.2, 0, 3, 10)), solid(rect(4, 0, 4.3, 10)))
	p := rowsOf(1)
	p.CloseGaps, p.Shortest = 0.25, 0.5
	require.Equal(t, []path.Span{{X0: 0, X1: 3}}, fill(t, a, p).Rows[0].Row(2))
	_, r, err := hatch.Fill(a, hatch.Settings{Groups: []hatch.Group{p}})
	require.NoError(t, err)
	require.Equal(t, 10, r.Dust.Spans, "a span of 0.3 mm in each of ten rows")
	require.InDelta(t, 3, r.Dust.MM, 1e-9)
	require.Equal(t, 10, r.Spans)
}

func TestThinStrokesAreTraced(t *testing.T) {
	line := func(x0, y0, x1, y1 float64) path.Shape {
		var c path.Path
		c.MoveTo(path.Point{X: x0, Y: y0})
		c.LineTo(path.Point{X: x1, Y: y1})
		d := path.Point{X: x1 - x0, Y: y1 - y0}
		n := path.Point{X: -d.Y, Y: d.X}.Mul(0.05 / d.Len())
		s := solid(polygon(x0-n.X, y0-n.Y, x1-n.X, y1-n.Y, x1+n.X, y1+n.Y, x0+n.X, y0+n.Y))
		s.Centre, s.Width = c, 0.1
		return s
	}
	p := rowsOf(0.1)
	p.MarkWidth = 0.15
	points := func(m path.Marks) (out [][]path.Point) {
		for _, l := range m.Lines {
			out = append(out, l.Points)
		}
		return out
	}
	pt := func(x, y float64) path.Point { return path.Point{X: x, Y: y} }
	h, v := line(0, 5, 10, 5), line(5, 0, 5, 10)

	m := fill(t, art(h, v), p)
	require.Empty(t, m.Rows)
	require.Equal(t, [][]path.Point{{pt(0, 5), pt(10, 5)}, {pt(5, 0), pt(5, 10)}}, points(m),
		"crossing lines stay whole")
	require.Equal(t, [][]path.Point{{pt(0, 5), pt(10, 5)}}, points(fill(t, art(h, h), p)),
		"a line drawn twice is marked once")
	require.Equal(t, [][]path.Point{{pt(0, 5), pt(3, 5)}, {pt(7, 5), pt(10, 5)}},
		points(fill(t, art(h, knock(rect(3, 0, 7, 10))), p)), "hidden by what lies above")
	clipped := h
	clipped.Clips = []*path.Clip{{Shapes: []path.Shape{solid(rect(3, 0, 7, 10))}}}
	require.Equal(t, [][]path.Point{{pt(3, 5), pt(7, 5)}}, points(fill(t, art(clipped), p)))
	p.MarkWidth = 0
	require.Empty(t, fill(t, art(h), p).Lines, "as wide as the spacing")
	p.Setting.SpacingMM = 0.101
	m, r, err := hatch.Fill(art(solid(rect(0, 0, 1, 1)), h, v), hatch.Settings{Groups: []hatch.Group{p}})
	require.NoError(t, err)
	require.Len(t, m.Lines, 2, "where no mark width was measured, thinner than the spacing is thin")
	require.Equal(t, []int{1, 2}, r.Traced)
}

func TestDirectionsFollowEachOther(t *testing.T) {
	p := rowsOf(1)
	p.Angles, p.Cross, p.Skip, p.Passes = []float64{0, 30}, 90, 2, 2
	m := fill(t, art(solid(rect(0, 0, 10, 10))), p)
	require.Len(t, m.Rows, 2*4*2)
	for i, set := range m.Rows {
		require.Equal(t, 1+i, set.Phase, "pass by pass, direction by direction, group by group")
	}
}

func TestOutlinePhases(t *testing.T) {
	ring := rect(0, 0, 10, 10)
	hole := rect(3, 3, 7, 7)
	both := solid(path.Path{Verbs: append(ring.Verbs, hole.Verbs...), Points: append(ring.Points, hole.Points...)})
	both.Rule = path.EvenOdd
	for _, tt := range []struct {
		when         hatch.When
		phase, lines int
		rows         bool
	}{{hatch.Before, 0, 2, true}, {hatch.After, 3, 2, true}, {hatch.Only, 0, 2, false}, {hatch.NoOutline, 0, 0, true}} {
		p := rowsOf(1)
		p.Passes = 2
		p.Outline = hatch.Outline{When: tt.when, Setting: path.Setting{Name: "edge"}}
		m := fill(t, art(both), p)
		require.Len(t, m.Lines, tt.lines)
		require.Equal(t, tt.rows, len(m.Rows) > 0)
		for _, l := range m.Lines {
			require.Equal(t, tt.phase, l.Phase)
			require.Equal(t, "edge", m.Settings[l.Setting].Name)
			first, last := l.Points[0], l.Points[len(l.Points)-1]
			require.Equal(t, first, last)
			require.True(t, first.X == 5 || first.Y == 5, "begins in the middle of a side, not at a corner")
		}
		if tt.lines == 2 {
			require.Equal(t, -1, m.Lines[0].Before)
			require.Equal(t, 0, m.Lines[1].Before, "the hole is marked before the edge round it")
		}
	}
}

func TestWorkersChangeNothing(t *testing.T) {
	a := sheet()
	s := hatching(0.0008, 45)
	all, _, err := hatch.Fill(a, s)
	require.NoError(t, err)
	var short hatch.Dust
	s.Groups[0].Shortest = 0.5
	for _, r := range all.Rows {
		for _, span := range r.Spans {
			if mm := span.X1 - span.X0; mm < 0.5 {
				short.Spans, short.MM = short.Spans+1, short.MM+mm
			}
		}
	}
	one, report, err := hatch.Fill(a, s)
	require.NoError(t, err)
	require.Equal(t, short.Spans, report.Dust.Spans)
	require.InEpsilon(t, short.MM, report.Dust.MM, 1e-9)
	for _, n := range []int{2, 3, 0} {
		s.Workers = n
		many, r, err := hatch.Fill(a, s)
		require.NoError(t, err)
		require.Equal(t, one, many)
		require.Equal(t, report, r)
	}
}

func TestNothingInNothingOut(t *testing.T) {
	for _, a := range []path.Artwork{{}, art(knock(rect(0, 0, 1, 1))), art(solid(path.Path{})),
		art(solid(polygon(1, 1, 2, 2)))} {
		m, r, err := hatch.Fill(a, hatching(0.1, 0))
		require.NoError(t, err)
		require.Empty(t, m.Rows)
		require.Zero(t, r.Spans)
	}
}

func TestSettingsAreChecked(t *testing.T) {
	inf, nan := math.Inf(1), math.NaN()
	with := func(change func(*hatch.Group)) hatch.Settings {
		p := rowsOf(0.1)
		change(&p)
		return hatch.Settings{Groups: []hatch.Group{p}}
	}
	for name, s := range map[string]hatch.Settings{
		"no group":    {},
		"spacing 0":   hatching(0, 0),
		"spacing < 0": hatching(-1, 0),
		"spacing NaN": hatching(nan, 0),
		"spacing 1nm": hatching(1e-6, 0),
		"angle NaN":   hatching(0.1, nan),
		"angle inf":   hatching(0.1, inf),
		"tolerance":   {Tolerance: -1, Groups: []hatch.Group{rowsOf(0.1)}},
		"bare-above":  {BareAbove: nan, Groups: []hatch.Group{rowsOf(0.1)}},
		"shortest":    with(func(p *hatch.Group) { p.Shortest = nan }),
		"gaps":        with(func(p *hatch.Group) { p.CloseGaps = -1 }),
		"passes":      with(func(p *hatch.Group) { p.Passes = -1 }),
		"skip":        with(func(p *hatch.Group) { p.Skip = 1e6 }),
		"cross":       with(func(p *hatch.Group) { p.Cross = nan }),
		"mark width":  with(func(p *hatch.Group) { p.MarkWidth = -1 }),
	} {
		m, _, err := hatch.Fill(art(solid(rect(0, 0, 1, 1))), s)
		require.Error(t, err, name)
		require.Empty(t, m.Rows)
	}
	_, _, err := hatch.Fill(art(solid(rect(0, 0, 1, 1e7))), hatching(0.1, 0))
	require.ErrorContains(t, err, "out of range")
	_, _, err = hatch.Fill(art(solid(polygon(0, 0, nan, 0, 1, 1))), hatching(0.1, 0))
	require.ErrorContains(t, err, "out of range")
	_, _, err = hatch.Fill(art(solid(rect(0, 0, 1, 1e5))), hatching(1e-4, 0))
	require.ErrorContains(t, err, "spacing")
}
