package work_test

import (
	"testing"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// A page of 20 x 30 mm that is turned by a quarter keeps its corner on a gantry, and its
// middle in a galvo's field.
func TestQuarterTurns(t *testing.T) {
	const page = `<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="30mm"><rect width="9" height="9"/></svg>`
	at := func(j *job.Job) { j.Artwork.At = &value.Point{X: 100, Y: 50} }
	for machine, want := range map[string]path.Rect{
		"example-co2":   {Min: path.Point{X: 100, Y: 50}, Max: path.Point{X: 130, Y: 70}},
		"example-fibre": {Min: path.Point{X: 85, Y: 40}, Max: path.Point{X: 115, Y: 60}},
	} {
		in := input(t, page, machine, at)
		in.Turned = true
		art, err := work.Place(in)
		require.NoError(t, err)
		for _, d := range []path.Point{art.Page.Min.Sub(want.Min), art.Page.Max.Sub(want.Max)} {
			require.InDelta(t, 0, d.Len(), 1e-9, machine)
		}
	}
}
