package svg_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/assert"
)

// drawn words what a document draws, to a hundred thousandth of a millimetre: corners
// without those that stand in one place, and without what lies in straight lines.
func drawn(art path.Artwork) string {
	var b strings.Builder
	for _, s := range art.Shapes {
		fmt.Fprintf(&b, "%v %v %s", s.Paint, s.Rule, outlineOf(s.Path))
		for _, c := range s.Clips {
			b.WriteString(" clipped to")
			for _, k := range c.Shapes {
				if outline := outlineOf(k.Path); outline != "" {
					fmt.Fprintf(&b, " %v %s", k.Rule, outline)
				}
			}
		}
		if g := s.Gradient; g != nil {
			fmt.Fprintf(&b, " %v %v %v %.5f", g.Stops, g.Spread, g.Radial, g.Start)
			for _, p := range []path.Point{{}, {X: 10}, {X: 5, Y: 7}} {
				t, ok := g.Offset(p)
				fmt.Fprintf(&b, " %v %.4f", ok, t)
			}
		}
		b.WriteString("\n")
	}
	return strings.ReplaceAll(b.String(), "-0.0000", "0.0000")
}

func outlineOf(p path.Path) string {
	var b strings.Builder
	p.Flatten(0.01, func(pts []path.Point, _ bool) {
		var kept []path.Point
		n := len(pts)
		for i, q := range pts {
			if q.Dist(pts[(i+n-1)%n]) > 1e-7 {
				kept = append(kept, q)
			}
		}
		first := 0 // the lowest, of these the leftmost
		for i, q := range kept {
			if o := kept[first]; q.Y < o.Y-1e-7 || math.Abs(q.Y-o.Y) <= 1e-7 && q.X < o.X-1e-7 {
				first = i
			}
		}
		if len(kept) < 3 {
			return // nothing is in it
		}
		b.WriteString("ring")
		for i := range kept {
			q := kept[(first+i)%len(kept)]
			fmt.Fprintf(&b, " %.4f,%.4f", q.X+1e-9, q.Y+1e-9)
		}
	})
	return b.String()
}

// pair is markup, and what it means in plain numbers by the specification named.
type pair struct{ markup, plain string }

func requireSame(t *testing.T, pairs []pair) {
	t.Helper()
	for _, p := range pairs {
		got, want := read(t, on(p.markup)), read(t, on(p.plain))
		assert.Equal(t, drawn(want.Artwork), drawn(got.Artwork), p.markup)
		assert.Empty(t, want.Warnings, p.plain)
		assert.Empty(t, got.Warnings, p.markup)
	}
}

func rectOf(width string) string { return `<rect width="` + width + `" height="10"/>` }

