package svg_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// anyData is path data of all kinds of segments.
func anyData(r *rand.Rand) string {
	var b strings.Builder
	at := func() string { return fmt.Sprintf("%.2f %.2f", 20+60*r.Float64(), 20+60*r.Float64()) }
	fmt.Fprintf(&b, "M%s", at())
	for range 1 + r.IntN(4) {
		switch r.IntN(4) {
		case 0:
			fmt.Fprintf(&b, "L%s", at())
		case 1:
			fmt.Fprintf(&b, "Q%s %s", at(), at())
		case 2:
			fmt.Fprintf(&b, "C%s %s %s", at(), at(), at())
		default:
			fmt.Fprintf(&b, "A%.1f %.1f %d %d %d %s", 5+40*r.Float64(), 5+40*r.Float64(), r.IntN(90), r.IntN(2),
				r.IntN(2), at())
		}
	}
	if r.IntN(2) == 0 {
		b.WriteString("z")
	}
	return b.String()
}

// winds is how often rings go round a place.
func winds(rings [][]path.Point, p path.Point) (n int) {
	for _, ring := range rings {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			if (a.Y > p.Y) == (b.Y > p.Y) {
				continue
			}
			if x := a.X + (p.Y-a.Y)*(b.X-a.X)/(b.Y-a.Y); x > p.X {
				if a.Y < b.Y {
					n++
				} else {
					n--
				}
			}
		}
	}
	return n
}

// A stroke with round caps and joins is what a disc covers that is drawn along the path:
// places nearer to it than half the width are in, and others are not.
func TestStrokesAreWhatADiscCovers(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	in, out := 0, 0
	for range 150 {
		d, width := anyData(r), 1+14*r.Float64()*r.Float64()
		doc := read(t, on(fmt.Sprintf(`<path d="%s" fill="none" stroke="black" stroke-width="%.2f" `+
			`stroke-linecap="round" `+
			`stroke-linejoin="round"/>`, d, width)))
		require.Len(t, doc.Artwork.Shapes, 1, d)
		var rings, lines [][]path.Point
		doc.Artwork.Shapes[0].Path.Flatten(1e-3, func(pts []path.Point, _ bool) {
			rings = append(rings,
				append([]path.Point{}, pts...))
		})
		plain := read(t, on(fmt.Sprintf(`<path d="%s" fill="black"/>`, d)))
		if len(plain.Artwork.Shapes) == 0 {
			continue // a straight line
		}
		closed := strings.HasSuffix(d, "z")
		plain.Artwork.Shapes[0].Path.Flatten(1e-4, func(pts []path.Point, _ bool) {
			pts = append([]path.Point{}, pts...)
			if closed {
				pts = append(pts, pts[0])
			}
			lines = append(lines, pts)
		})
		half := math.Round(width*100) / 200 * px
		for range 150 {
			p := path.Point{X: 26.5 * r.Float64(), Y: 26.5 * r.Float64()}
			if r.IntN(2) == 0 { // beside the edge
				l := lines[0]
				off := path.Point{X: r.NormFloat64(), Y: r.NormFloat64()}
				p = l[r.IntN(len(l))].Add(off.Mul(half * (0.8 + 0.4*r.Float64()) / off.Len()))
			}
			least := math.Inf(1)
			for _, l := range lines {
				for i := 1; i < len(l); i++ {
					v := l[i].Sub(l[i-1])
					s := min(1, max(0, p.Sub(l[i-1]).Dot(v)/max(v.Dot(v), 1e-300)))
					least = min(least, p.Dist(l[i-1].Lerp(l[i], s)))
				}
			}
			if math.Abs(least-half) < 0.006 { // of what curves are flattened to
				continue
			}
			require.Equal(t, least < half, winds(rings, p) != 0, "%s, %g wide, %v is %g off", d, 2*half, p, least)
			if least < half {
				in++
			} else {
				out++
			}
		}
	}
	require.Greater(t, in, 3000)
	require.Greater(t, out, 3000)
}

