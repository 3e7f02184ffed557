package svg_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// squareFont is a font whose A is a square of a size in a hundredth of the em, 50 apart.
func squareFont(id string, size int, face, more string) string {
	return fmt.Sprintf(`<font id="%s" horiz-adv-x="500">%s<glyph unicode="A" d="M0 0H%d0V%[3]d0H0z"/>%[4]s</font>`,
		id, face, size, more)
}

// SVG 1.1, 20.8: a font is that of the family, weight and style of its font-face, which may
// also stand beside it and name it in a font-face-uri. What is drawn is a square of so many px.
func TestWhichFontElement(t *testing.T) {
	own := func(attrs string) string { return `<font-face font-family="Own" ` + attrs + `/>` }
	uri := func(inner string) string {
		return `<font-face font-family="Own"><font-face-src>` + inner + `</font-face-src></font-face>`
	}
	const ref = `<font-face-uri href="#b"/>`
	for _, c := range []struct {
		fonts, style string
		size         int
	}{
		{squareFont("a", 10, own(""), ""), "", 10},
		{squareFont("a", 10, own(`font-weight="all"`), "") + squareFont("b", 20, own(`font-weight="900"`), ""),
			`font-weight="bold"`, 10},
		{squareFont("a", 10, own(`font-weight="400, 700"`), "") + squareFont("b", 20, own(`font-weight="700"`), ""),
			`font-weight="bold"`, 20},
		{squareFont("a", 10, own(`font-weight="oops"`), "") + squareFont("b", 20, own(`font-weight="700"`), ""),
			"", 10},
		{squareFont("a", 10, own(`font-weight="oops"`), "") + squareFont("b", 20, own(`font-weight="700"`), ""),
			`font-weight="bold"`, 20},
		{squareFont("a", 10, own(`font-style="oblique"`), "") + squareFont("b", 20, own(""), ""), "", 20},
		{squareFont("a", 10, own(`font-style="oblique"`), "") + squareFont("b", 20, own(""), ""),
			`font-style="italic"`, 10},
		{squareFont("a", 10, `<metadata/>`+own(""), ""), "", 10},
		{squareFont("a", 10, `<font-face font-family="  'Own' "/>`, ""), "", 10},
		{squareFont("b", 30, "", "") + uri(ref), "", 30},
		{uri(ref) + squareFont("b", 30, "", ""), "", 30},
		{uri(`<font-face-name name="x"/>`+ref) + squareFont("b", 30, "", ""), "", 30},
		{`<font-face font-family="Own"><metadata>` + ref + `</metadata><font-face-src>` +
			`<font-face-uri href="#c"/></font-face-src></font-face>` +
			squareFont("b", 30, "", "") + squareFont("c", 40, "", ""), "", 40},
		{`<rect id="b"/>` + uri(ref) + uri(`<font-face-uri href="#none"/>`) + squareFont("c", 30, own(""), ""), "", 30},
		{squareFont("a", 10, own(""), `<glyph unicode="A" d="M0 0H900V900H0z"/>`), "", 10}, // the first holds
		{`<g xmlns:o="o:o"><o:font><font-face font-family="Own"/><glyph unicode="A" d="M0 0H9V9z"/></o:font></g>` +
			squareFont("c", 30, own(""), ""), "", 30},
		{squareFont("a", 10, own(`units-per-em="2000"`), ""), "", 5},
		{squareFont("a", 10, own(`units-per-em="oops"`), ""), "", 10},
		{squareFont("a", 10, own(`units-per-em="1e12"`), ""), "", 10}, // as if there were none
		{squareFont("a", 10, own(`units-per-em="-1e12"`), ""), "", 10},
		{squareFont("a", 10, own(`units-per-em="1000 2"`), ""), "", 10},
		{strings.Replace(squareFont("a", 10, own(""), ""), `<glyph `,
			`<glyph unicode="A" orientation="v" d="M0 0H9V9z"/><glyph `, 1), "", 10}, // for lines that run down
		{strings.Replace(squareFont("a", 10, own(""), ""), `unicode`, `orientation="h" unicode`, 1), "", 10},
	} {
		doc := read(t, on(c.fonts+`<text y="90" font-size="100" font-family="Own" `+c.style+`>A</text>`))
		assert.Equal(t, []string{fmt.Sprintf("0 %d %d 90", 90-c.size, c.size)}, boxes(doc), "%s %s", c.fonts, c.style)
		assert.Empty(t, doc.Warnings, c.fonts)
	}
}

