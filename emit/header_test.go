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
		"blank 6 x 9 mm about X0 Y0, turned by NaN degrees, bleed 0 mm", "blank 6 x 9 mm about X0 Y0, bleed 0 mm",
		"blank 6 x 9 mm about X0 Y0, turned by 30 degrees, bleed -1 mm",
	} {
		_, ok := emit.ReadBlank(text)
		require.False(t, ok, text)
	}
}

// What looks like the comment of a blank, and is none that can be read, is counted; remarks of
// people are not, nor a comment that the next one goes on with.
func TestBlanksThatCannotBeRead(t *testing.T) {
	for text, unread := range map[string]int{
		"blank 60 x 90 mm": 1, "blank 60x90": 1, "blank 0 x 90 mm at X0 Y0, bleed 0 mm": 1,
		"round blank 60 x 90 mm at X0 Y0, bleed -1 mm": 1, "blank NaN x 90 mm at X0 Y0, bleed 0 mm": 1,
		"blank 60 x 1e9 mm at X0 Y0, bleed 0 mm": 1, "blank -Inf x 9": 1, "blank 60,5 x 90 mm at X0 Y0": 1,
		"blank 60 x 90 mm at X0 Y0, bleed 0 mm": 0, "blank side up": 0, "blank 3": 0, "blank": 0, "": 0,
		"blank 7 of 12, scratched": 0, "the blank 60 x 90 mm": 0, "blanks 60 x 90 mm": 0,
	} {
		var h emit.Header
		h.ReadBlank(text)
		h.ReadBlank("part 1")
		require.Equal(t, unread, h.Unread, text)
	}
	var h emit.Header
	for _, text := range []string{"blank 60 x 90", "mm at X0 Y0, bleed 0 mm", "blank 6 x 9 mm", "blank 6 x 9 mm",
		"at X0 Y0, bleed 0 mm", "blank 7 x 9 mm at X0 Y0, bleed 0 mm"} {
		h.ReadBlank(text)
	}
	require.Equal(t, 1, h.Unread, "the third")
	require.Len(t, h.Blanks, 3)
	for range 10_000 {
		h.ReadBlank("blank 7 x 9 mm at X0 Y0, bleed 0 mm")
	}
	require.Equal(t, 4, h.Unread, "and those that are too many to be kept")
}

func FuzzReadBlank(f *testing.F) {
	f.Add("round blank 60.25 x 90 mm at X-30 Y-0.5, bleed 1.5 mm")
	f.Add("round blank 60 x 20 mm about X35.5 Y27, turned by -33.333333 degrees, bleed 0.5 mm")
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

// A blank that lies aslant is told by its middle and its turn.
func TestBlankAslantIsSaidInAComment(t *testing.T) {
	for said, b := range map[string]emit.Blank{
		"blank 60 x 20 mm about X35 Y27, turned by 30 degrees, bleed 0 mm": {Rect: rectAbout(35, 27, 60, 20), Turn: 30},
		"round blank 40.5 x 20 mm about X-1 Y2.25, turned by -33.333333 degrees, bleed 1 mm": {
			Rect: rectAbout(-1, 2.25, 40.5, 20), Turn: -33.333333, Round: true, Bleed: 1},
	} {
		require.Equal(t, said, b.Comment())
		got, ok := emit.ReadBlank(said)
		require.True(t, ok, said)
		require.Equal(t, b, got)
	}
	third := emit.Blank{Rect: rectAbout(0, 0, 2, 1), Turn: 100. / 3}
	require.Contains(t, third.Comment(), "turned by 33.333333 degrees")
}

func rectAbout(x, y, w, h float64) path.Rect {
	return path.Rect{Min: path.Point{X: x - w/2, Y: y - h/2}, Max: path.Point{X: x + w/2, Y: y + h/2}}
}

// A comment that is longer than a line of the file is read from two, and one that only begins
// like it is not taken for one, nor for its beginning.
func TestBlankInTwoComments(t *testing.T) {
	b := emit.Blank{Rect: rectAbout(0.5, 2, 40, 20), Turn: 15, Round: true}
	text := b.Comment()
	for i := len("round blank 40"); i < len(text); i++ {
		var h emit.Header
		if text[i] != ' ' {
			continue
		}
		for _, c := range []string{"blank side up", text[:i], text[i:], "part 1", text, "blank", text} {
			h.ReadBlank(c)
		}
		require.Equal(t, []emit.Blank{b, b, b}, h.Blanks, text[:i])
	}
	var h emit.Header
	for _, c := range []string{"blank 40 x 20 mm", "part 1", "at X0 Y0, bleed 0 mm"} {
		h.ReadBlank(c)
	}
	require.Empty(t, h.Blanks, "of which one is another's")
}

// Bleed is allowed all round, and turns with the blank: of one aslant by 90 degrees its sides
// are 10 and 30 mm from the middle, and 11.5 and 31.5 with it.
func TestBleedTurnsWithTheBlank(t *testing.T) {
	b := emit.Blank{Rect: rectAbout(0, 0, 60, 20), Turn: 90, Bleed: 1.5}
	require.InDelta(t, 0, b.Allowed().Bounds().Max.Dist(path.Point{X: 11.5, Y: 31.5}), 1e-9)
	require.InDelta(t, 0, b.Form().Bounds().Max.Dist(path.Point{X: 10, Y: 30}), 1e-9)
	for p, want := range map[path.Point]float64{{X: 11.4}: 0, {X: 12}: 0.5, {Y: -32}: 0.5, {Y: 31}: 0} {
		mm, _ := b.Beyond(p)
		require.InDelta(t, want, mm, 1e-9, "%v", p)
	}
}
