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

// A drawing is taken for the page however small it is, where that is asked for.
func TestPageOfASmallDrawing(t *testing.T) {
	yes, no := true, false
	dot := path.Shape{Paint: path.Paint{Opacity: 1}}
	dot.Path.MoveTo(path.Point{X: 3, Y: 2})
	for _, p := range []path.Point{{X: 3.5, Y: 2}, {X: 3.5, Y: 2.25}, {X: 3, Y: 2.25}} {
		dot.Path.LineTo(p)
	}
	dot.Path.Close()
	page := path.Rect{Max: path.Point{X: 30, Y: 20}}
	drawn := path.Rect{Min: path.Point{X: 3, Y: 2}, Max: path.Point{X: 3.5, Y: 2.25}}
	art := path.Artwork{Page: page, Shapes: []path.Shape{dot}}
	require.Equal(t, drawn, Trimmed(job.Artwork{Trim: &yes}, art).Page)
	require.Equal(t, page, Trimmed(job.Artwork{Trim: &no}, art).Page)
	require.Equal(t, page, Trimmed(job.Artwork{Trim: &yes}, path.Artwork{Page: page}).Page, "nothing is drawn")
}
