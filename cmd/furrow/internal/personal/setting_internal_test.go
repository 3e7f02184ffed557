package personal

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/data"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/hatch"
	"furrow/path/text/fit"
)

// How far it is to the edge of a rectangle from 0,0 to 10,6: along X, along Y, aslant, and
// from outside.
func TestReachByHand(t *testing.T) {
	r := path.Rect{Max: path.Point{X: 10, Y: 6}}
	slant := path.Point{X: 1 / math.Sqrt2, Y: 1 / math.Sqrt2}
	for _, tt := range []struct {
		from, along path.Point
		want        float64
	}{
		{path.Point{X: 3, Y: 2}, path.Point{X: 1}, 7}, {path.Point{X: 3, Y: 2}, path.Point{X: -1}, 3},
		{path.Point{X: 3, Y: 2}, path.Point{Y: 1}, 4}, {path.Point{X: 3, Y: 2}, path.Point{Y: -1}, 2},
		{path.Point{X: 3, Y: 2}, slant, 4 * math.Sqrt2}, {path.Point{X: 3, Y: 2}, slant.Mul(-1), 2 * math.Sqrt2},
		{path.Point{X: 9, Y: 2}, slant, math.Sqrt2}, {path.Point{}, path.Point{X: 1}, 10},
		{path.Point{X: 10, Y: 6}, path.Point{X: -1}, 10},
		{path.Point{X: 10, Y: 6}, path.Point{X: 1}, 0},
		{path.Point{X: -1, Y: 2}, path.Point{X: 1}, 0}, {path.Point{X: 11, Y: 2}, path.Point{X: -1}, 0},
		{path.Point{X: 3, Y: 7}, path.Point{Y: -1}, 0}, {path.Point{X: 3, Y: -1}, path.Point{Y: 1}, 0},
	} {
		require.InDelta(t, tt.want, reach(r, tt.from, tt.along), 1e-9, "%+v", tt)
	}
}

// A text has room to the edge ahead of its anchor and behind it, by how much of it lies
// there: 8 mm ahead and 2 behind are room for 8, or 4 about the middle, or 2 mm.
func TestRoomByTheAnchor(t *testing.T) {
	s := &Setter{placing: path.Scale(2, 2), scale: 2, edge: path.Rect{Max: path.Point{X: 10, Y: 6}}}
	at := func(x, anchor float64) place {
		return place{text: &job.Text{}, shown: shown(nil), Place: path.Place{Text: &path.Text{Matrix: path.Translate(x, 1),
			Anchor: anchor}}}
	}
	for anchor, want := range map[float64]float64{0: 8, 0.5: 4, 1: 2, 0.25: 8} {
		got, err := s.room(at(1, anchor))
		require.NoError(t, err)
		require.InDelta(t, want, got, 1e-9, "anchored at %g", anchor)
	}
	for x, want := range map[float64]float64{0: 10, 4.9: 0.2} { // at one edge, and near the other
		got, err := s.room(at(x, 0))
		require.NoError(t, err)
		require.InDelta(t, want, got, 1e-9)
	}
	got, err := s.room(at(5, 1)) // it ends at the edge
	require.NoError(t, err)
	require.InDelta(t, 10, got, 1e-9)
	_, err = s.room(at(6, 0))
	require.EqualError(t, err, "its place is off the page or the blank, or in the margin: give it a room")
}

// Size, and what was done to fit, in words.
func TestWordsOfSizes(t *testing.T) {
	for want, x := range map[string]Text{
		"4.00 mm": {SizeMM: 4, Text: fit.Text{Size: 1, Squeeze: 1}}, "3.20 mm (80 %)": {SizeMM: 3.2,
			Text: fit.Text{Size: 0.8, Squeeze: 1}},
		"4.00 mm, 70 % wide":        {SizeMM: 4, Text: fit.Text{Size: 1, Squeeze: 0.7}},
		"3.99 mm":                   {SizeMM: 3.99, Text: fit.Text{Size: 0.9975, Squeeze: 0.996}},
		"3.20 mm (80 %), 70 % wide": {SizeMM: 3.2, Text: fit.Text{Size: 0.8, Squeeze: 0.7}},
	} {
		require.Equal(t, want, x.size())
	}
}

