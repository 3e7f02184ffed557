package work

import (
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/path"
	"furrow/path/svg"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Artwork that will be enlarged is read the finer, so that its strokes are as
// smooth on the blank; where the file names no size it is read fine.
func TestStrokeTolerance(t *testing.T) {
	page := path.Rect{Max: path.Point{X: 60, Y: 90}}
	width := value.Length(600)
	in := Input{}
	assert.InEpsilon(t, svg.DefaultTolerance, in.strokeTolerance(page), 1e-9)
	in.Job.Artwork.Width = &width
	assert.InEpsilon(t, svg.DefaultTolerance/10, in.strokeTolerance(page), 1e-9)
	assert.InEpsilon(t, svg.DefaultTolerance/10, in.strokeTolerance(path.Rect{}), 1e-9)
}

// A recipe out of focus is judged by the wider spot.
func TestFocusOffsetWidensTheSpot(t *testing.T) {
	m, err := settings.FindMachine("example-fibre")
	require.NoError(t, err)
	offset := value.Length(3)
	sharp := Input{Resolved: job.Resolved{Machine: &m, Fills: []job.ResolvedFill{{}}}}
	soft := Input{Resolved: job.Resolved{Machine: &m, Fills: []job.ResolvedFill{{Spec: job.Fill{FocusOffset: &offset}}}}}
	require.Equal(t, m.Laser, sharp.Laser(0))
	require.Greater(t, soft.Laser(0).SpotMM[0], sharp.Laser(0).SpotMM[0])
}
