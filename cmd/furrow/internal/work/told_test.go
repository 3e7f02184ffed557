package work_test

import (
	"testing"

	"furrow/cmd/furrow/internal/work"
	"furrow/path"

	"github.com/stretchr/testify/assert"
)

// lost is a warning of a square of the artwork.
func lost(kind path.Kind, line int, side float64) work.Warning {
	w := work.Warning{Message: "left out", Kind: kind, File: "a.svg", Element: "rect", Line: line}
	if side > 0 {
		w.AtMM, w.AreaMM2 = [4]float64{1, 2, 1 + side, 2 + side}, side*side
	}
	return w
}

func TestToldSumsByKind(t *testing.T) {
	assert.Empty(t, work.Told(nil))
	assert.Equal(t, []string{
		"a.svg: picture: 3 elements within 14 mm2; the largest: line 4: <rect>: left out; 3.0 x 3.0 mm at 1.0, 2.0",
		"a.svg: line 1: <rect>: left out; 2.0 x 2.0 mm at 1.0, 2.0",
		"a.svg: value: 3 elements; the first: line 7: <rect>: left out",
		"lines part",
	}, work.Told([]work.Warning{
		{Message: "lines part"}, lost(path.Effect, 1, 2), lost(path.BadValue, 7, 0), lost(path.Picture, 2, 1),
		lost(path.BadValue, 8, 0), lost(path.Picture, 3, 2), lost(path.Picture, 4, 3), lost(path.BadValue, 9, 0),
	}))
}

// Areas are told in whole mm2, however small they are: three of 0.25, and three of 1.44.
func TestToldAreas(t *testing.T) {
	for side, want := range map[float64]string{0.5: "3 elements within 1 mm2; the largest", 1.2: "within 4 mm2; the"} {
		var all []work.Warning
		for line := range 3 {
			all = append(all, lost(path.Picture, line, side))
		}
		assert.Contains(t, work.Told(all)[0], want)
	}
}

// Another font is another loss.
func TestToldKeepsFontsApart(t *testing.T) {
	var all []work.Warning
	for i := range 6 {
		w := lost(path.MissingFont, i+1, 1)
		w.Message = "no " + string("AB"[i%2])
		all = append(all, w)
	}
	assert.Equal(t, []string{
		"a.svg: font: 3 elements within 3 mm2; the largest: line 1: <rect>: no A; 1.0 x 1.0 mm at 1.0, 2.0",
		"a.svg: font: 3 elements within 3 mm2; the largest: line 2: <rect>: no B; 1.0 x 1.0 mm at 1.0, 2.0",
	}, work.Told(all))
}

// At most ten lines, and nothing of machine and settings is left out for them.
func TestToldEnds(t *testing.T) {
	kinds := []path.Kind{path.Effect, path.Picture, path.Motion, path.Painting, path.Reference, path.BadValue,
		path.PathData, path.Element}
	var all []work.Warning
	for i, k := range kinds {
		all = append(all, lost(k, i, float64(i)), lost(k, i, float64(i)))
	}
	lines := work.Told(all)
	assert.Len(t, lines, 10)
	assert.Equal(t, "and 7 more of the artwork; furrow inspect --json tells all of them", lines[9])
	for n, want := range map[int]string{10: "a.svg: <rect>: left out", 11: "and 2 more of the artwork; furrow " +
		"inspect --json tells all of them"} {
		lines := work.Told(all[:n])
		assert.Len(t, lines, 10)
		assert.Equal(t, want, lines[9])
	}
	for range 9 {
		all = append(all, work.Warning{Message: "own"})
	}
	lines = work.Told(all)
	assert.Len(t, lines, 12)
	assert.Equal(t, "and 14 more of the artwork; furrow inspect --json tells all of them", lines[2])
	assert.Equal(t, "own", lines[3])
	assert.Equal(t, "own", lines[11])
}