// CSS Values and Units 4: sums (10), relative lengths (6.1), of a viewport of 100 x 100.
func TestSumsAndLengths(t *testing.T) {
	var all []pair
	for width, plain := range map[string]float64{
		"calc(10px + 5px)": 15, "calc(10px - 5px)": 5, "calc( 8px )": 8, "calc(2 * (3px + 4px))": 14,
		"calc((3px + 4px)*2)": 14, "calc(100% - 20px)": 80, "calc(10px/4)": 2.5, "calc(10px / (1 + 3))": 2.5,
		"calc(2 * 3 * 4px)": 24, "calc(1px - -3px)": 4, "calc(20px - 3px - 4px)": 13, "calc(20px/2/5)": 2,
		"min(30px, 20%, 50mm)": 20, "max(1px,7px,3px)": 7, "clamp(5px, 50%, 30px)": 30, "clamp(5px, 1%, 30px)": 5,
		"clamp(5px,20px,30px)": 20, "-webkit-calc(4px + 4px)": 8, "min(calc(1px + 1px), 9px)": 2,
		"max(2px, min(9px, 50px) + 1px)": 10, "CALC(2PX * 3)": 6, "calc(2px + 1in)": 98, "calc(7 * 1%)": 7,
		"50vw": 50, "20vh": 20, "10vmin": 10, "30vmax": 30, "2lh": 2 * 1.2 * 16, "1rlh": 1.2 * 16, "1.": 1, "+5": 5,
		".5e1": 5, "12e-1px": 1.2, "2.5em": 40, "3ex": 24, "2ch": 16, "1rem": 16, "36pt": 48, "10%": 10,
	} {
		all = append(all, pair{rectOf(width), rectOf(fmt.Sprint(plain))})
	}
	all = append(all,
		pair{`<g font-size="20">` + rectOf("calc(2em - 10px)") + `</g>`, rectOf("30")},
		pair{`<g font-size="20"><rect font-size="50%" width="1em" height="1"/></g>`, `<rect width="10" height="1"/>`},
		pair{`<g font-size="20"><rect font-size="larger" width="1em" height="1"/></g>`, `<rect width="24" ` +
			`height="1"/>`},
		pair{`<g font-size="24"><rect font-size="smaller" width="1em" height="1"/></g>`, `<rect width="20" ` +
			`height="1"/>`},
		pair{`<rect font-size="x-large" width="1em" height="1"/>`, `<rect width="24" height="1"/>`},
		pair{`<g font-size="20"><rect font-size="calc(50% + 2px)" width="1em" height="1"/></g>`,
			`<rect width="12" height="1"/>`},
		pair{`<g font-size="20" fill="none" stroke="red" stroke-width="calc(.1em + 1px)"><path d="M5 5H50" ` +
			`font-size="50"/></g>`,
			`<path d="M5 5H50" fill="none" stroke="red" stroke-width="3"/>`},
		pair{`<g font-size="20" fill="none" stroke="red" stroke-width=".1em" stroke-dasharray="1em .5em"><path ` +
			`d="M5 5H50" ` +
			`font-size="50"/></g>`, `<path d="M5 5H50" fill="none" stroke="red" stroke-width="2" ` +
			`stroke-dasharray="20 10"/>`},
		pair{`<path d="M5 5H50" fill="none" stroke="red" stroke-dasharray="none"/>`, `<path d="M5 5H50" ` +
			`fill="none" stroke="red"/>`},
		pair{`<path d="M5 5H50" fill="none" stroke="red" stroke-dasharray="0 0"/>`, `<path d="M5 5H50" ` +
			`fill="none" stroke="red"/>`},
		pair{`<path d="M5 5H50" fill="none" stroke="red" stroke-dasharray="8"/>`,
			`<path d="M5 5H50" fill="none" stroke="red" stroke-dasharray="8,8"/>`},
		pair{`<path d="M5 5H50" fill="none" stroke="red" stroke-dasharray="5 3 2"/>`,
			`<path d="M5 5H50" fill="none" stroke="red" stroke-dasharray="5,3,2,5,3,2"/>`},
		pair{`<path d="M5 5H50" fill="none" stroke="red" stroke-dasharray="8 4" stroke-dashoffset="6"/>`,
			`<path d="M5 5h2m4 0h8m4 0h8m4 0h8m4 0h3" fill="none" stroke="red"/>`},
		pair{`<path d="M5 5H50" fill="none" stroke="red" stroke-dasharray="8 4" stroke-dashoffset="-6"/>`,
			`<path d="M5 5h2m4 0h8m4 0h8m4 0h8m4 0h3" fill="none" stroke="red"/>`},
	)
	requireSame(t, all)
	for _, wrong := range []string{"calc(1px +2px)", "calc(1px * 2px)", "calc(2 / 1px)", "calc(1px + 2)",
		"min()", "calc(1px",
		"min(1px, 2)", "calc(1px) 2", "clamp(1px, 2px)", "calc(1px,2px)", "calc(+)", "sin(3)", "max(1px 2px)",
		"calc(2px - )", "calc(1px /*x*/", "calc(1px + /*x*/",
		strings.Repeat("calc(", 40) + "1px" + strings.Repeat(")", 40), "5furlong", "e5", "--5", "5 5"} {
		doc := read(t, on(rectOf(wrong)))
		assert.Empty(t, doc.Artwork.Shapes, wrong)
		assert.Len(t, doc.Warnings, 1, wrong)
	}
}

