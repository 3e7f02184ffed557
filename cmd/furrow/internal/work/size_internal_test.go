package work

import (
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/path"
)

// The size of a file that names none is told where nothing in the job sets it.
func TestSizeThatNobodyNames(t *testing.T) {
	doc := path.Document{NoSize: path.Rect{Max: path.Point{X: 30, Y: 20}}}
	length, yes, no := value.Length(40), true, false
	require.Len(t, SizeWarnings(job.Artwork{}, doc), 1)
	require.Len(t, SizeWarnings(job.Artwork{Fit: &no}, doc), 1)
	require.Empty(t, SizeWarnings(job.Artwork{}, path.Document{}))
	for _, a := range []job.Artwork{{Width: &length}, {Height: &length}, {Fit: &yes}} {
		require.Empty(t, SizeWarnings(a, doc))
	}
}
