package svg_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"furrow/path/outside"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// scribbler writes random small documents of what librsvg and we both claim to
// read. Not among it: opacity of overlapping fill and stroke, which we do not
// compose as a group; several shapes in a clipPath, which librsvg fills by one
// rule (CSS Masking 1, 5.1: each by its own); spaces round a comma in points,
// which librsvg refuses (SVG 2, 10.6); clips in units of the bounding box of
// something transformed or of a group, and symbols that reach out of their
// viewport, on both of which Chromium is with us.
type scribbler struct{ *rand.Rand }

func (r scribbler) num(lo, hi float64) string { return fmt.Sprintf("%.1f", lo+(hi-lo)*r.Float64()) }

func (r scribbler) pick(list ...string) string { return list[r.IntN(len(list))] }

func (r scribbler) nums(n int) string {
	var s []string
	for range n {
		s = append(s, r.num(0, 100))
	}
	return strings.Join(s, r.pick(" ", ","))
}

func (r scribbler) data() string {
	var b strings.Builder
	b.WriteString("M" + r.nums(2))
	for range 1 + r.IntN(4) {
		switch r.IntN(8) {
		case 0:
			b.WriteString("L" + r.nums(2))
		case 1:
			b.WriteString("h" + r.num(-30, 30) + "v" + r.num(-30, 30))
		case 2:
			b.WriteString("C" + r.nums(6))
		case 3:
			b.WriteString("S" + r.nums(4))
		case 4:
			b.WriteString("Q" + r.nums(4) + "T" + r.nums(2))
		case 5:
			b.WriteString("A" + r.num(20, 60) + " " + r.num(20, 60) + " " + r.num(0, 180) + " " +
				r.pick("00", "01", "10", "11") + r.nums(2))
		case 6:
			b.WriteString("l" + r.num(-30, 30) + " " + r.num(-30, 30))
		case 7:
			b.WriteString("z m" + r.num(0, 9) + " " + r.num(0, 9) + "L" + r.nums(2))
		}
	}
	return b.String() + r.pick("", "z")
}

func (r scribbler) style(depth int) string {
	s := ` fill="` + r.pick("red", "#0a0", "rgb(0,0,230)", "none", "black") + `" fill-rule="` +
		r.pick("evenodd", "nonzero") + `"`
	if r.IntN(3) == 0 {
		s += ` stroke="` + r.pick("purple", "#333") + `" stroke-width="` + r.num(1, 9) + `" stroke-linejoin="` +
			r.pick("miter", "round", "bevel") + `" stroke-linecap="` + r.pick("butt", "round", "square") + `"`
	}
	moved := r.IntN(4) == 0
	if moved {
		s += ` transform="` + r.pick("rotate(20 50 50)", "scale(.7,1.1)", "skewX(15)", "translate(9,-9) rotate(-30)",
			"matrix(1 .2 -.3 .8 5 5)") + `"`
	}
	if r.IntN(8) == 0 {
		s += ` stroke-dasharray="` + r.pick("9 4", "5", "12 3 2", "0 7", "4%") + `" stroke-dashoffset="` +
			r.num(-9, 9) + `"`
	}
	if r.IntN(6) == 0 {
		clips := []string{"c", "b"}
		if moved || depth != 0 {
			clips = clips[:1]
		}
		s += ` clip-path="url(#` + r.pick(clips...) + `)"`
	}
	if r.IntN(6) == 0 {
		s += ` class="` + r.pick("x", "y", "x y") + `"`
	}
	if r.IntN(6) == 0 {
		s += ` fill-opacity=".6"`
	}
	return s
}