// What a font says and is not followed is told once: joined letters, and drawings in glyphs.
func TestToldOfFontElements(t *testing.T) {
	const joined = "letters of this font are not joined as their places in a word ask for"
	for glyph, want := range map[string]string{
		`<glyph unicode="B" arabic-form="initial"/>`: joined, `<glyph unicode="B" arabic-form="isolated"/>`: "",
		`<glyph unicode="B" arabic-form=""/>`:           "",
		`<glyph unicode="B"><g/><rect/><rect/></glyph>`: "what is drawn in a glyph beside its d is left out",
		`<glyph unicode="B"><title>B</title></glyph>`:   "",
	} {
		doc := read(t, on(squareFont("a", 10, `<font-face font-family="Own"/>`, glyph)+
			`<text y="90" font-size="100" font-family="Own">A</text><text y="50" font-family="Own">A</text>`))
		var list []string
		if want != "" {
			list = []string{want}
		}
		assert.Equal(t, list, messages(doc), glyph)
	}
}

// As many fonts as the bound are used, and the next is told.
func TestSixtyFourFontElements(t *testing.T) {
	var fonts strings.Builder
	for i := range 65 {
		fonts.WriteString(squareFont(fmt.Sprintf("f%d", i), 10, fmt.Sprintf(`<font-face font-family="F%d"/>`, i), ""))
		text := on(fonts.String() + fmt.Sprintf(`<text y="90" font-size="100" font-family="F%d">A</text>`, i))
		switch i {
		case 63:
			doc := read(t, text)
			assert.Equal(t, []string{"0 80 10 90"}, boxes(doc))
			assert.Empty(t, doc.Warnings)
		case 64:
			assert.Contains(t, messages(read(t, text))[0], "more than 64 fonts in the file")
		}
	}
}

// SVG 1.1, 20.7: pairs are named by g and u, and both at once; of two that name a pair the
// first holds. The second letter stands 50 from the first, less what the pair asks for.
func TestPairsOfFontElements(t *testing.T) {
	for kerns, left := range map[string]int{
		`<hkern g1="a" g2="b" k="100"/>`:                                      40,
		`<hkern g1="x, a" g2=" b ,y" k="100"/>`:                               40,
		`<hkern g1="x" u1="A" g2="y" u2="B" k="100"/>`:                        40,
		`<hkern g1="a" u1="x" g2="b" u2="y" k="100"/>`:                        40,
		`<hkern u1="U+41, U+50" u2="U+42" k="100"/>`:                          40,
		`<hkern u1="A" u2="B" k="100"/><hkern g1="a" g2="b" k="50"/>`:         40,
		`<hkern g1="a" g2="b" k="50"/><hkern u1="A" u2="B" k="100"/>`:         45,
		`<hkern u1="B" u2="A" k="100"/>`:                                      50,
		`<vkern u1="A" u2="B" k="100"/>`:                                      50,
		`<hkern u1="A" u2="B" k="-100"/>`:                                     60,
		`<hkern u1="A" k="100"/>`:                                             50,
		`<hkern u2="B" k="100"/>`:                                             50,
		`<hkern u1="A" u2="B"/>`:                                              50,
		`<desc/><hkern u1="A" u2="U+42-43" k="100"/>`:                         40,
		`<hkern u1="A" u2="U+40-42" k="100"/>`:                                40,
		`<hkern u1="A" u2="U+43-44" k="100"/>`:                                50,
		`<hkern u1="U+1-1FFFFF" u2="B" k="100"/>`:                             40,
		`<hkern u1="U+G" u2="B" k="100"/>`:                                    50,
		`<hkern u1="U+41-G" u2="B" k="100"/>`:                                 50,
		`<hkern u1="U+FFFFFFFF" u2="B" k="9"/><hkern u1="A" u2="B" k="100"/>`: 40,
	} {
		glyphs := `<glyph unicode="B" glyph-name="c, b" d="M0 0H100V100H0z"/><glyph unicode="BB" d="M0 0H900V900H0z"/>`
		font := squareFont("a", 10, `<font-face font-family="Own"/>`, glyphs+kerns)
		font = strings.Replace(font, `unicode="A"`, `unicode="A" glyph-name="a"`, 1)
		doc := read(t, on(font+`<text y="90" font-size="100" font-family="Own">AB</text>`))
		want := []string{"0 80 10 90", fmt.Sprintf("%d 80 %d 90", left, left+10)}
		assert.Equal(t, want, boxes(doc), kerns)
		assert.Empty(t, doc.Warnings, kerns)
	}
}
