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
// the bound the travel may be at Normal and at Best effort.
type pattern struct {
	name         string
	spans        int
	marks        func() path.Marks
	bound        float64
	iterations   int
	normal, best float64
}

var patterns = []pattern{
	{"b", 11_824, func() path.Marks { return discs(200, 100) }, 1605.9, 1000, 1.14, 1.0945},
	{"c", 13_425, ringsAndLetters, 1278.8, 1000, 1.13, 1.0715},
	{"d", 5_000, func() path.Marks { return segments(5_000) }, 3443.3, 1000, 1.10, 1.0215},
	{"D", 50_000, func() path.Marks { return segments(50_000) }, 10747.9, 400, 1.12, 1.0385},
	{"B", 50_225, func() path.Marks { return discs(850, 210) }, 6806.7, 400, 1.18, 1.1215},
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

// ringsAndLetters are rings in rings and block letters with holes, in a square
// of 73 mm: TestPatternsAreAsHardAsThoseStudied says why these.
func ringsAndLetters() path.Marks {
	const across, pitch, nested = 4, 18.18, 3
	rng := rand.New(rand.NewPCG(3, 4))
	var rs []region
	for i := range across * across {
		c, r := path.Point{X: pitch * float64(i%across), Y: pitch * float64(i/across)}, 0.48*pitch
		switch {
		case i%8 == 0:
			rs = append(rs, letterB(c, r))
		case i%4 == 0:
			rs = append(rs, letterO(c, r))
		default:
			for range nested {
				hole := 0.75 + 0.05*rng.Float64()
				rs = append(rs, region{disc(c, r), disc(c, r*hole)})
				r *= hole * hole
			}
		}
	}
	return hatched(rs)
}

// letterWall is how thick letters are, as a part of half their height;
// letterWidth how wide.
const letterWall, letterWidth = 0.15, 0.714

func letterO(c path.Point, r float64) region {
	t := letterWall * r
	return region{box(c, letterWidth*r, r), box(c, letterWidth*r-t, r-t)}
}

func letterB(c path.Point, r float64) region {
	t := letterWall * r
	up := path.Point{Y: r/2 - t/4}
	w, h := letterWidth*r-t, (2*r-3*t)/4
	return region{box(c, letterWidth*r, r), box(c.Add(up), w, h), box(c.Sub(up), w, h)}
}

// box is a rectangle 2w by 2h.
func box(c path.Point, w, h float64) []path.Point {
	return []path.Point{{X: c.X - w, Y: c.Y - h}, {X: c.X + w, Y: c.Y - h}, {X: c.X + w, Y: c.Y + h},
		{X: c.X - w, Y: c.Y + h}}
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
