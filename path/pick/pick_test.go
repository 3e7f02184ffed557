package pick_test

import (
	"errors"
	"strconv"
	"testing"

	"furrow/path"
	"furrow/path/pick"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// thing is an element of a format that has ids, classes and layers and no selectors
// of its own.
type thing struct{ id, classes, layer string }

func (t thing) ID() string      { return t.id }
func (t thing) Classes() string { return t.classes }
func (t thing) Layer() string   { return t.layer }

var black, red = path.Paint{Opacity: 1}, path.Paint{R: 1, Opacity: .5}

func TestPicksWithoutSelectors(t *testing.T) {
	p, err := pick.New[thing](pick.Options{
		Groups: []string{"#a", ".deep", "Layer 2", "red"}, Only: []string{".x", `"red"`}, Skip: []string{"#z"},
		Invert: []string{"#a"},
	}, nil)
	require.NoError(t, err)
	a := p.Inside(thing{id: "a"}, pick.Picked{})
	assert.Equal(t, pick.Picked{Group: 1, Invert: true}, a)
	inner := p.Inside(thing{classes: "deep x"}, a)
	assert.Equal(t, pick.Picked{Group: 2, Only: true, Invert: true}, inner)
	group, ok := p.Wanted(inner, black)
	assert.Equal(t, []any{2, true}, []any{group, ok})
	group, ok = p.Wanted(inner, red) // the opacity makes no difference
	assert.Equal(t, []any{4, true}, []any{group, ok})
	_, ok = p.Wanted(a, red)
	assert.False(t, ok, "a name in quotes is no colour")
	assert.Equal(t, 3, p.Inside(thing{layer: "Layer 2"}, pick.Picked{}).Group)
	assert.True(t, p.Inside(thing{layer: "red"}, pick.Picked{}).Only)
	assert.Equal(t, []string{"#z"}, p.Idle())
	all := []thing{{id: "a", classes: "deep x"}, {layer: "Layer 2"}}
	assert.Equal(t, []string{"#z"}, p.Unpicked(all))
	assert.Empty(t, p.Unpicked(append(all, thing{id: "z"})))
	assert.Equal(t, []string{"#a", ".deep", ".x", "Layer 2", "#000000", "#ff0000"}, p.Names(all))
}

func TestNothingPicked(t *testing.T) {
	var p pick.Picker[thing]
	assert.Equal(t, pick.Picked{}, p.Inside(thing{id: "a"}, pick.Picked{}))
	group, ok := p.Wanted(pick.Picked{}, red)
	assert.Equal(t, []any{0, true}, []any{group, ok})
	_, err := pick.New[thing](pick.Options{Skip: []string{""}}, nil)
	assert.Error(t, err)
}

// Texts hold within the group, the skip and the exception of what stands round
// them: nothing inside takes them back.
func TestWhatHoldsRoundAnElementHoldsInside(t *testing.T) {
	p, err := pick.New[thing](pick.Options{
		Groups: []string{".low", ".high"}, Only: []string{"#kept"}, Skip: []string{".not"}, Invert: []string{".other"},
	}, nil)
	require.NoError(t, err)
	outer := p.Inside(thing{id: "kept", classes: "high not other"}, pick.Picked{})
	all := pick.Picked{Group: 2, Only: true, Skip: true, Invert: true}
	assert.Equal(t, all, outer)
	assert.Equal(t, all, p.Inside(thing{classes: "low"}, outer), "an inner group of a lower number")
	assert.Equal(t, pick.Picked{Group: 1}, p.Inside(thing{classes: "low"}, pick.Picked{}))
	assert.Equal(t, pick.Picked{Skip: true}, p.Inside(thing{classes: "not"}, pick.Picked{}))
}

// A colour is one of 256 a channel: as near as half of such a step, and no nearer.
func TestColoursAreAsOnAScreen(t *testing.T) {
	const step = 1.0 / 255
	for name, tc := range map[string]struct {
		paint path.Paint
		same  bool
	}{
		"exactly":          {path.Paint{R: 51 * step, G: 102 * step, B: 153 * step}, true},
		"a hair off":       {path.Paint{R: 51.3 * step, G: 101.7 * step, B: 153.3 * step}, true},
		"one more red":     {path.Paint{R: 52 * step, G: 102 * step, B: 153 * step}, false},
		"one less red":     {path.Paint{R: 50 * step, G: 102 * step, B: 153 * step}, false},
		"a touch more red": {path.Paint{R: 51.6 * step, G: 102 * step, B: 153 * step}, false},
		"one less green":   {path.Paint{R: 51 * step, G: 101 * step, B: 153 * step}, false},
		"one more blue":    {path.Paint{R: 51 * step, G: 102 * step, B: 154 * step}, false},
		"green for red":    {path.Paint{R: 102 * step, G: 51 * step, B: 153 * step}, false},
	} {
		p, err := pick.New[thing](pick.Options{Groups: []string{"#336699"}, Only: []string{"#336699"}}, nil)
		require.NoError(t, err)
		group, ok := p.Wanted(pick.Picked{}, tc.paint)
		assert.Equal(t, tc.same, group == 1, name)
		assert.Equal(t, tc.same, ok, name)
	}
}

// A colour that is skipped goes, whatever else picks it; one of Groups never lowers
// the group that the element has.
func TestColoursSkipAndGroup(t *testing.T) {
	p, err := pick.New[thing](pick.Options{Groups: []string{"red", ".deep"}, Only: []string{"red"},
		Skip: []string{"black"}}, nil)
	require.NoError(t, err)
	_, ok := p.Wanted(pick.Picked{Only: true}, black)
	assert.False(t, ok)
	group, ok := p.Wanted(pick.Picked{Group: 2}, red)
	assert.Equal(t, []any{2, true}, []any{group, ok})
	_, ok = p.Wanted(pick.Picked{}, path.Paint{B: 1})
	assert.False(t, ok, "picked by none of Only")
	assert.Equal(t, []string{".deep"}, p.Idle())
}

// Where something was skipped a colour may have gone with it, so none is called
// unknown; names of other kinds are.
func TestColoursMayHaveBeenSkipped(t *testing.T) {
	for _, skips := range []bool{true, false} {
		p, err := pick.New[thing](pick.Options{Groups: []string{"#123456", "#z"}, Skip: []string{"#a"}}, nil)
		require.NoError(t, err)
		want := []string{"#123456", "#z", "#a"}
		if skips {
			require.True(t, p.Inside(thing{id: "a"}, pick.Picked{}).Skip)
			want = []string{"#z"}
		}
		assert.Equal(t, want, p.Unpicked(nil))
	}
}

func TestPlaced(t *testing.T) {
	p, err := pick.New[thing](pick.Options{Places: []string{"#a", ".x", "#b", "Layer 2"}}, nil)
	require.NoError(t, err)
	assert.Equal(t, []int{0, 1}, p.Placed(thing{id: "a", classes: "y x"}))
	assert.Equal(t, []int{3}, p.Placed(thing{id: "c", layer: "Layer 2"}))
	assert.Empty(t, p.Placed(thing{}), "what has no name is picked by none")
	assert.Equal(t, []string{"#b"}, p.Idle())
}

// What a format understands is left to it; what it does not may name a layer.
func TestPicksInTheWordsOfAFormat(t *testing.T) {
	parse := func(s string) (pick.Match[thing], error) {
		if s != "second" {
			return nil, errors.New("not a word")
		}
		return func(e thing) bool { return e.id == "b" }, nil
	}
	p, err := pick.New(pick.Options{Groups: []string{"second", "#b", "a b"}}, parse)
	require.NoError(t, err)
	assert.Equal(t, 1, p.Inside(thing{id: "b"}, pick.Picked{}).Group, "ids are the format's to read")
	assert.Equal(t, 3, p.Inside(thing{layer: "a b"}, pick.Picked{}).Group)
	assert.Zero(t, p.Inside(thing{id: "a"}, pick.Picked{}).Group)
}

// A lone quote, or one at one end, is part of a name.
func TestQuotes(t *testing.T) {
	for s, layer := range map[string]string{`"`: `"`, `"a`: `"a`, `a"`: `a"`, `"a"`: `a`, `"#a"`: "#a", `""""`: `""`} {
		p, err := pick.New[thing](pick.Options{Groups: []string{s}}, nil)
		require.NoError(t, err)
		assert.Equal(t, 1, p.Inside(thing{layer: layer}, pick.Picked{}).Group, s)
		assert.Zero(t, p.Inside(thing{id: "a", layer: "other"}, pick.Picked{}).Group, s)
	}
}

// Of a document without end the first names and colours are told, each once.
func TestNamesAreBounded(t *testing.T) {
	var p pick.Picker[thing]
	for i := range 100 {
		p.Wanted(pick.Picked{}, path.Paint{R: float64(i/2) / 255, Opacity: 0.3})
	}
	names := p.Names(nil)
	assert.Len(t, names, 32)
	assert.Equal(t, []string{"#000000", "#010000"}, names[:2])
	elements := make([]thing, 2000)
	for i := range elements {
		elements[i] = thing{classes: strconv.Itoa(i / 2)}
	}
	names = p.Names(elements[:1998])
	assert.Len(t, names, 1000)
	assert.Equal(t, []string{".998", "#000000"}, names[998:])
	assert.Equal(t, ".999", p.Names(elements)[999])
}
