package svg_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Limits hold at the number that they name: as many are drawn, and one more is an
// error or told.
func TestLimitsAtTheirNumber(t *testing.T) {
	uses := func(n int) string {
		var b strings.Builder
		b.WriteString(`<defs><g id="u0"><rect width="9" height="9"/></g>`)
		for i := 1; i < n; i++ {
			fmt.Fprintf(&b, `<g id="u%d"><use href="#u%d"/></g>`, i, i-1)
		}
		fmt.Fprintf(&b, `</defs><use href="#u%d"/>`, n-1)
		return b.String()
	}
	nested := func(n int) string {
		return strings.Repeat("<g>", n) + `<rect width="9" height="9"/>` + strings.Repeat("</g>", n)
	}
	glyphs := func(n int) string {
		return `<font><font-face font-family="O"/>` + strings.Repeat(`<glyph unicode="y"/>`, n-1) +
			`<glyph unicode="x" d="M0 0H9V9z"/></font>` +
			`<text y="9" font-family="O">x</text>`
	}
	for name, c := range map[string]struct {
		inner, message string
	}{
		"32 uses deep": {uses(32), ""},
		"33 uses deep": {uses(33), "refer to each other more than 32 deep"},
		"512 deep":     {nested(510), ""}, // with the svg and the rect
		"513 deep":     {nested(511), "nested more than 512 deep"},
		"100,000 letters": {`<text font-size="0" visibility="hidden">` + strings.Repeat("x", 100_000) +
			`</text><rect width="9" height="9"/>`, ""},
		"70,000 glyphs": {glyphs(70_000), ""},
		"100,001 letters": {`<text>` + strings.Repeat("x", 100_001) + `</text>`,
			"a text of more than 100000 characters"},
	} {
		doc, err := readText(on(c.inner))
		if c.message != "" {
			require.Error(t, err, name)
			assert.Contains(t, err.Error(), c.message, name)
			continue
		}
		require.NoError(t, err, name)
		assert.NotEmpty(t, doc.Artwork.Shapes, name)
		assert.Empty(t, doc.Warnings, name)
	}
	doc, err := readText(on(glyphs(70_001))) // the last is none
	require.NoError(t, err)
	assert.NotEmpty(t, doc.Warnings)
}
