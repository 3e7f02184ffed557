package svg_test

import (
	"bytes"
	"testing"

	"furrow/path/pick"
	"furrow/path/svg"

	"github.com/stretchr/testify/require"
)

func FuzzRead(f *testing.F) {
	for _, s := range []string{
		on(`<path d="M10,10 C1,2 3,4 5,6 A1 1 0 0 1 9 9z" stroke="red" stroke-dasharray="1 2"/>`),
		on(`<style>g > .a:first-child, #b{fill:url(#g) red !important}</style><g><rect class="a" id="b" width="5" ` +
			`height="9"/></g><linearGradient id="g"><stop offset="1" stop-color="blue"/></linearGradient>`),
		on(`<symbol id="s" viewBox="0 0 1 1"><circle r="1"/></symbol><use href="#s" width="5"/><clipPath id="c">` +
			`<use href="#s"/></clipPath><g clip-path="url(#c)"><text>hi</text></g>`),
		`<svg><filter id="f"><feOffset in="SourceAlpha" dx="2"/><feColorMatrix values="1"/><feDropShadow ` +
			`stdDeviation="1 2"/></filter><g filter="url(#f) blur(1px) drop-shadow(1px 2px red)"><rect width="9" ` +
			`height="9"/></g></svg>`,
		`<svg><font id="o" horiz-adv-x="5"><font-face font-family="O" units-per-em="9" font-weight="all"/><glyph ` +
			`unicode="ab" glyph-name="a,b" d="M0 0H4z"/><hkern u1="U+4?" g2="a" k="1"/></font>` +
			`<style>@font-face{font-family:P;src:url(#o)}</style><text style="all:unset;font:9px ` +
			`O,P;writing-mode:tb" kerning="1">abab<set/></text></svg>`,
		`<!DOCTYPE svg [<!ENTITY a "fill:red">]><svg><rect style="&a;" width="1in" height="5%"/></svg>`,
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		doc, err := svg.Read(bytes.NewReader(data), svg.Options{Pick: pick.Options{Groups: []string{"g"}}})
		if err != nil {
			var e *svg.Error
			require.ErrorAs(t, err, &e)
			return
		}
		for _, s := range doc.Artwork.Shapes {
			for _, p := range s.Path.Points {
				require.True(t, p.Finite())
			}
			for _, p := range s.Centre.Points {
				require.True(t, p.Finite())
			}
		}
	})
}