// CSS Shapes 1, 3, and CSS Masking 1, 5.1, of a box of 40 x 30 at 10, 20.
func TestClipsToBasicShapes(t *testing.T) {
	const rect = `<rect x="10" y="20" width="40" height="30"`
	var all []pair
	for shape, plain := range map[string]string{
		"inset(5px)":             `<rect x="15" y="25" width="30" height="20"/>`,
		"inset(5px 10px)":        `<rect x="20" y="25" width="20" height="20"/>`,
		"inset(2px 4px 6px)":     `<rect x="14" y="22" width="32" height="22"/>`,
		"inset(1px 2px 3px 4px)": `<rect x="14" y="21" width="34" height="26"/>`,
		"inset(10% 25%)":         `<rect x="20" y="23" width="20" height="24"/>`,
		"inset(5px round 6px)":   `<rect x="15" y="25" width="30" height="20" rx="6"/>`,
		"INSET(5px ROUND 99px)": `<rect x="15" y="25" width="30" height="20" rx="15" ` +
			`ry="10"/>`,
		"inset(calc(2px + 3px))":            `<rect x="15" y="25" width="30" height="20"/>`,
		"rect(2px 30px 20px 5px)":           `<rect x="15" y="22" width="25" height="18"/>`,
		"xywh(5px 6px 20px 10px)":           `<rect x="15" y="26" width="20" height="10"/>`,
		"xywh(10% 10% 50% 50%)":             `<rect x="14" y="23" width="20" height="15"/>`,
		"circle(10px at 15px 12px)":         `<circle cx="25" cy="32" r="10"/>`,
		"circle(10px)":                      `<circle cx="30" cy="35" r="10"/>`,
		"circle(closest-side at 12px 9px)":  `<circle cx="22" cy="29" r="9"/>`,
		"circle(farthest-side at 12px 9px)": `<circle cx="22" cy="29" r="28"/>`,
		"circle()":                          `<circle cx="30" cy="35" r="15"/>`,
		"circle(at left top)":               ``,
		"circle(5px at right bottom)":       `<circle cx="50" cy="50" r="5"/>`,
		"circle(40%)":                       `<circle cx="30" cy="35" r="14.142135624"/>`,
		// of the root of (40² + 30²)/2
		"ellipse(10px 5px at 50% 50%)":                     `<ellipse cx="30" cy="35" rx="10" ry="5"/>`,
		"ellipse(10px 5px)":                                `<ellipse cx="30" cy="35" rx="10" ry="5"/>`,
		"ellipse(25% 40%)":                                 `<ellipse cx="30" cy="35" rx="10" ry="12"/>`,
		"ellipse(closest-side farthest-side at 12px 10px)": `<ellipse cx="22" cy="30" rx="12" ry="20"/>`,
		"ellipse()":                                        `<ellipse cx="30" cy="35" rx="20" ry="15"/>`,
		"polygon(0 0, 20px 0, 0 15px)":                     `<path d="M10 20h20l-20 15z"/>`,
		"polygon( 50% 0 , 100% 50%,0 100%)":                `<path d="M30 20L50 35 10 50z"/>`,
		"polygon(evenodd, 0 0, 30px 0, 30px 30px, 0 30px, 0 0, 10px 10px, 20px 10px, 20px 20px, 10px 20px, 10px " +
			"10px)": `` +
			`<path clip-rule="evenodd" d="M10 20h30v30h-30V20l10 10h10v10h-10v-10z"/>`,
		"path('M0 0H20V10z')":                   `<path d="M10 20h20v10z"/>`,
		"path(evenodd, 'M0 0H20V10zM4 1h8v3z')": `<path clip-rule="evenodd" d="M10 20h20v10zM14 21h8v3z"/>`,
		"inset(10px) view-box":                  `<rect x="10" y="10" width="80" height="80"/>`,
		"view-box inset(10px 50%)":              `<rect x="50" y="10" width="0" height="80"/>`,
		"fill-box inset(5px)":                   `<rect x="15" y="25" width="30" height="20"/>`,
	} {
		if plain == "" {
			plain = `<circle cx="10" cy="20" r="0"/>`
		}
		all = append(all, pair{rect + ` clip-path="` + shape + `"/>`,
			`<clipPath id="c">` + plain + `</clipPath>` + rect + ` clip-path="url(#c)"/>`})
	}
	stroked := rect + ` stroke="red" stroke-width="4"`
	for shape, plain := range map[string]string{
		"inset(5px)": `<rect x="13" y="23" width="34" height="24"/>`,
		// of the border: the stroke's outer edge
		"inset(5px) stroke-box": `<rect x="13" y="23" width="34" height="24"/>`,
		"inset(5px) fill-box":   `<rect x="15" y="25" width="30" height="20"/>`,
		"margin-box inset(0px)": `<rect x="8" y="18" width="44" height="34"/>`,
	} {
		all = append(all, pair{stroked + ` clip-path="` + shape + `"/>`,
			`<clipPath id="c">` + plain + `</clipPath>` + stroked + ` clip-path="url(#c)"/>`})
	}
	requireSame(t, all)
	for _, wrong := range []string{"circle(-1px)", "polygon(1px)", "polygon(1px 2px 3px)", "polygon(a b, 1px " +
		"2px)", "foo(3px)",
		"inset()", "inset(1px 2px 3px 4px 5px)", "rect(1px 2px 3px)", "inset(x)", "inset(1px round x)",
		"circle(1px 2px)",
		"ellipse(1px)", "inset(1px", "(1px)", "path('M0 0L')", "circle"} {
		doc := read(t, on(rect+` clip-path="`+wrong+`"/>`))
		want := read(t, on(rect+`/>`))
		if assert.Equal(t, drawn(want.Artwork), drawn(doc.Artwork), wrong) {
			assert.Len(t, doc.Warnings, 1, wrong)
		}
	}
}

