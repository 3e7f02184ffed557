package svg_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sort"
	"strings"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sampled is a line as very many places on it, px, with the length up to each.
type sampled struct {
	at   []path.Point
	upTo []float64
}

const parts = 8000

func sample(of func(t float64) path.Point) (s sampled) {
	length := 0.0
	for i := range parts + 1 {
		p := of(float64(i) / parts)
		if i > 0 {
			length += p.Dist(s.at[i-1])
		}
		s.at, s.upTo = append(s.at, p), append(s.upTo, length)
	}
	return s
}

func (s *sampled) length() float64 { return s.upTo[parts] }

// place returns the place at a length along the line, and its direction.
func (s *sampled) place(length float64) (p, along path.Point) {
	i := min(max(sort.SearchFloat64s(s.upTo, length), 1), parts)
	a, b := s.at[i-1], s.at[i]
	d := b.Sub(a)
	return a.Lerp(b, (length-s.upTo[i-1])/(s.upTo[i]-s.upTo[i-1])), d.Mul(1 / d.Len())
}

func circleOf(turn float64) func(t float64) path.Point {
	return func(t float64) path.Point { // SVG 2, 10.3: from the right, clockwise on screen
		sin, cos := math.Sincos(2 * math.Pi * t * turn)
		return path.Point{X: 50 + 30*cos, Y: 50 + 30*sin}
	}
}

// cubicOf and quadOf are in Bernstein's form.
func cubicOf(ax, ay, bx, by, cx, cy, dx, dy float64) func(t float64) path.Point {
	return func(t float64) path.Point {
		k := 1 - t
		return path.Point{
			X: ax*k*k*k + 3*bx*k*k*t + 3*cx*k*t*t + dx*t*t*t, Y: ay*k*k*k + 3*by*k*k*t + 3*cy*k*t*t + dy*t*t*t,
		}
	}
}

func quadOf(ax, ay, bx, by, cx, cy float64) func(t float64) path.Point {
	return func(t float64) path.Point {
		k := 1 - t
		return path.Point{X: ax*k*k + 2*bx*k*t + cx*t*t, Y: ay*k*k + 2*by*k*t + cy*t*t}
	}
}

// curves are lines that nowhere bend as tight as strokes of 12 are wide.
var curves = map[string]func(t float64) path.Point{
	`<circle cx="50" cy="50" r="30" `:     circleOf(1),
	`<path d="M80 50A30 30 0 0 1 50 80" `: circleOf(0.25),
	`<path d="M80 50A30 30 0 1 0 50 80" `: circleOf(-0.75),
	`<path d="M10 20C20 90 80 90 90 20" `: cubicOf(10, 20, 20, 90, 80, 90, 90, 20),
	`<path d="M10 50C10 50 50 5 90 50" `:  cubicOf(10, 50, 10, 50, 50, 5, 90, 50),
	`<path d="M10 80Q50 -20 90 80" `:      quadOf(10, 80, 50, -20, 90, 80),
}

// dashing is a pattern with what begins it and how long the author takes the path to be.
type dashing struct {
	dashes         []float64
	offset, author float64
}

var dashings = []dashing{
	{[]float64{12, 6}, 0, 0}, {[]float64{9}, 4, 0}, {[]float64{11, 3, 5}, -7, 0}, {[]float64{7, 2, 1, 4}, 100, 0},
	{[]float64{3, 2}, 1, 24}, {[]float64{0.5, 0.25, 0.25}, -0.125, 10}, {[]float64{1000, 1}, 998, 0},
	{[]float64{1000, 1}, 0, 0}, {[]float64{0, 15}, -3, 0}, {[]float64{0, 9, 4, 8}, 5, 0},
}

// marked returns from where to where a line is marked (SVG 2, 13.5.6): an odd list is said
// twice, the pattern begins at the offset, and pathLength is a scale of both (9.6.1).
func (c *dashing) marked(l *sampled) (spans [][2]float64) {
	dashes, scale, sum, length := c.dashes, 1.0, 0.0, l.length()
	if len(dashes)%2 == 1 {
		dashes = append(append([]float64{}, dashes...), dashes...)
	}
	if c.author > 0 {
		scale = length / c.author
	}
	for _, d := range dashes {
		sum += d * scale
	}
	for at := -c.offset*scale - sum*math.Ceil(math.Abs(c.offset*scale)/sum); at < length; {
		for i, d := range dashes {
			if to := at + d*scale; i%2 == 0 && at < length && (to > 0 || at == 0) {
				spans = append(spans, [2]float64{max(at, 0), min(to, length)})
			}
			at += d * scale
		}
	}
	return spans
}

// stroked returns the outline of a dashed stroke that is 12 wide, and its area, in px with
// Y down.
func (c *dashing) stroked(t *testing.T, markup, more string) (rings [][]path.Point, area float64) {
	text := fmt.Sprintf(`%s fill="none" stroke="red" stroke-width="12" stroke-dasharray="%s" `+
		`stroke-dashoffset="%g" %s`, markup, strings.Trim(fmt.Sprint(c.dashes), "[]"), c.offset, more)
	if c.author > 0 {
		text += fmt.Sprintf(` pathLength="%g"`, c.author)
	}
	for _, s := range read(t, on(text+"/>")).Artwork.Shapes {
		s.Path.Flatten(1e-4, func(pts []path.Point, _ bool) {
			var ring []path.Point
			for _, p := range pts {
				ring = append(ring, path.Point{X: p.X / px, Y: 100 - p.Y/px})
			}
			for i, p := range ring {
				area += p.Cross(ring[(i+1)%len(ring)]) / 2
			}
			rings = append(rings, ring)
		})
	}
	return rings, math.Abs(area)
}