// Filter Effects 1, 9: what primitives make of an element, in plain shapes. The filter's
// region goes from 10 to 50.
func TestPrimitivesInPlainShapes(t *testing.T) {
	use := func(inner string) string {
		return `<filter id="f" x="-.5" y="-.5" width="2" height="2" color-interpolation-filters="sRGB">` + inner +
			`</filter><rect x="20" y="20" width="20" height="20" filter="url(#f)"/>`
	}
	rect := func(x, y, w, h float64, fill string) string {
		return fmt.Sprintf(`<rect x="%g" y="%g" width="%g" height="%g" fill="%s"/>`, x, y, w, h, fill)
	}
	source := rect(20, 20, 20, 20, "black")
	const flood = `<feFlood flood-color="red" result="r"/>`
	requirePainted(t, []pair{
		{use(`<feOffset dx="3" dy="4"/>`), rect(23, 24, 20, 20, "black")},
		{use(`<feOffset dx="20"/>`), rect(40, 20, 10, 20, "black")},
		{use(flood), rect(10, 10, 40, 40, "red")},
		{use(`<feFlood flood-color="red" flood-opacity=".5"/>`), `<g opacity=".5">` + rect(10, 10, 40, 40,
			"red") + `</g>`},
		{use(flood + `<feComposite operator="in" in2="SourceGraphic"/>`), rect(20, 20, 20, 20, "red")},
		{use(flood + `<feComposite operator="in" in="r" in2="SourceAlpha"/>`), rect(20, 20, 20, 20, "red")},
		{use(flood + `<feComposite operator="over" in="r" in2="SourceGraphic"/>`), rect(10, 10, 40, 40, "red")},
		{use(flood + `<feComposite operator="over" in="SourceGraphic" in2="r"/>`), rect(10, 10, 40, 40,
			"red") + source},
		{use(flood + `<feComposite in="SourceGraphic" in2="r"/>`), rect(10, 10, 40, 40, "red") + source},
		{use(flood + `<feMerge><feMergeNode in="r"/><feMergeNode in="SourceGraphic"/></feMerge>`),
			rect(10, 10, 40, 40, "red") + source},
		{use(`<feOffset dx="5" result="o"/><feMerge><feMergeNode in="o"/><feMergeNode in="SourceGraphic"/></feMerge>`),
			rect(25, 20, 20, 20, "black") + source},
		{use(`<feOffset in="SourceAlpha" dx="5" result="o"/><feBlend in="SourceGraphic" in2="o"/>`),
			rect(25, 20, 20, 20, "black") + source},
		{use(`<feDropShadow dx="5" dy="4" stdDeviation="0" flood-color="red"/>`), rect(25, 24, 20, 20, "red") + source},
		{use(`<feGaussianBlur stdDeviation="0"/>`), source},
		{use(`<feColorMatrix values="0 0 0 0 1 0 0 0 0 0 0 0 0 0 0 0 0 0 1 0"/>`), rect(20, 20, 20, 20, "red")},
		{use(`<feColorMatrix type="matrix" values="0 0 0 0 0 0 0 0 0 .5 0 0 0 0 0 0 0 0 1 0"/>`), rect(20, 20,
			20, 20, "#008000")},
		{use(`<feOffset dx="3" result="a"/><feOffset dx="4" in="a"/>`), rect(27, 20, 20, 20, "black")},
		{use(`<feOffset dx="3" result="a"/><feOffset dx="4" in="SourceGraphic"/>`), rect(24, 20, 20, 20, "black")},
		{use(`<feOffset dx="3"/><feOffset dx="4"/>`), rect(27, 20, 20, 20, "black")},
		{strings.Replace(use(`<feOffset dx=".1"/>`), "<filter ", `<filter primitiveUnits="objectBoundingBox" `, 1),
			rect(22, 20, 20, 20, "black")},
		{strings.Replace(use(flood), `x="-.5" y="-.5" width="2" height="2"`,
			`filterUnits="userSpaceOnUse" x="5" y="15" width="30" height="10"`, 1), rect(5, 15, 30, 10, "red")},
	})
}