// Warnings of an element that is lettered in single lines are not heard; all others are.
func TestWhichWarningsAreHeard(t *testing.T) {
	font := job.SingleLine
	j := job.Job{}
	j.Texts = []job.Text{{Font: &font}, {}}
	j.Codes = make([]job.Code, 1)
	d := work.Drawing{Places: []path.Place{{Pick: 0, Source: path.Source{Line: 3}},
		{Pick: 1, Source: path.Source{Line: 4}}, {Pick: 2, Source: path.Source{Line: 5}}},
		Warnings: []work.Warning{{Line: 3, Message: "a"}, {Line: 4, Message: "b"},
			{Line: 5, Message: "c"}, {Message: "d"}}}
	var heard string
	for _, w := range Heard(j, d) {
		heard += w.Message
	}
	require.Equal(t, "bcd", heard)
	require.Len(t, d.Warnings, 4)
}

// Fonts count where a text element is not lettered in single lines, and where there is none at
// all: a length may go by one.
func TestWhenFontsCount(t *testing.T) {
	single := "single-line"
	j := job.Job{Differing: job.Differing{Texts: []job.Text{{Font: &single}, {}}}}
	lettered, own := path.Place{Pick: 0}, path.Place{Pick: 1}
	for _, c := range []struct {
		texts  int
		places []path.Place
		want   bool
	}{
		{1, []path.Place{lettered}, false}, {2, []path.Place{lettered, lettered}, false},
		{2, []path.Place{lettered}, true}, {2, []path.Place{lettered, own}, true}, {1, nil, true}, {0, nil, true},
		{1, []path.Place{lettered, {Pick: 2}}, false},
	} {
		require.Equal(t, c.want, FontsCount(j, work.Drawing{Texts: c.texts, Places: c.places}), "%v", c)
	}
}

// A code is light as it says, else as the recipe does, else dark.
func TestToneOfACode(t *testing.T) {
	lighter, darker := "lighter", "darker"
	s := &Setter{}
	require.False(t, s.light(&job.Code{}))
	require.True(t, s.light(&job.Code{Tone: &lighter}))
	s.in.Recipe = &settings.Recipe{Recipe: machine.Recipe{Tone: "lighter"}}
	require.True(t, s.light(&job.Code{}))
	require.False(t, s.light(&job.Code{Tone: &darker}))
	s.in.Groups = []hatch.Group{{Outline: hatch.Outline{When: hatch.Only}}}
	_, err := s.setCode(&Part{}, place{}, "x")
	require.EqualError(t, err, "a code needs rows, and its fill is an outline only")
	wrong := errors.New("wrong")
	require.ErrorIs(t, &PlaceError{"#a", wrong}, wrong)
	require.EqualError(t, &PlaceError{"#a", wrong}, "#a: wrong")
	require.Equal(t, []string{"n", "m"}, used(job.Differing{Texts: []job.Text{{Value: "{n} {n}"}, {Value: "{"}},
		Codes: []job.Code{{Value: "{m}{n}"}}}))
}

// A text without room comes with a way out, which a list of what is wrong hands on.
func TestWayOutOfNoRoom(t *testing.T) {
	narrow := wayOut(&PlaceError{Pick: "#a", Err: &fit.RoomError{Text: "Tilia", NeedMM: 9, RoomMM: 5}})
	require.Contains(t, narrow, "lines = 2")
	require.Empty(t, wayOut(&PlaceError{Pick: "#a", Err: errors.New("x")}))
	p := &data.Problems{List: []data.Problem{{What: "x"}, {What: "y", Way: "warned", Warning: true},
		{What: "z", Way: narrow}}}
	require.Equal(t, narrow, p.Hint())
}

// groupOf is a fill of rows so far apart, with marks so wide.
func groupOf(spacing, mark float64) (g hatch.Group) {
	g.Setting.SpacingMM, g.MarkWidth = spacing, mark
	return g
}
