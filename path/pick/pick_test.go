package pick_test

import (
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
		Groups: []string{"#a", ".deep", "Layer 2", "red"}, Only: []string{".x", `"red"`}, Skip: []string{"#z"}, Invert: []string{"#a"},
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
