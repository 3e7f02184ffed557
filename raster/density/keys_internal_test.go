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
	return slices.ContainsFunc(keys, func(k page.Key) bool { return k.Label == "marked twice" })
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
		o := Options{Show: ShowRows, MarkWidthMM: 0.2, Size: 900, Marking: []path.Marking{{End: time.Second}, {Start: time.Second, End: 2 * time.Second}}}
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
