package text

import (
	"testing"

	"furrow/path"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/stretchr/testify/require"
)

// Every kind of segment is copied with its points, and each contour closed; nothing is
// nothing.
func TestContoursByHand(t *testing.T) {
	at := func(x, y float32) font.SegmentPoint { return font.SegmentPoint{X: x, Y: y} }
	seg := func(op opentype.SegmentOp, pts ...font.SegmentPoint) font.Segment {
		s := font.Segment{Op: op}
		copy(s.Args[:], pts)
		return s
	}
	got := contours([]font.Segment{
		seg(opentype.SegmentOpMoveTo, at(1, 2)), seg(opentype.SegmentOpLineTo, at(3, 4)),
		seg(opentype.SegmentOpQuadTo, at(5, 6), at(7, 8)),
		seg(opentype.SegmentOpMoveTo, at(9, 10)), seg(opentype.SegmentOpCubeTo, at(11, 12), at(13, 14), at(15, 16)),
	})
	require.Equal(t, []path.Verb{path.MoveTo, path.LineTo, path.QuadTo, path.Close, path.MoveTo, path.CubeTo,
		path.Close}, got.Verbs)
	for i, p := range got.Points {
		require.Equal(t, path.Point{X: float64(2*i + 1), Y: float64(2*i + 2)}, p)
	}
	require.Len(t, got.Points, 8)
	require.True(t, contours(nil).Empty())
}
