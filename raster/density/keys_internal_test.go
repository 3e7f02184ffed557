package density

import (
	"slices"
	"testing"
	"time"

	"furrow/path"
	"furrow/raster/page"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// twoMarks are 10 mm long, from 0,0 and from start, the second turned by a right
// angle if crossing.
func twoMarks(start path.Point, crossing bool) (p path.Program) {
	p.Settings = []path.Setting{{SpeedMMPerS: 100}}
	to := start.Add(path.Point{X: 10})
	if crossing {
		to = start.Add(path.Point{Y: 10})
	}
	p.Append(path.Stroke{}, path.Point{}, path.Point{X: 10})
	p.Append(path.Stroke{}, start, to)
	return p
}

func explainsTwice(keys []page.Key) bool {
	return slices.ContainsFunc(keys, func(k page.Key) bool { return k.Label == "two marks overlap" })
}

func labels(keys []page.Key) (all []string) {
	for _, k := range keys {
		all = append(all, k.Label)
	}
	return all
}

// One mark, two and four over each other: each number of times has a tone.
func TestRowsExplainHowOften(t *testing.T) {
	for n, want := range map[int][]string{
		1: {"mark, 0.2 mm wide"},
		2: {"mark, 0.2 mm wide", "two marks overlap"},
		4: {"mark, 0.2 mm wide", "two marks overlap", "three or more overlap"},
	} {
		p := path.Program{Settings: []path.Setting{{SpeedMMPerS: 100}}}
		for range n {
			p.Append(path.Stroke{}, path.Point{}, path.Point{X: 10})
		}
		d, err := newDrawing(p, Options{Show: ShowRows, MarkWidthMM: 0.2})
		require.NoError(t, err)
		d.rows()
		assert.Equal(t, want, labels(d.spec.Keys))
		for i, k := range d.spec.Keys {
			share := float64(255-k.Colour.R) / (255 - 26)
			assert.InDelta(t, []float64{0.4, 0.64, 0.784}[i], share, 0.005, k.Label)
		}
	}
}

// The legend of rows and of a film names what is marked twice only where
// something is: marks 0.2 mm wide, side by side, touching, overlapping and
// crossing.
func TestMarkedTwiceIsExplainedWhereItIs(t *testing.T) {
	for name, c := range map[string]struct {
		prog path.Program
		want bool
	}{
		"apart":       {twoMarks(path.Point{Y: 1}, false), false},
		"touching":    {twoMarks(path.Point{Y: 0.2}, false), false},
		"overlapping": {twoMarks(path.Point{Y: 0.1}, false), true},
		"crossing":    {twoMarks(path.Point{X: 5, Y: -5}, true), true},
	} {
		o := Options{Show: ShowRows, MarkWidthMM: 0.2, Size: 900, Marking: []path.Marking{{End: time.Second},
			{Start: time.Second, End: 2 * time.Second}}}
		d, err := newDrawing(c.prog, o)
		require.NoError(t, err)
		d.rows()
		assert.Equal(t, c.want, explainsTwice(d.spec.Keys), "rows, %s", name)
		o.Show = ShowSequence
		d, err = newDrawing(c.prog, o)
		require.NoError(t, err)
		newFilm(d, 15, 1)
		assert.Equal(t, c.want, explainsTwice(d.spec.Keys), "film, %s", name)
	}
}
