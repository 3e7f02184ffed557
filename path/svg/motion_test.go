package svg_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What moves by itself is told once for the element that moves, wherever the animation
// stands; what waits for a person is not, nor what is never drawn.
func TestMotion(t *testing.T) {
	const told = "it is animated, and drawn as it stands without that"
	for inner, want := range map[string][]string{
		`<rect id="r" width="9" height="9"><set attributeName="x" to="9"/><animate attributeName="y" to="9"/></rect>`: {
			told,
		},
		`<rect id="r" width="9" height="9"/><animate href="#r" attributeName="y" to="9" begin="0s"/>`: {
			told,
		},
		`<rect id="r" width="9" height="9"><set attributeName="x" to="9" begin="click; r.end+2s"/></rect>`: nil,
		`<rect id="r" width="9" height="9"><set attributeName="x" to="9" begin="click; 2s"/></rect>`: {
			told,
		},
		`<rect id="r" width="9" height="9"><set attributeName="x" to="9" begin="indefinite"/></rect>`: nil,
		`<rect id="r" width="9" height="9" display="none"><set attributeName="display" to="inline"/></rect>`: {
			told,
		},
		`<defs><rect id="r" width="9" height="9"><set attributeName="x" to="9"/></rect></defs>`: nil,
		`<linearGradient><stop><animate attributeName="offset" to="1"/></stop></linearGradient>` +
			`<rect width="9" height="9"/>`: {
			told,
		},
		`<rect x="200" width="9" height="9"><set attributeName="y" to="9"/></rect>`: nil,
	} {
		assert.Equal(t, want, messages(read(t, on(inner))), inner)
	}
}

// What lies behind the page is told where it would be seen.
func TestBackground(t *testing.T) {
	for style, n := range map[string]int{
		"background:#000": 1, "background-color:navy": 1, "background:url(a.png)": 1,
		"background:white": 0, "background:none": 0, "background-color:transparent": 0,
	} {
		doc := read(t, `<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100" `+
			`style="`+style+`"><rect width="9" height="9" style="background:red"/></svg>`)
		assert.Len(t, doc.Warnings, n, style)
	}
}

// Text that an editor broke into lines of their own is as it would be wrapped.
func TestWrappedText(t *testing.T) {
	for text, want := range map[string][]string{
		`<text style="shape-inside:url(#r);font-family:Go"><tspan x="5" y="20">Oak</tspan>` +
			`<tspan x="5" y="40">Elm</tspan></text>`: nil,
		`<text y="20" style="inline-size:40px;font-family:Go">Oak Elm</text>`: {
			"text that is to be wrapped (inline-size) is set on one line",
		},
		`<g style="text-decoration-color:red;writing-mode:lr-tb"><text y="20" font-family="Go">Oak</text></g>`: nil,
		`<g style="writing-mode:vertical-rl"><rect width="9" height="9"/></g>`:                                 nil,
		`<g style="writing-mode:vertical-rl"><text y="20" font-family="Go">Oak</text></g>`: {
			"vertical text (writing-mode) is set on a level line",
		},
		`<text y="20" font-family="Go" style="unicode-bidi:bidi-override">Oak</text>`: nil,
	} {
		assert.Equal(t, want, messages(readGo(t, on(text))), text)
	}
}