func (r scribbler) element(depth int) string {
	switch n := r.IntN(9); {
	case n == 0 && depth < 3:
		return "<g" + r.style(1) + ">" + r.element(depth+1) + r.element(depth+1) + "</g>"
	case n == 1:
		return `<rect x="` + r.num(0, 60) + `" y="` + r.num(0, 60) + `" width="` + r.num(5, 60) + `" height="` +
			r.num(5, 60) + `" rx="` + r.num(0, 20) + `"` + r.style(depth) + "/>"
	case n == 2:
		return `<ellipse cx="` + r.num(0, 100) + `" cy="` + r.num(0, 100) + `" rx="` + r.num(5, 40) + `" ry="` +
			r.num(5, 40) + `"` + r.style(depth) + "/>"
	case n == 3:
		return `<polygon points="` + r.nums(6+2*r.IntN(4)) + `"` + r.style(depth) + "/>"
	case n == 5:
		return `<svg x="` + r.num(0, 50) + `" y="` + r.num(0, 50) + `" width="` + r.num(20, 60) + `" height="` +
			r.num(20, 60) + `" viewBox="` + r.pick("0 0 100 100", "10 20 60 90", "-9 -9 50 20") +
			`" preserveAspectRatio="` + r.pick("none", "xMidYMid", "xMinYMax slice", "xMaxYMin meet") + `">` +
			r.element(depth+1) + `</svg>`
	case n == 6 && r.IntN(2) == 0:
		return `<polyline points="` + r.nums(4+2*r.IntN(4)) + `" fill="none" stroke="navy" stroke-width="` +
			r.num(1, 4) + `" marker-` + r.pick("start", "mid", "end") + `="url(#m)"/>`
	case n == 4:
		return `<use href="#u" x="` + r.num(0, 50) + `" y="` + r.num(0, 50) + `"` + r.style(depth) + "/>"
	}
	return `<path d="` + r.data() + `"` + r.style(depth) + "/>"
}

func (r scribbler) document() string {
	s := `<clipPath id="c"><path d="` + r.data() + `" clip-rule="` + r.pick("evenodd", "nonzero") +
		`"/></clipPath><defs><path id="u" d="` + r.data() + `"/>` +
		`<clipPath id="b" clipPathUnits="objectBoundingBox"><ellipse cx=".5" cy=".4" rx=".5" ry=".4"/></clipPath>` +
		`<marker id="m" orient="` + r.pick("auto", "30", "auto-start-reverse") +
		`" markerWidth="4" markerHeight="4" refX="5" refY="5" viewBox="0 0 10 10"><path d="M0 0L10 5 0 10z"/>` +
		`</marker></defs>` +
		`<style>.x{fill:orange} path.y,g > .x{stroke:olive;stroke-width:3px} .x.y{fill:none}</style>`
	for range 1 + r.IntN(4) {
		s += r.element(0)
	}
	return on(s)
}

// Random documents must look as librsvg paints them. The count is fixed;
// FURROW_SCRIBBLES asks for more, from seed FURROW_SEED on. A failure names its
// seed and the document, and is saved among the cases of TestSavedScribbles.
func TestScribblesAgainstLibrsvg(t *testing.T) {
	outside.Program(t, "rsvg-convert")
	count, from := envInt(t, "FURROW_SCRIBBLES", 60), envInt(t, "FURROW_SEED", 0)
	for seed := from; seed < from+count; seed++ {
		text := scribbler{rand.New(rand.NewPCG(uint64(seed), 1))}.document()
		iou, _, _, err := compare([]byte(text), 200)
		require.NoError(t, err, text)
		if !assert.GreaterOrEqual(t, iou, 0.985, "seed %d: %s", seed, text) {
			require.NoError(t, os.MkdirAll(saved, 0o755))
			require.NoError(t, os.WriteFile(filepath.Join(saved, fmt.Sprintf("seed-%d.svg", seed)),
				[]byte(text), 0o644))
		}
	}
}

// saved is where documents stand on which a random run once failed.
const saved = "testdata/scribbles"

func TestSavedScribbles(t *testing.T) {
	outside.Program(t, "rsvg-convert")
	files, err := filepath.Glob(filepath.Join(saved, "*.svg"))
	require.NoError(t, err)
	t.Logf("%d saved cases", len(files))
	for _, name := range files {
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		iou, _, _, err := compare(text, 200)
		require.NoError(t, err, name)
		assert.GreaterOrEqual(t, iou, 0.985, name)
	}
}

func envInt(t *testing.T, name string, n int) int {
	if v := os.Getenv(name); v != "" {
		_, err := fmt.Sscan(v, &n)
		require.NoError(t, err, name)
	}
	return n
}
