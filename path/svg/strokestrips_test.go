package svg_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"furrow/path"
	"furrow/path/svg"

	"github.com/stretchr/testify/require"
)

// pieces are what the stroke of a line consists of by SVG 2, 13.5 and 13.7, one by one: a
// strip for each leg, a wedge outside of each corner, its tip where the mitre is within
// the limit, and half a square at either end.
func pieces(at []path.Point, closed bool, half, miter float64, join, end string) (all [][]path.Point) {
	legs := len(at) - 1
	if closed {
		legs++
	}
	dir := func(i int) path.Point {
		d := at[(i+1)%len(at)].Sub(at[i%len(at)])
		return d.Mul(1 / d.Len())
	}
	beside := func(p, d path.Point, along, across float64) path.Point {
		return p.Add(d.Mul(along)).Add(path.Point{X: -d.Y, Y: d.X}.Mul(across))
	}
	for i := range legs {
		a, b, d := at[i], at[(i+1)%len(at)], dir(i)
		before, behind := 0.0, 0.0
		if end == "square" && !closed && i == 0 {
			before = half
		}
		if end == "square" && !closed && i == legs-1 {
			behind = half
		}
		all = append(all, []path.Point{beside(a, d, -before, half), beside(a, d, -before, -half),
			beside(b, d, behind, -half), beside(b, d, behind, half)})
		if !closed && i == legs-1 {
			break
		}
		e := dir(i + 1)
		side := -half
		if d.Cross(e) < 0 {
			side = half
		}
		wedge := []path.Point{b, beside(b, d, 0, side)}
		turn := math.Abs(math.Atan2(d.Cross(e), d.Dot(e)))
		if join == "miter" && 1/math.Cos(turn/2) <= miter {
			wedge = append(wedge, beside(b, d, half*math.Tan(turn/2), side))
		}
		all = append(all, append(wedge, beside(b, e, 0, side)))
	}
	return all
}

// Strokes with sharp corners and plain ends, of legs shorter and longer than they are wide,
// are the union of their pieces.
func TestStrokesAreStripsAndWedges(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	fine := svg.Options{Tolerance: func(path.Rect) float64 { return 1e-5 }}
	count := map[bool]int{}
	for range 400 {
		var at []path.Point
		var d strings.Builder
		p := path.Point{X: 30 + 40*r.Float64(), Y: 30 + 40*r.Float64()}
		turn := 6 * r.Float64()
		for i := range 2 + r.IntN(5) {
			at = append(at, p)
			fmt.Fprintf(&d, "%c%.6f %.6f", "ML"[min(i, 1)], p.X, p.Y)
			turn += (r.Float64() - 0.5) * []float64{0.3, 2, 6}[r.IntN(3)]
			p = p.Add(path.Point{X: math.Cos(turn), Y: math.Sin(turn)}.Mul(0.5 + 25*r.Float64()*r.Float64()))
		}
		closed := len(at) > 2 && r.IntN(3) == 0
		if closed {
			d.WriteString("z")
		}
		join, end := []string{"miter", "bevel"}[r.IntN(2)], []string{"butt", "square"}[r.IntN(2)]
		width, miter := 1+12*r.Float64(), 1+3*r.Float64()
		text := fmt.Sprintf(`<path d="%s" fill="none" stroke="red" stroke-width="%.6f" stroke-linejoin="%s" `+
			`stroke-linecap="%s" stroke-miterlimit="%.6f"/>`, d.String(), width, join, end, miter)
		shapes := read(t, on(text), fine).Artwork.Shapes
		require.Len(t, shapes, 1)
		var rings [][]path.Point
		shapes[0].Path.Flatten(1e-5, func(pts []path.Point, _ bool) {
			rings = append(rings, append([]path.Point{}, pts...))
		})
		all := pieces(at, closed, width/2, miter, join, end)
		in := func(p path.Point) bool {
			for _, one := range all {
				if winds([][]path.Point{one}, p) != 0 {
					return true
				}
			}
			return false
		}
		for range 60 {
			k := all[r.IntN(len(all))]
			i := r.IntN(len(k))
			p := k[i].Lerp(k[(i+1)%len(k)], r.Float64())
			p = p.Add(path.Point{X: r.NormFloat64(), Y: r.NormFloat64()}.Mul(0.3))
			want := in(p)
			const off = 2e-3
			if in(p.Add(path.Point{X: off})) != want || in(p.Add(path.Point{X: -off})) != want ||
				in(p.Add(path.Point{Y: off})) != want || in(p.Add(path.Point{Y: -off})) != want {
				continue // on an edge
			}
			q := path.Point{X: p.X * px, Y: (100 - p.Y) * px}
			require.Equal(t, want, winds(rings, q) != 0, "%s at %v", text, p)
			count[want]++
		}
	}
	require.Greater(t, count[true], 5000)
	require.Greater(t, count[false], 3000)
}
