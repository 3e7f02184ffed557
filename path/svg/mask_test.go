package svg_test

import (
	"testing"

	"furrow/path"
	"furrow/path/hatch"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A mask multiplies opacity by its luminance, 0.2125 R + 0.7154 G + 0.0721 B (CSS
// Masking 1, 7.10.1) times its own opacity, and what is left is judged as any paint:
// over white against 0.96, not at one half. All numbers by hand.
func TestMaskRule(t *testing.T) {
	mask := func(fill string) string {
		return `<mask id="m"><rect width="100" height="100" ` + fill + `/></mask>`
	}
	square := func(more string) string {
		return `<rect width="50" height="40" mask="url(#m)" ` + more + `/>`
	}
	for name, c := range map[string]struct {
		doc   string
		shows bool
	}{
		"7/255 of black":  {mask(`fill="#070707"`) + square(""), false}, // 0.973
		"15/255 of black": {mask(`fill="#0f0f0f"`) + square(""), true},  // 0.941
		// 1 - 0.7154 x 0.05 = 0.964
		"green, a little":      {mask(`fill="lime" opacity=".05"`) + square(""), false},
		"green, a little more": {mask(`fill="lime" opacity=".06"`) + square(""), true}, // 0.957
		// 1 - 0.0721 x 0.5 = 0.964
		"blue": {mask(`fill="blue" opacity=".5"`) + square(""), false},
		// 1 - 0.2125 x 0.2 = 0.958
		"red": {mask(`fill="red" opacity=".2"`) + square(""), true},
		// 1 - 0.08 x 0.467 = 0.963
		"grey, mask of 8 %":      {mask(`fill="#fff" opacity=".08"`) + square(`fill="#888"`), false},
		"grey, mask of 10 %":     {mask(`fill="#fff" opacity=".1"`) + square(`fill="#888"`), true},    // 0.953
		"its group half as much": {mask(`fill="#fff" opacity=".07"`) + square(`opacity=".5"`), false}, // 0.965
		"in a mask, 0.19 x 0.2": {
			`<mask id="n"><rect width="100" height="100" fill="#fff" opacity=".19"/></mask><mask id="m"><rect ` +
				`width="100" height="100" fill="#fff" opacity=".2" mask="url(#n)"/></mask>` + square(""), false,
		},
		"in a mask, 0.22 x 0.2": {
			`<mask id="n"><rect width="100" height="100" fill="#fff" opacity=".22"/></mask><mask id="m"><rect ` +
				`width="100" height="100" fill="#fff" opacity=".2" mask="url(#n)"/></mask>` + square(""), true,
		},
		"alpha, black of 3 %": {`<mask id="m" mask-type="alpha"><rect width="100" height="100" opacity=".03"/></mask>` +
			square(""), false},
		"alpha, black of 5 %": {`<mask id="m" mask-type="alpha"><rect width="100" height="100" opacity=".05"/></mask>` +
			square(""), true},
		"nothing in it":       {`<mask id="m"/>` + square(""), false},
		"over the whole page": {mask(`fill="#fff"`) + square(""), true},
	} {
		doc := read(t, on(c.doc))
		assert.Empty(t, doc.Warnings, name)
		set := hatch.Settings{Groups: []hatch.Group{{Setting: path.Setting{SpacingMM: 0.1}}}}
		marks, _, err := hatch.Fill(doc.Artwork, set)
		require.NoError(t, err, name)
		area := 0.0
		for i := range marks.Rows {
			area += marks.Rows[i].Length() * marks.Rows[i].Spacing
		}
		want := 0.0
		if c.shows {
			want = 50 * 40 * px * px
		}
		assert.InDelta(t, want, area, 0.002*want, name) // to a whole number of rows
	}
}