// Dashes of curves lie where a plain reckoning of lengths puts them, square at their ends:
// places beside the line are in where a dash is beside them and the stroke is wide enough,
// and the area is the width times what is marked (Pappus).
func TestDashesOfCurves(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for markup, of := range curves {
		line := sample(of)
		for _, c := range dashings {
			rings, area := c.stroked(t, markup, "")
			length := 0.0
			spans := c.marked(&line)
			for _, s := range spans {
				length += s[1] - s[0]
			}
			assert.InDelta(t, 12*length, area, 0.4, "%s %v", markup, c)
			for range 100 {
				at, d := r.Float64()*line.length(), 18*(r.Float64()-0.5)
				in, edge := false, min(at, line.length()-at, math.Abs(math.Abs(d)-6))
				for _, s := range spans {
					in = in || s[0] < at && at < s[1]
					edge = min(edge, math.Abs(at-s[0]), math.Abs(at-s[1]))
				}
				if edge < 0.01 { // 2.6 um
					continue
				}
				p, along := line.place(at)
				q := p.Add(path.Point{X: -along.Y, Y: along.X}.Mul(d))
				assert.Equal(t, in && math.Abs(d) < 6, winds(rings, q) != 0, "%s %v: %g along, %g beside", markup, c,
					at, d)
			}
		}
	}
}

// capped tells whether a place is in a stroke of dashes with caps: round ones are all
// within half the width of what is marked, square ones go on straight as far.
type capped struct {
	on   []path.Point // every place that is marked
	ends [][2]path.Point
	cap  string
}

func (c *dashing) capped(l *sampled, cap string, closed bool) (k capped) {
	k.cap = cap
	spans := c.marked(l)
	n := len(spans) - 1
	joined := closed && n >= 0 && spans[0][0] == 0 && spans[n][1] == l.length()
	for i, s := range spans {
		for j := 0.0; j <= 1; j += 1. / 64 {
			p, along := l.place(s[0] + j*(s[1]-s[0]))
			k.on = append(k.on, p)
			if way := 2*j - 1; j == 0 && !(joined && i == 0) || j == 1 && !(joined && i == n) {
				k.ends = append(k.ends, [2]path.Point{p, along.Mul(way)})
			}
		}
	}
	return k
}

func (k *capped) in(q path.Point) bool {
	for _, p := range k.on {
		if k.cap == "round" && p.Dist(q) < 6 {
			return true // in between it is held against the other test
		}
	}
	for _, e := range k.ends {
		v := q.Sub(e[0])
		if along := v.Dot(e[1]); k.cap == "square" && along > 0 && along < 6 && math.Abs(v.Cross(e[1])) < 6 {
			return true
		}
	}
	return false
}

// Caps of dashes, those without length too, stand square to the curve where the dash ends;
// there are none where a closed line begins within a dash.
func TestCapsOfDashesOfCurves(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	count := map[bool]int{}
	for markup, of := range curves {
		line := sample(of)
		closed := strings.HasPrefix(markup, "<circle")
		for _, c := range dashings {
			for _, cap := range []string{"round", "square"} {
				rings, _ := c.stroked(t, markup, `stroke-linecap="`+cap+`"`)
				plain, _ := c.stroked(t, markup, "")
				k := c.capped(&line, cap, closed)
				for range 24 {
					var q path.Point
					if len(k.ends) > 0 {
						q = k.ends[r.IntN(len(k.ends))][0]
					} else {
						q = line.at[0]
					}
					q = q.Add(path.Point{X: 20 * (r.Float64() - 0.5), Y: 20 * (r.Float64() - 0.5)})
					const off = 0.04 // 10 um
					in := k.in(q)
					if k.in(q.Add(path.Point{X: off})) != in || k.in(q.Add(path.Point{X: -off})) != in ||
						k.in(q.Add(path.Point{Y: off})) != in || k.in(q.Add(path.Point{Y: -off})) != in {
						continue // on an edge
					}
					in = in || winds(plain, q) != 0
					assert.Equal(t, in, winds(rings, q) != 0, "%s %v %s: %v", markup, c, cap, q)
					count[in]++
				}
			}
		}
	}
	require.Greater(t, count[true], 1000)
	require.Greater(t, count[false], 500)
}

// A dash that begins or ends at a corner, to the last digits of the sums of lengths, has no
// join there.
func TestDashesThatEndAtACorner(t *testing.T) {
	var pairs []pair
	for n := range 30 { // tenths up to the corner
		plain := ""
		for k := 0; k < n+60; k += 2 {
			if k < n {
				plain += fmt.Sprintf("M%.1f 10h0.1", 10+float64(k)/10)
			} else {
				plain += fmt.Sprintf("M%.1f %.1fv0.1", 10+float64(n)/10, 10+float64(k-n)/10)
			}
		}
		pairs = append(pairs, pair{
			fmt.Sprintf(`<path d="M10 10h%gv6" fill="none" stroke="red" stroke-width="8" stroke-dasharray="0.1"/>`,
				float64(n)/10),
			`<path d="` + plain + `" fill="none" stroke="red" stroke-width="8"/>`,
		})
	}
	requireSame(t, pairs)
}
