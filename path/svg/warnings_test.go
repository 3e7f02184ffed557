package svg_test

import (
	"strings"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What lies off the page is not marked in any case, and makes no warning; what reaches
// out is told as far as it is on the page.
func TestWarningsOffThePage(t *testing.T) {
	doc := read(t, on(`<image x="-60" y="10" width="50" height="20" href="a.png"/><image x="80" y="-10" width="50" `+
		`height="20" href="b.png"/>
<rect x="120" width="9" height="9" filter="url(#none)"/><text x="-90" y="20" font-family="Nowhere">off</text>`))
	require.Len(t, doc.Warnings, 1)
	at := doc.Warnings[0].At
	assert.InDelta(t, 80*px, at.Min.X, 1e-9)
	assert.InDelta(t, 90*px, at.Min.Y, 1e-9)
	assert.InDelta(t, 20*px, at.W(), 1e-9)
	assert.InDelta(t, 10*px, at.H(), 1e-9)
}

// What is not drawn tells where it would be, if that is known.
func TestWarningsTellWhere(t *testing.T) {
	for inner, want := range map[string]path.Rect{
		`<foreignObject x="10" y="20" width="30" height="40"/>`: {
			Min: path.Point{X: 10, Y: 40}, Max: path.Point{X: 40, Y: 80},
		},
		`<g transform="translate(5)"><video transform="scale(2)" x="10" width="30" height="40"/></g>`: {
			Min: path.Point{X: 25, Y: 20}, Max: path.Point{X: 85, Y: 100},
		},
		`<foreignObject x="50" y="50" width="20" height="20" transform="rotate(45 50 50)"/>`: {
			Min: path.Point{X: 50 - 14.142, Y: 50 - 28.284}, Max: path.Point{X: 50 + 14.142, Y: 50},
		},
		`<circle cx="50" cy="50" r="20" fill="url(#none)"/>`: {Min: path.Point{X: 30, Y: 30},
			Max: path.Point{X: 70, Y: 70}},
		`<rect x="10" width="30" height="40" mask="url(#none)"/>`: {Min: path.Point{X: 10, Y: 60},
			Max: path.Point{X: 40, Y: 100}},
		`<rect x="10" width="30" height="40" clip-path="url(#none)"/>`: {Min: path.Point{X: 10, Y: 60},
			Max: path.Point{X: 40, Y: 100}},
		`<rect x="10" width="30" height="40" transform="rotate(90 10 0)"><set/></rect>`: {Min: path.Point{X: 0, Y: 70},
			Max: path.Point{X: 10, Y: 100}},
	} {
		doc := read(t, on(inner))
		require.Len(t, doc.Warnings, 1, inner)
		at := doc.Warnings[0].At
		assert.InDelta(t, 0, at.Min.Mul(1/px).Dist(want.Min), 0.01, inner)
		assert.InDelta(t, 0, at.Max.Mul(1/px).Dist(want.Max), 0.01, inner)
	}
}

// One element drawn twice is told once, with the box round both.
func TestWarningsOfUses(t *testing.T) {
	doc := read(t, on(`<defs><image id="i" width="10" height="10" href="a.png"/></defs><use href="#i"/><use `+
		`href="#i" x="50" y="60"/>`))
	require.Len(t, doc.Warnings, 1)
	assert.Equal(t, path.Picture, doc.Warnings[0].Kind)
	assert.InDelta(t, 60*px, doc.Warnings[0].At.W(), 1e-9)
	assert.InDelta(t, 70*px, doc.Warnings[0].At.H(), 1e-9)
}

// A file with more that is wrong than anyone reads comes to an end.
func TestWarningsEnd(t *testing.T) {
	doc := read(t, on(strings.Repeat("<sparkle/>\n", 10_050)))
	require.Len(t, doc.Warnings, 10_001)
	assert.Equal(t, "unknown element is left out", doc.Warnings[9_999].Message)
	assert.Equal(t, "more warnings are not kept", doc.Warnings[10_000].Message)
}
