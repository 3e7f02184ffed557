package hatch

import (
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// The area of a shape is what rows of a painter mark that knows this shape alone as
// one to mark, and all of them together are what is marked.
func TestShownIsWhatEachShapeMarks(t *testing.T) {
	for seed := range uint64(60) {
		art := tangle(seed)
		rows, areas, err := Shown(art, 0.0973, Settings{})
		require.NoError(t, err)
		f, err := flattenAll(art, Settings{})
		require.NoError(t, err)
		w := filler{f: f, workers: 1}
		lo, hi, _ := w.heights(path.Point{X: 1}, func(*layer) bool { return true })
		g := newGrid(path.Point{X: 1}, lo, hi, 0.0973, true)
		for i := range areas {
			set, err := w.rows(g, newPainter(f, func(l *layer) bool { return l == &f.layers[i] }), nil)
			require.NoError(t, err)
			require.InDelta(t, set.Length()*set.Spacing, areas[i], 1e-6, "seed %d, shape %d", seed, i)
		}
		all, err := w.rows(g, newPainter(f, func(*layer) bool { return true }), nil)
		require.NoError(t, err)
		require.InDelta(t, all.Length(), rows.Length(), 1e-6, "seed %d", seed)
		require.Equal(t, all.NumRows(), rows.NumRows())
	}
}

// A black square fades out over another: it is topmost up to where its opacity is
// less than half a step of eight bits, 1/510, at 10 - 10/510 mm.
func TestShownWhereAPaintFades(t *testing.T) {
	var p path.Path
	p.MoveTo(path.Point{})
	for _, q := range []path.Point{{X: 10}, {X: 10, Y: 10}, {Y: 10}} {
		p.LineTo(q)
	}
	p.Close()
	unit, _ := path.Scale(10, 10).Inverse()
	fade := &path.Gradient{Unit: unit, Stops: []path.Stop{
		{Offset: 0, Paint: path.Paint{Opacity: 1}}, {Offset: 1, Paint: path.Paint{}},
	}}
	black := path.Paint{Opacity: 1}
	art := path.Artwork{Shapes: []path.Shape{{Path: p, Paint: black}, {Path: p, Paint: black, Gradient: fade}}}
	_, areas, err := Shown(art, 0.1, Settings{})
	require.NoError(t, err)
	require.InDelta(t, 100.0/510, areas[0], 1e-4)
	require.InDelta(t, 100-100.0/510, areas[1], 1e-4)
}

// A square goes from white to black and back: it is marked where it is darker than 0.96,
// 4 % of each half less than all, though it is topmost all along.
func TestShownWhereAPaintIsDark(t *testing.T) {
	unit, _ := path.Scale(10, 10).Inverse()
	white := path.Paint{R: 1, G: 1, B: 1, Opacity: 1}
	ramp := &path.Gradient{Unit: unit, Stops: []path.Stop{{Paint: white}, {Offset: 0.5, Paint: path.Paint{Opacity: 1}},
		{Offset: 1, Paint: white}}}
	var p path.Path
	p.MoveTo(path.Point{})
	for _, q := range []path.Point{{X: 10}, {X: 10, Y: 10}, {Y: 10}} {
		p.LineTo(q)
	}
	p.Close()
	_, areas, err := Shown(path.Artwork{Shapes: []path.Shape{{Path: p,
		Paint: path.Paint{R: 0.5, G: 0.5, B: 0.5, Opacity: 1}, Gradient: ramp}}}, 0.1, Settings{})
	require.NoError(t, err)
	require.InDelta(t, 96, areas[0], 1e-3)
}

func TestShownOfNothing(t *testing.T) {
	rows, areas, err := Shown(path.Artwork{}, 0.1, Settings{})
	require.NoError(t, err)
	require.Empty(t, rows.Spans)
	require.Empty(t, areas)
	_, _, err = Shown(path.Artwork{}, 0, Settings{})
	require.Error(t, err)
}
