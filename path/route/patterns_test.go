package route_test

import (
	"math"
	"math/rand/v2"
	"slices"

	"furrow/path"
)

// The five patterns that the goals of this package are set on: discs, rings and
// block letters, short segments, and more of both. Spacing is 400 lines/inch;
// the seeds are fixed.
const patternSpacing = 0.0635

// pattern is one, with a bound on the travel of any sequence of it, mm, as
// Options.Bound finds it in so many iterations, and the goals: how many times
// the bound the travel may be at Normal and at Best effort. For c what is reached
// is asked for instead.
type pattern struct {
	name         string
	spans        int
	marks        func() path.Marks
	bound        float64
	iterations   int
	normal, best float64
}

var patterns = []pattern{
	{"b", 11_824, func() path.Marks { return discs(200, 100) }, 1605.9, 1000, 1.14, 1.11},
	{"c", 13_425, func() path.Marks { return ringsAndLetters() }, 1394.2, 1000, 1.21, 1.20},
	{"d", 5_000, func() path.Marks { return segments(5_000) }, 3443.3, 1000, 1.10, 1.075},
	{"D", 50_000, func() path.Marks { return segments(50_000) }, 10351.3, 400, 1.12, 1.09},
	{"B", 50_225, func() path.Marks { return discs(850, 210) }, 6824.2, 500, 1.18, 1.15},
}

// region is the inside of closed polygons by the even-odd rule.
type region [][]path.Point

// hatch fills regions that do not overlap with rows along X.
func hatch(rs []region, spacing float64) path.RowSet {
	bounds := path.EmptyRect()
	for _, r := range rs {
		for _, poly := range r {
			for _, p := range poly {
				bounds = bounds.Include(p)
			}
		}
	}
	n := max(1, int(math.Round(bounds.H()/spacing)))
	set := path.RowSet{Dir: path.Point{X: 1}, Spacing: spacing, Start: []int32{0}}
	set.Origin.Y = bounds.Centre().Y - float64(n-1)/2*spacing
	xs := make([][]float64, n)
	for _, r := range rs {
		for _, poly := range r {
			for i, p := range poly {
				crossings(xs, p, poly[(i+1)%len(poly)], set.Origin.Y, spacing)
			}
		}
	}
	for _, row := range xs {
		slices.Sort(row)
		for i := 0; i+1 < len(row); i += 2 {
			if row[i] < row[i+1] {
				set.Spans = append(set.Spans, path.Span{X0: row[i], X1: row[i+1]})
			}
		}
		set.Start = append(set.Start, int32(len(set.Spans)))
	}
	return set
}

// crossings adds where the edge from p to q crosses each row.
func crossings(xs [][]float64, p, q path.Point, y0, spacing float64) {
	if p.Y > q.Y {
		p, q = q, p
	}
	for k := max(0, int(math.Ceil((p.Y-y0)/spacing))); k < len(xs); k++ {
		y := y0 + float64(k)*spacing
		if y >= q.Y {
			return
		}
		xs[k] = append(xs[k], p.X+(q.X-p.X)*(y-p.Y)/(q.Y-p.Y))
	}
}

func disc(c path.Point, r float64) []path.Point {
	poly := make([]path.Point, 180)
	for i := range poly {
		s, k := math.Sincos(2 * math.Pi * float64(i) / float64(len(poly)))
		poly[i] = path.Point{X: c.X + r*k, Y: c.Y + r*s}
	}
	return poly
}

// scatter places n circles that stay apart, of radii from lo to hi, in a square.
func scatter(rng *rand.Rand, n int, side, lo, hi float64) (at []path.Point, radius []float64) {
	for len(at) < n {
		r := lo + (hi-lo)*rng.Float64()
		p := path.Point{X: r + (side-2*r)*rng.Float64(), Y: r + (side-2*r)*rng.Float64()}
		apart := true
		for i, q := range at {
			apart = apart && p.Dist(q) > r+radius[i]
		}
		if apart {
			at, radius = append(at, p), append(radius, r)
		}
	}
	return at, radius
}

func hatched(rs []region) path.Marks {
	return path.Marks{Settings: []path.Setting{{Name: "fill"}}, Rows: []path.RowSet{hatch(rs, patternSpacing)}}
}

// discs are n of random size.
func discs(n int, side float64) path.Marks {
	at, radius := scatter(rand.New(rand.NewPCG(1, 2)), n, side, 0.5, 3.8)
	var rs []region
	for i, p := range at {
		rs = append(rs, region{disc(p, radius[i])})
	}
	return hatched(rs)
}

// letters are block letters on a grid of 5 x 7, holes included.
var letters = [...][7]string{
	{"01110", "10001", "10001", "11111", "10001", "10001", "10001"}, // A
	{"11110", "10001", "10001", "11110", "10001", "10001", "11110"}, // B
	{"11111", "10000", "10000", "11110", "10000", "10000", "11111"}, // E
	{"10001", "10001", "10001", "11111", "10001", "10001", "10001"}, // H
	{"01110", "10001", "10001", "10001", "10001", "10001", "01110"}, // O
	{"11110", "10001", "10001", "11110", "10000", "10000", "10000"}, // P
}

// letter draws one as one rectangle for each run of squares in a line of the
// grid; the rectangles of neighbouring lines meet in hatch rows like one shape.
func letter(l [7]string, at path.Point, h float64) region {
	var r region
	for j, line := range l {
		y0, y1 := at.Y+h*float64(6-j)/7, at.Y+h*float64(7-j)/7
		for i := 0; i < len(line); i++ {
			k := i
			for k < len(line) && line[k] == '1' {
				k++
			}
			if k > i {
				x0, x1 := at.X+h*float64(i)/7, at.X+h*float64(k)/7
				r = append(r, []path.Point{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}})
				i = k
			}
		}
	}
	return r
}

// ringsAndLetters are rings and block letters with holes.
func ringsAndLetters() path.Marks {
	rng := rand.New(rand.NewPCG(3, 4))
	at, radius := scatter(rng, 76, 100, 2.8, 6.2)
	var rs []region
	for i, p := range at {
		r := radius[i]
		if i%2 == 0 {
			hole := r * (0.3 + 0.5*rng.Float64())
			rs = append(rs, region{disc(p, r), disc(p, hole)})
			continue
		}
		h := 2 * r * 0.8
		rs = append(rs, letter(letters[rng.IntN(len(letters))], path.Point{X: p.X - h*5/14, Y: p.Y - h/2}, h))
	}
	return hatched(rs)
}

// segments are n of random place and direction, as long as they are apart on
// average, in a square of 100 mm.
func segments(n int) path.Marks {
	rng := rand.New(rand.NewPCG(5, 6))
	m := path.Marks{Settings: []path.Setting{{Name: "trace"}}}
	for range n {
		p := path.Point{X: 100 * rng.Float64(), Y: 100 * rng.Float64()}
		s, c := math.Sincos(2 * math.Pi * rng.Float64())
		l := 100 / math.Sqrt(float64(n)) * 2 * rng.Float64()
		m.Lines = append(m.Lines, path.Line{Before: -1, Points: []path.Point{p, {X: p.X + l*c, Y: p.Y + l*s}}})
	}
	return m
}