// CSS Transforms 1 and 2, of a box of 40 x 30 at 10, 20.
func TestTransformsInWords(t *testing.T) {
	const rect = `<rect x="10" y="20" width="40" height="30" `
	var all []pair
	for style, plain := range map[string]string{
		"transform:translateX(10px)": "translate(10)", "transform:translateY(10px)": "translate(0 10)",
		"transform:scaleX(2)": "scale(2 1)", "transform:scaleY(2)": "scale(1 2)", "transform:scale(.5)": "scale(.5)",
		"transform:scale(2,.5)": "scale(2 .5)", "transform:skew(10deg,20deg)": "matrix(1 .363970234 .176326981 1 0 0)",
		"transform:skew(10deg)": "skewX(10)", "transform:skewX(10deg)": "skewX(10)",
		"transform:skewY(-.1turn)": "skewY(-36)",
		"transform:rotate(30deg)":  "rotate(30)", "transform:rotate(50grad)": "rotate(45)",
		"transform:rotate(.25turn)": "rotate(90)", "transform:rotate(1rad)": "rotate(57.295779513)",
		"transform:none":               "scale(1)",
		"transform:translate(10%,20%)": "translate(10 20)", "transform:translate(1em,2px) " +
			"rotate(90deg)": "translate(16 2)rotate(90)",
		"transform:matrix(1,2,3,4,5,6)": "matrix(1 2 3 4 5 6)", "scale:2": "scale(2)", "scale:2 .5": "scale(2 .5)",
		"rotate:30deg": "rotate(30)", "translate:5px 6px": "translate(5 6)", "translate:5px": "translate(5)",
		"translate:5px;rotate:90deg;scale:2;transform:translate(1px)": "translate(5)rotate(90)scale(2)translate(1)",
		"rotate:none": "scale(1)",
		"transform-origin:50px 5px;transform:rotate(30deg)":                            "rotate(30 50 5)",
		"transform-origin:center;transform:rotate(30deg)":                              "rotate(30 50 50)",
		"transform-box:fill-box;transform-origin:center;transform:rotate(30deg)":       "rotate(30 30 35)",
		"transform-box:fill-box;transform-origin:right bottom;transform:rotate(30deg)": "rotate(30 50 50)",
		"transform-box:fill-box;transform-origin:bottom;transform:rotate(30deg)":       "rotate(30 30 50)",
		"transform-box:fill-box;transform-origin:top right;transform:rotate(30deg)":    "rotate(30 50 20)",
		"transform-box:fill-box;transform-origin:left;transform:rotate(30deg)":         "rotate(30 10 35)",
		"transform-box:fill-box;transform-origin:center left;transform:rotate(30deg)":  "rotate(30 10 35)",
		"transform-box:fill-box;transform-origin:25% 10px;transform:rotate(30deg)":     "rotate(30 20 30)",
		"transform-box:fill-box;transform-origin:0 0;scale:2":                          "translate(-10 -20)scale(2)",
	} {
		all = append(all, pair{rect + `style="` + style + `"/>`, rect + `transform="` + plain + `"/>`})
	}
	requireSame(t, all)
	for _, wrong := range []string{"rotate(30deg", "rotate 30", "turn(3)", "scale()", "translate(1px 2px 3px)",
		"matrix(1,2,3)", "rotate(1,2)", "scale(1furlong)", "scale(a)", "matrix(1,2,3,4,5,6,7)", "skew(1,2,3)",
		"scale(2) x"} {
		doc := read(t, on(rect+`transform="`+wrong+`"/>`))
		assert.Equal(t, drawn(read(t, on(rect+`/>`)).Artwork), drawn(doc.Artwork), wrong)
		assert.Len(t, doc.Warnings, 1, wrong)
	}
}

