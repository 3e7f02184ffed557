package svg_test

import (
	"fmt"
	"strings"
	"testing"

	"furrow/path/text"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// SVG 2, 11: texts that mean the same, in the built-in font, whose measures are asked of
// it where they count.
func TestTextsInOtherWords(t *testing.T) {
	fonts := text.NewFonts()
	style := text.Style{Families: "none", Size: 20}
	m := fonts.Face(style).Metrics()
	wide := func(words string) float64 { return fonts.Width(words, style) }
	set := func(attributes, words string) string {
		return `<text font-size="20" ` + attributes + `>` + words + `</text>`
	}
	at := func(x, y float64, words string) string { return set(fmt.Sprintf(`x="%.7f" y="%.7f"`, x, y), words) }
	all := []pair{
		{set(`text-transform="uppercase"`, "a b ß"), set("", "A B SS")},
		{set(`text-transform="lowercase"`, "A bC"), set("", "a bc")},
		{set(`text-transform="capitalize"`, "ash tree  élan"), set("", "Ash Tree Élan")},
		{set(`x="5" y="30" dominant-baseline="central"`, "a"), at(5, 30+10*(m.Ascent-m.Descent), "a")},
		{set(`x="5" y="30" dominant-baseline="mathematical"`, "a"), at(5, 30+10*m.Ascent, "a")},
		{set(`x="5" y="30" dominant-baseline="hanging"`, "a"), at(5, 30+16*m.Ascent, "a")},
		{set(`x="5" y="30" dominant-baseline="middle"`, "a"), at(5, 30+10*m.XHeight, "a")},
		{set(`x="5" y="30" dominant-baseline="text-before-edge"`, "a"), at(5, 30+20*m.Ascent, "a")},
		{set(`x="5" y="30" dominant-baseline="text-after-edge"`, "a"), at(5, 30-20*m.Descent, "a")},
		{set(`x="5" y="30" dominant-baseline="alphabetic"`, "a"), at(5, 30, "a")},
		{set(`x="5" y="30"`, `<tspan alignment-baseline="hanging">a</tspan>`), at(5, 30+16*m.Ascent, "a")},
		{set(`x="5" y="30"`, `<tspan baseline-shift="sub">a</tspan>`), at(5, 34, "a")},
		{set(`x="5" y="30"`, `<tspan baseline-shift="super">a</tspan>`), at(5, 22, "a")},
		{set(`x="5" y="30"`, `<tspan baseline-shift="10%">a</tspan>`), at(5, 28, "a")},
		{set(`x="5" y="30"`, `<tspan baseline-shift="3">a</tspan>`), at(5, 27, "a")},
		{set(`x="5" y="30"`, `<tspan baseline-shift="baseline">a</tspan>`), at(5, 30, "a")},
		{set(`x="50" y="30" text-anchor="middle"`, "oak"), at(50-wide("oak")/2, 30, "oak")},
		{set(`x="50" y="30" text-anchor="end"`, "oak"), at(50-wide("oak"), 30, "oak")},
		{set(`x="50" y="30" text-anchor="start"`, "oak"), at(50, 30, "oak")},
		{set(`x="5" y="30" letter-spacing="3"`, "bc"), at(5, 30, "b") + at(8+wide("b"), 30, "c")},
		{set(`x="5" y="30" letter-spacing=".1em"`, "bc"), at(5, 30, "b") + at(7+wide("b"), 30, "c")},
		{set(`x="5" y="30" word-spacing="4"`, "b c"), at(5, 30, "b") + at(9+wide("b "), 30, "c")},
		{set(`x="5 40" y="30 40"`, "bc"), at(5, 30, "b") + at(40, 40, "c")},
		{set(`x="5" y="30" dx="0 3" dy="0 4"`, "bc"), at(5, 30, "b") + at(8+wide("b"), 34, "c")},
		{set(`x="5" y="30"`, `b<tspan dx="3" dy="-4">c</tspan>d`), at(5, 30, "b") + at(8+wide("b"), 26, "c") +
			at(8+wide("bc"), 26, "d")},
		{set(`x="5" y="30" rotate="90"`, "b"), `<g transform="rotate(90 5 30)">` + at(5, 30, "b") + `</g>`},
		{set(`x="5" y="30" textLength="60"`, "bcd"), at(5, 30, "b") + at(5+(60-wide("bcd"))/2+wide("b"), 30, "c") +
			at(65-wide("d"), 30, "d")},
		{set(`x="5" y="30" textLength="40" lengthAdjust="spacingAndGlyphs"`, "b"), `<g transform="translate(5 ` +
			`30)scale(` +
			fmt.Sprint(40/wide("b")) + ` 1)">` + at(0, 0, "b") + `</g>`},
		{set(`x="5" y="30"`, `<tspan textLength="60">bcd</tspan>ef`), at(5, 30, "b") +
			at(5+(60-wide("bcd"))/2+wide("b"), 30, "c") + at(65-wide("d"), 30, "d") + at(65, 30,
			"e") + at(65+wide("e"), 30, "f")},
		{set(`x="5" y="30"`, "  b \n\t c "), at(5, 30, "b c")},
		{set(`x="5" y="30" xml:space="preserve"`, " b"), at(5+wide(" "), 30, "b")},
		{set(`x="5" y="30" style="white-space:pre"`, " b\t"), at(5+wide(" "), 30, "b")},
		{`<text x="5" y="30" style="font:italic bold 20px none">b</text>`,
			`<text x="5" y="30" font-family="none" font-size="20" font-style="italic" font-weight="700">b</text>`},
		{`<text x="5" y="30" style="font:20px/1.5 none,serif">b</text>`,
			`<text x="5" y="30" font-family="none,serif" font-size="20">b</text>`},
		{`<g font-weight="bold"><text x="5" y="30" style="font:20px none">b</text></g>`,
			`<text x="5" y="30" font-family="none" font-size="20">b</text>`},
		{`<g font-size="10">` + `<text x="1em" y="3em" style="font-size:200%">b</text></g>`, at(20, 60, "b")},
		{set(`x="5" y="30" style="font-variant:normal;font-kerning:none"`, "b"), at(5, 30, "b")},
		{set(`x="5" y="30" display="none"`, "b") + set(`x="5" y="30" visibility="hidden"`, "b"), ``},
		{set(`x="5" y="30"`, `b<tspan visibility="hidden">c</tspan>d`), at(5, 30, "b") + at(5+wide("bc"), 30, "d")},
		{set(`x="5" y="30"`, `b<tspan display="none">c</tspan>d`), at(5, 30, "bd")},
		{set(`x="5" y="30"`, `b<title>no</title>d`), at(5, 30, "bd")},
		{`<path id="p" d="M20 30H90" fill="none"/>` + set("", `<textPath href="#p" startOffset="10">b</textPath>`),
			at(30, 30, "b")},
		{`<path id="p" d="M20 30H90" fill="none"/>` + set("", `<textPath href="#p" startOffset="50%">b</textPath>`),
			at(55, 30, "b")},
		{`<path id="p" d="M20 30H90" pathLength="7" fill="none"/>` + set("", `<textPath href="#p" `+
			`startOffset="2">b</textPath>`), at(40, 30, "b")},
		{`<path id="p" d="M20 30H90" fill="none"/>` + set("", `<textPath href="#p" side="right">b</textPath>`),
			`<g transform="rotate(180 90 30)">` + at(90, 30, "b") + `</g>`},
		{`<path id="p" d="M30 20V90" fill="none"/>` + set("", `<textPath href="#p">b</textPath>`),
			`<g transform="rotate(90 30 20)">` + at(30, 20, "b") + `</g>`},
		{`<path id="p" d="M20 30H22" fill="none"/>` + set("", `<textPath href="#p">b</textPath>`), ``},
	}
	for from, to := range map[string]string{"400 bolder": "700", "300 bolder": "400", "500 bolder": "700",
		"600 bolder": "900", "900 bolder": "900", "700 lighter": "400", "800 lighter": "700", "500 lighter": "100",
		"100 lighter": "100", "700 normal": "400", "400 bold": "700", "100 650": "650"} {
		outer, inner, _ := strings.Cut(from, " ")
		all = append(all, pair{`<g font-weight="` + outer + `">` + set(`x="5" y="30" font-weight="`+inner+`"`,
			"b") + `</g>`,
			set(`x="5" y="30" font-weight="`+to+`"`, "b")})
	}
	for kind, middle := range map[string]float64{"underline": m.Underline, "overline": m.Ascent - m.UnderlineSize/2,
		"line-through": m.Strike} {
		thick := map[bool]float64{true: m.StrikeSize, false: m.UnderlineSize}[kind == "line-through"]
		bar := fmt.Sprintf(`<path d="M5 %.7fh%.7fv%.7fH5z"/>`, 30-20*(middle-thick/2), wide("bd"), -20*thick)
		plain := bar + at(5, 30, "bd")
		if kind == "line-through" {
			plain = at(5, 30, "bd") + bar
		}
		all = append(all, pair{set(`x="5" y="30" text-decoration="`+kind+`"`, "bd"), plain})
	}
	for _, p := range all {
		got, want := read(t, on(p.markup)), read(t, on(p.plain))
		assert.Equal(t, letters(want.Artwork), letters(got.Artwork), p.markup)
	}
}

// A weight that is heavier or lighter than its parent's is taken by CSS Fonts 4, 2.2.1.
func TestWeightsThatAreAskedFor(t *testing.T) {
	for want, of := range map[int][]string{100: {"500 lighter", "100 lighter", "549 lighter"},
		400: {"300 bolder", "700 lighter", "349 bolder", "550 lighter", "749 lighter"},
		700: {"400 bolder", "500 bolder", "800 lighter", "350 bolder", "549 bolder", "750 lighter"},
		900: {"600 bolder", "900 bolder", "550 bolder"}} {
		for _, words := range of {
			outer, inner, _ := strings.Cut(words, " ")
			var file strings.Builder // a font element of each weight, whose only letter is as wide
			for w := 100; w <= 900; w += 100 {
				fmt.Fprintf(&file, `<font horiz-adv-x="%d"><font-face font-family="Own" font-weight="%d" `+
					`units-per-em="1000"/>`+
					`<glyph unicode="b" d="M0 0H%dV500z"/></font>`, w, w, w)
			}
			doc := read(t, on(file.String()+`<g font-family="Own" font-size="100" font-weight="`+outer+`"><text `+
				`y="90" `+
				`font-weight="`+inner+`">b</text></g>`))
			require.Len(t, doc.Artwork.Shapes, 1, words)
			assert.InDelta(t, float64(want)/10*px, doc.Artwork.Shapes[0].Path.Bounds().W(), 1e-6, words)
		}
	}
}
