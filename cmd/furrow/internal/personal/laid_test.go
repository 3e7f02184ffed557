package personal_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/data"
	"furrow/cmd/furrow/internal/personal"
	"furrow/cmd/furrow/internal/work"
	"furrow/path"
)

// drawn returns the bounds of what a part has of an element, and of how many shapes.
func drawn(part personal.Part, id string) (box path.Rect, shapes int) {
	box = path.EmptyRect()
	for _, s := range part.Drawing.Art.Shapes {
		if s.Source.ID == id {
			box, shapes = box.Union(s.Path.Bounds()), shapes+1
		}
	}
	return box, shapes
}

// Letters that are made smaller and narrower are drawn so: as high as their size says, as
// wide as size and squeeze do, in either kind of lettering. They are made no smaller than
// the job allows.
func TestLettersAreDrawnAsLargeAsSaid(t *testing.T) {
	for _, font := range []string{"", "font = \"single-line\"\n"} {
		set := func(words, more string) (personal.Part, []*personal.PlaceError) {
			in := input(t, tag, "[[text]]\npick = \"#number\"\nvalue = \"{n}\"\n"+font+more)
			setter, err := personal.New(in)
			require.NoError(t, err)
			return setter.Set(data.Part{Values: map[string]string{"n": words}})
		}
		whole, wrong := set("HIH", "room = \"50mm\"\n")
		require.Empty(t, wrong)
		full := whole.Texts[0]
		require.Equal(t, []float64{5, 1, 1}, []float64{full.SizeMM, full.Size, full.Squeeze})
		box, _ := drawn(whole, "number")
		less := fmt.Sprintf("shrink = 60\nsqueeze = 50\nroom = \"%.6fmm\"\n", 0.36*full.WidthMM)
		part, wrong := set("HIH", less)
		require.Empty(t, wrong)
		text := part.Texts[0]
		require.Less(t, text.Size, 0.99)
		require.Less(t, text.Squeeze, 0.99)
		require.InDelta(t, 5*text.Size, text.SizeMM, 1e-9)
		small, _ := drawn(part, "number")
		require.InDelta(t, text.Size*box.H(), small.H(), 0.01)
		require.InDelta(t, text.Size*text.Squeeze*box.W(), small.W(), 0.01)
		for of, fits := range map[float64]bool{0.602: true, 0.598: false} {
			_, wrong = set("HIH", fmt.Sprintf("shrink = 60\nroom = \"%.6fmm\"\n", of*full.WidthMM))
			require.Equal(t, fits, len(wrong) == 0, "%g", of)
		}
		none, wrong := set(" ", "room = \"50mm\"\n")
		require.Empty(t, wrong)
		_, shapes := drawn(none, "number")
		require.Zero(t, shapes, "a space is no shape")
	}
}

// A QR code of version 1 is 21 modules wide with 4 of ground to either side (ISO/IEC 18004):
// in 8 by 5 mm, in whole rows of 0.05 mm, a module is 0.15 mm. It lies in the middle of its
// rectangle, as wide as high, and a second one has rows of its own.
func TestCodesLieInTheMiddle(t *testing.T) {
	art := strings.Replace(tag, `width="16" height="16"`, `width="16" height="10"`, 1)
	art = strings.Replace(art, `</svg>`, `<rect id="high" x="2" y="50" width="10" height="16" fill="none"/></svg>`, 1)
	in := input(t, art, "width = \"30mm\"\n[[code]]\npick = \"#code\"\nkind = \"qr\"\nvalue = \"7\"\n"+
		"[[code]]\npick = \"#high\"\nkind = \"qr\"\nvalue = \"8\"\n")
	setter, err := personal.New(in)
	require.NoError(t, err)
	part, wrong := setter.Set(data.Part{})
	require.Empty(t, wrong)
	require.Len(t, part.Codes, 2)
	for i, want := range []struct {
		id     string
		middle path.Point // of the page, upwards
	}{{"code", path.Point{X: 46, Y: 90 - 71}}, {"high", path.Point{X: 7, Y: 90 - 58}}} {
		require.InDelta(t, 0.15, part.Codes[i].Placed.ModuleMM, 1e-9)
		box, _ := drawn(part, want.id)
		require.InDelta(t, 0, box.Centre().Dist(want.middle), 0.11, want.id)
		require.InDelta(t, 2*29*0.15, box.W(), 0.11, want.id)
		require.InDelta(t, 2*29*0.15, box.H(), 0.11, want.id)
		for _, s := range part.Drawing.Art.Shapes {
			if s.Source.ID == want.id {
				require.Equal(t, len(in.Groups)+i, s.Group)
			}
		}
	}
	in.Drawing = part.Drawing
	strokes, err := work.Fill(in)
	require.NoError(t, err)
	require.NoError(t, part.ReadBack(strokes))
}

// An element that is used twice has two places, each with words of its own.
func TestElementUsedTwice(t *testing.T) {
	art := strings.Replace(tag, `</svg>`, `<use href="#number" x="20"/></svg>`, 1)
	in := input(t, art, "[[text]]\npick = \"#number\"\nvalue = \"7\"\n")
	setter, err := personal.New(in)
	require.NoError(t, err)
	part, wrong := setter.Set(data.Part{})
	require.Empty(t, wrong)
	require.Len(t, part.Texts, 2)
}

// On a blank narrower than the page a text has room to the edges of that, 12 mm to either side
// of the middle of 24 mm, and less by a margin.
func TestRoomWithoutAMargin(t *testing.T) {
	narrow := strings.Replace(order, `width = "40mm"`, `width = "24mm"`, 1)
	for want, job := range map[float64]string{24: strings.Replace(narrow, "margin = \"1mm\"\n", "", 1), 22: narrow} {
		setter, parts := prepare(t, input(t, tag, job), rows)
		part, wrong := setter.Set(parts[1])
		require.Empty(t, wrong)
		require.InDelta(t, want, part.Texts[0].RoomMM, 1e-9)
	}
}
