package path_test

import (
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/assert"
)

// A gradient is bare where none of its places is dark, which is asked for here one by
// one: at a thousand places, over white.
func TestBareOfGradients(t *testing.T) {
	white, clear, black := path.Paint{R: 1, G: 1, B: 1, Opacity: 1}, path.Paint{}, path.Paint{Opacity: 1}
	pale, glass := path.Paint{R: 0.98, G: 0.97, B: 1, Opacity: 1}, path.Paint{R: 1, G: 1, B: 1}
	for name, c := range map[string]struct {
		stops []path.Paint
		bare  bool
	}{
		"none":                         {nil, true},
		"white to pale":                {[]path.Paint{white, pale}, true},
		"dark in the middle":           {[]path.Paint{white, black, white}, false},
		"pale, but its mean is dark":   {[]path.Paint{white, white, white, black}, false},
		"white to nothing":             {[]path.Paint{white, glass}, true},
		"white to black that is clear": {[]path.Paint{white, clear}, false}, // a quarter grey half way
		"one dark stop":                {[]path.Paint{black}, false},
		"faint":                        {[]path.Paint{black.Fade(0.03), clear}, true},
	} {
		g := &path.Gradient{Unit: path.Identity}
		for i, p := range c.stops {
			g.Stops = append(g.Stops, path.Stop{Offset: float64(i) / float64(max(1, len(c.stops)-1)), Paint: p})
		}
		s := path.Shape{Gradient: g}
		assert.Equal(t, c.bare, s.Bare(0.96), name)
		plain := true
		for i := range 1001 {
			if len(g.Stops) > 0 {
				plain = plain && g.Paint(float64(i)/1000).Bare(0.96)
			}
		}
		assert.Equal(t, plain, s.Bare(0.96), name)
	}
}

// Groups fade what is in them; one that blends may make it anything.
func TestBareInGroups(t *testing.T) {
	in := func(g *path.PaintGroup) path.Shape { return path.Shape{Paint: path.Paint{Opacity: 1}, In: g} }
	half := &path.PaintGroup{Opacity: 0.2}
	s := in(&path.PaintGroup{In: half, Opacity: 0.1})
	assert.True(t, s.Bare(0.96)) // 0.02 of black
	s = in(half)
	assert.False(t, s.Bare(0.96))
	s = in(&path.PaintGroup{Opacity: 0.01, Blend: path.Difference})
	assert.False(t, s.Bare(0.96))
	assert.True(t, (&path.Shape{}).Bare(0.96))
}