// SVG 2, 8 to 13: shapes, uses, markers, patterns and gradients in other words.
func TestMarkupInOtherWords(t *testing.T) {
	const mark = `<marker id="m" markerWidth="4" markerHeight="6" refX="1" refY="2" markerUnits="userSpaceOnUse" ` +
		`overflow="visible"`
	const head = `><path d="M0 0H3V5z"/></marker>`
	requireSame(t, []pair{
		{`<rect width="9" height="9" style="filter:drop-shadow(2px 3px rgb(255 0 0))"/>`,
			`<rect width="9" height="9" style="filter:drop-shadow(red 2px 3px)"/>`},
		{`<rect width="9" height="9" style="filter:drop-shadow(2px 3px)" color="red"/>`,
			`<rect x="2" y="3" width="9" height="9" fill="red"/><rect width="9" height="9"/>`},
		{`<svg viewBox="0 0 40 20" width="40" height="20" overflow="visible"><rect width="3" height="3"/></svg>`,
			`<rect width="3" height="3"/>`},
		{`<marker id="m" markerWidth="0"><circle r="3"/></marker><path d="M1 1H9" fill="none" stroke="red" ` +
			`marker-end="url(#m)"/>`, `<path d="M1 1H9" fill="none" stroke="red"/>`},
		{`<marker id="m" display="none"><circle r="3"/></marker><path d="M1 1H9" fill="none" stroke="red" ` +
			`marker-end="url(#m)"/>`, `<path d="M1 1H9" fill="none" stroke="red"/>`},
		{`<marker id="m" opacity="0"><circle r="3"/></marker><path d="M1 1H9" fill="none" stroke="red" ` +
			`marker-end="url(#m)"/>`, `<path d="M1 1H9" fill="none" stroke="red"/>`},
		{`<use href="#u" x="3" y="4"/><defs><svg id="u" width="9" height="9" overflow="visible"><rect width="5" ` +
			`height="5"/>` +
			`</svg></defs>`, `<rect x="3" y="4" width="5" height="5"/>`},
		{`<use href="#u" x="3" y="4"/><defs><svg id="u" x="1" y="2" width="9" height="9" overflow="visible"><rect ` +
			`width="5" ` +
			`height="5"/></svg></defs>`, `<rect x="4" y="6" width="5" height="5"/>`},
		{`<rect width="20" height="10" ry="3"/>`, `<rect width="20" height="10" rx="3" ry="3"/>`},
		{`<rect width="20" height="10" rx="auto" ry="3"/>`, `<rect width="20" height="10" rx="3" ry="3"/>`},
		{`<rect width="20" height="10" rx="50" ry="3"/>`, `<rect width="20" height="10" rx="10" ry="3"/>`},
		{`<ellipse cx="9" cy="8" rx="5"/>`, `<circle cx="9" cy="8" r="5"/>`},
		{`<ellipse cx="9" cy="8" rx="auto" ry="5"/>`, `<circle cx="9" cy="8" r="5"/>`},
		{`<circle cx="9" cy="8" r="10%"/>`, `<circle cx="9" cy="8" r="10"/>`},
		{`<ellipse cx="9" cy="8"/><circle r="0"/><path d="none"/><rect width="3"/><path/><polygon points=""/>`, ``},
		{`<path style="d:path('M1 1H9V9z')"/>`, `<path d="M1 1H9V9z"/>`},
		{`<polygon points="1,1 9,1,9 9"/>`, `<path d="M1 1H9V9z"/>`},
		{`<polyline points="1 1 9 1 9 9"/>`, `<path d="M1 1H9V9"/>`},
		{`<line x1="1" y1="2" x2="30%" y2="40" fill="none" stroke="red"/>`, `<path d="M1 2L30 40" fill="none" ` +
			`stroke="red"/>`},
		{`<path d="M1 1h3v4H1z m5 5h2v2"/>`, `<path d="M1 1H4V5H1ZM6 6H8V8"/>`},
		{`<path d="M1,1l3-2.5.5.5-1e1,4"/>`, `<path d="M1 1L4 -1.5L4.5 -1L-5.5 3"/>`},
		{`<path d="M1 1q4 0 4 4t4 4"/>`, `<path d="M1 1Q5 1 5 5Q5 9 9 9"/>`},
		{`<path d="M1 1c1 2 3 4 5 6s5 0 8 1"/>`, `<path d="M1 1C2 3 4 5 6 7C8 9 11 7 14 8"/>`},
		{`<path d="M1 1H9T5 9S2 2 3 3"/>`, `<path d="M1 1H9Q9 1 5 9C5 9 2 2 3 3"/>`},
		{`<path d="M10 20a5 5 0 0110 0"/>`, `<path d="M10 20A5 5 0 0 1 20 20"/>`},
		{`<path d="M10 20A0 5 0 0 1 20 20L20 30"/>`, `<path d="M10 20L20 20V30"/>`},
		{`<path d="M10 20A1 1 0 0 1 20 20"/>`, `<path d="M10 20A5 5 0 0 1 20 20"/>`},
		{`<path d="M10 20A-5 5 0 0 1 20 20"/>`, `<path d="M10 20A5 5 0 0 1 20 20"/>`},
		{`<g id="a b"><rect width="9" height="9"/></g><use href="#a%20b" x="20" y="5"/>`,
			`<rect width="9" height="9"/><rect x="20" y="5" width="9" height="9"/>`},
		{`<defs><g id="g" fill="red"><rect width="9" height="9"/></g></defs><use xlink:href="#g" ` +
			`xmlns:xlink="http://www.w3.org/1999/xlink" transform="scale(2)" y="5"/>`,
			`<rect y="10" width="18" height="18" fill="red"/>`},
		{`<svg x="10" y="20" width="40" height="20" viewBox="0 0 20 10" overflow="visible"><rect width="5" ` +
			`height="5"/></svg>`,
			`<rect x="10" y="20" width="10" height="10"/>`},
		{`<svg x="10" y="20" width="40" height="20" viewBox="0 0 10 10" overflow="visible"><rect width="5" ` +
			`height="5"/></svg>`,
			`<rect x="20" y="20" width="10" height="10"/>`},
		{`<svg width="40" height="20" viewBox="0 0 10 10" preserveAspectRatio="xMaxYMax slice" ` +
			`overflow="visible"><rect ` +
			`width="5" height="5"/></svg>`, `<rect y="-20" width="20" height="20"/>`},
		{`<svg width="40" height="20" viewBox="0 0 10 10" preserveAspectRatio="none" overflow="visible"><rect ` +
			`width="5" ` +
			`height="5"/></svg>`, `<rect width="20" height="10"/>`},
		{`<svg width="0" height="20"><rect width="5" height="5"/></svg><svg viewBox="0 0 0 9"><rect width="5" ` +
			`height="5"/></svg>`, ``},
		{mark + head + `<path d="M10 10H50" fill="none" stroke="red" marker-end="url(#m)"/>`,
			`<path d="M10 10H50" fill="none" stroke="red"/><path d="M49 8h3v5z"/>`},
		{mark + ` orient="auto"` + head + `<path d="M10 10V50" fill="none" stroke="red" marker-end="url(#m)"/>`,
			`<path d="M10 10V50" fill="none" stroke="red"/><path transform="translate(10 ` +
				`50)rotate(90)translate(-1 -2)" d="M0 0H3V5z"/>`},
		{mark + ` orient="30"` + head + `<path d="M10 10V50" fill="none" stroke="red" marker-start="url(#m)"/>`,
			`<path d="M10 10V50" fill="none" stroke="red"/><path transform="translate(10 ` +
				`10)rotate(30)translate(-1 -2)" d="M0 0H3V5z"/>`},
		{mark + ` orient="auto-start-reverse"` + head + `<path d="M10 10H50" fill="none" stroke="red" ` +
			`marker-start="url(#m)"/>`,
			`<path d="M10 10H50" fill="none" stroke="red"/><path transform="translate(10 ` +
				`10)rotate(180)translate(-1 -2)" d="M0 0H3V5z"/>`},
		{mark + ` orient="auto"` + head + `<path d="M10 10H50V40" fill="none" stroke="red" marker-mid="url(#m)"/>`,
			`<path d="M10 10H50V40" fill="none" stroke="red"/><path transform="translate(50 ` +
				`10)rotate(45)translate(-1 -2)" ` +
				`d="M0 0H3V5z"/>`},
		{strings.Replace(mark, "userSpaceOnUse", "strokeWidth", 1) + head + `<path d="M10 10H50" fill="none" ` +
			`stroke="red" ` +
			`stroke-width="2" marker-end="url(#m)"/>`,
			`<path d="M10 10H50" fill="none" stroke="red" stroke-width="2"/><path d="M48 6h6v10z"/>`},
		{mark + ` viewBox="0 0 8 12"` + head + `<path d="M10 10H50" fill="none" stroke="red" marker-end="url(#m)"/>`,
			`<path d="M10 10H50" fill="none" stroke="red"/><path d="M49.5 9h1.5v2.5z"/>`},
		{`<marker id="m" markerUnits="userSpaceOnUse" overflow="visible"><rect width="2" height="2" ` +
			`fill="context-stroke"/>` +
			`</marker><path d="M10 10H50" fill="none" stroke="red" marker-end="url(#m)"/>`,
			`<path d="M10 10H50" fill="none" stroke="red"/><rect x="50" y="10" width="2" height="2" fill="red"/>`},
		{`<marker id="m" markerUnits="userSpaceOnUse" overflow="visible"><rect width="2" height="2" ` +
			`fill="context-fill"/>` +
			`</marker><path d="M10 10H50" fill="blue" stroke="red" marker-end="url(#m)"/>`,
			`<path d="M10 10H50" fill="blue" stroke="red"/><rect x="50" y="10" width="2" height="2" fill="blue"/>`},
		{`<linearGradient id="g"/><rect width="9" height="9" fill="url(#g)"/>`, ``},
		{`<linearGradient id="g"><stop offset=".3" stop-color="red"/></linearGradient><rect width="9" height="9" ` +
			`fill="url(#g)"/>`, `<rect width="9" height="9" fill="red"/>`},
		{`<radialGradient id="g" r="0"><stop stop-color="red"/><stop offset="1" stop-color="blue"/></radialGradient>` +
			`<rect width="9" height="9" fill="url(#g)"/>`, `<rect width="9" height="9" fill="blue"/>`},
		{`<linearGradient id="h"><stop stop-color="red"/><stop offset="1" stop-color="blue"/></linearGradient>` +
			`<linearGradient id="g" href="#h" x2="50%"/><rect width="9" height="9" fill="url(#g)"/>`,
			`<linearGradient id="g" x1="0" x2=".5"><stop offset="0%" stop-color="red"/><stop offset="100%" ` +
				`stop-color="blue"/></linearGradient><rect width="9" height="9" fill="url(#g)"/>`},
		{`<linearGradient id="h"><stop stop-color="red"/><stop offset="1" stop-color="blue"/></linearGradient>` +
			`<linearGradient id="g" href="#h"><stop stop-color="lime"/></linearGradient><rect width="9" height="9" ` +
			`fill="url(#g)"/>`, `<rect width="9" height="9" fill="lime"/>`},
		{`<linearGradient id="g"><stop offset=".5" stop-color="red"/><stop offset=".2" ` +
			`stop-color="blue"/></linearGradient>` +
			`<rect width="9" height="9" fill="url(#g)"/>`,
			`<linearGradient id="g"><stop offset=".5" stop-color="red"/><stop offset=".5" stop-color="blue"/>` +
				`</linearGradient><rect width="9" height="9" fill="url(#g)"/>`},
		{`<linearGradient id="g" color="red"><stop stop-color="currentColor"/><stop offset="1" stop-color="blue"/>` +
			`</linearGradient><rect width="9" height="9" fill="url(#g)"/>`,
			`<linearGradient id="g"><stop stop-color="red"/><stop offset="1" stop-color="blue"/></linearGradient>` +
				`<rect width="9" height="9" fill="url(#g)"/>`},
		{`<linearGradient id="g" gradientUnits="userSpaceOnUse" x1="10%" x2="30"><stop stop-color="red"/><stop ` +
			`offset="1" stop-color="blue"/></linearGradient><rect width="40" height="9" fill="url(#g)"/>`,
			`<linearGradient id="g" x1=".25" x2=".75"><stop stop-color="red"/><stop offset="1" stop-color="blue"/>` +
				`</linearGradient><rect width="40" height="9" fill="url(#g)"/>`},
		{`<rect width="9" height="9" fill="url(#none) red"/>`, `<rect width="9" height="9" fill="red"/>`},
		{`<g color="red"><rect width="9" height="9" color="currentColor" fill="currentColor"/></g>`,
			`<rect width="9" height="9" fill="red"/>`},
	})
}

// letters is drawn with all outlines in one sequence, whatever shapes they are of.
func letters(art path.Artwork) []string {
	var all []string
	for _, s := range art.Shapes {
		for ring := range strings.SplitSeq(outlineOf(s.Path), "ring") {
			if ring != "" {
				all = append(all, fmt.Sprint(s.Paint, strings.ReplaceAll(ring, "-0.0000", "0.0000")))
			}
		}
	}
	slices.Sort(all)
	return all
}
