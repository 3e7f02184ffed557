package emit_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/emit"
	"furrow/path"
)

func TestBlankIsSaidInAComment(t *testing.T) {
	b := emit.Blank{Rect: path.Rect{Min: path.Point{X: -30, Y: -0.5}, Max: path.Point{X: 30.25, Y: 89.5}}, Bleed: 1.5}
	require.Equal(t, "blank 60.25 x 90 mm at X-30 Y-0.5, bleed 1.5 mm", b.Comment())
	got, ok := emit.ReadBlank(b.Comment())
	require.True(t, ok)
	require.Equal(t, b, got)
	require.Empty(t, emit.Blank{}.Comment())
	small := emit.Blank{Rect: path.Rect{Min: path.Point{X: -1e-9}, Max: path.Point{X: 1, Y: 1}}}
	require.Equal(t, "blank 1 x 1 mm at X0 Y0, bleed 0 mm", small.Comment())
}

// A round blank says so; how far a point is off it is by Pythagoras: 43 and 42.9 mm from the
// middle of a circle of 45 mm radius are 60.741 mm. On its axes an oval is as far as its rectangle.
func TestRoundBlank(t *testing.T) {
	b := emit.Blank{Rect: path.Rect{Max: path.Point{X: 90, Y: 90}}, Round: true}
	require.Equal(t, "round blank 90 x 90 mm at X0 Y0, bleed 0 mm", b.Comment())
	got, ok := emit.ReadBlank(b.Comment())
	require.True(t, ok)
	require.Equal(t, b, got)
	on := []path.Point{{X: 45, Y: 45}, {X: 90, Y: 45}, {X: 45, Y: 0}, {X: 45 - 31.81, Y: 45 - 31.81}}
	mm, _ := b.Beyond(on...)
	require.Zero(t, mm)
	mm, at := b.Beyond(append(on, path.Point{X: 80, Y: 80}, path.Point{X: 2, Y: 87.9}, path.Point{X: 91, Y: 45})...)
	require.InDelta(t, 15.741, mm, 0.001)
	require.Equal(t, path.Point{X: 2, Y: 87.9}, at)
	b.Bleed = 1.5
	mm, _ = b.Beyond(at)
	require.InDelta(t, 14.241, mm, 0.001)
	oval := emit.Blank{Rect: path.Rect{Max: path.Point{X: 60, Y: 40}}, Round: true}
	for p, want := range map[path.Point]float64{
		{X: 70, Y: 20}: 10, {X: 30, Y: -3}: 3, {X: 60, Y: 20}: 0, {X: 51, Y: 34}: 0,
	} {
		mm, _ := oval.Beyond(p)
		require.InDelta(t, want, mm, 1e-9, "%v", p)
	}
	mm, _ = oval.Beyond(path.Point{X: 55, Y: 35}) // of its rectangle, and not of it
	require.Greater(t, mm, 3.0)
}

// Every blank of a load is told, and read back in its place.
func TestBlanksOfALoad(t *testing.T) {
	left := emit.Blank{Rect: path.Rect{Max: path.Point{X: 60, Y: 90}}}
	right := emit.Blank{Rect: path.Rect{Min: path.Point{X: 70}, Max: path.Point{X: 130, Y: 90}}, Bleed: 1}
	said := emit.BlankComments([]emit.Blank{left, {}, right})
	require.Equal(t, []string{"blank 60 x 90 mm at X0 Y0, bleed 0 mm", "blank 60 x 90 mm at X70 Y0, bleed 1 mm"}, said)
	var h emit.Header
	for _, text := range append(said, "blank side up") {
		h.ReadBlank(text)
	}
	require.Equal(t, []emit.Blank{left, right}, h.Blanks)
}

// Half a millimetre of bleed is one.
func TestLittleBleed(t *testing.T) {
	b, ok := emit.ReadBlank("blank 0.5 x 0.25 mm at X0 Y0, bleed 0.5 mm")
	require.True(t, ok)
	require.Equal(t, emit.Blank{Rect: path.Rect{Max: path.Point{X: 0.5, Y: 0.25}}, Bleed: 0.5}, b)
}

func TestOtherCommentsSayNothingOfABlank(t *testing.T) {
	for _, text := range []string{
		"", "blank", "blank 60 x 90 mm", "blank 0 x 90 mm at X0 Y0, bleed 0 mm",
		"blank 60 x 90 mm at X0 Y0, bleed -1 mm",
		"blank 60 x 90 mm at XNaN Y0, bleed 0 mm", "blank 60 x 1e9 mm at X0 Y0, bleed 0 mm",
		"blank -1 x 9 mm at X0 Y0, bleed 0 mm", "blank side up",
	} {
		_, ok := emit.ReadBlank(text)
		require.False(t, ok, text)
	}
}

func FuzzReadBlank(f *testing.F) {
	f.Add("round blank 60.25 x 90 mm at X-30 Y-0.5, bleed 1.5 mm")
	f.Add("blank 60.25 x 90 mm at X-30 Y-0.5, bleed 1.5 mm")
	f.Fuzz(func(t *testing.T, text string) {
		if b, ok := emit.ReadBlank(text); ok {
			require.True(t, b.Known())
			again, ok := emit.ReadBlank(b.Comment())
			if ok {
				require.InDelta(t, b.Rect.Min.X, again.Rect.Min.X, 0.001)
			}
		}
	})
}
