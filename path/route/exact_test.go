package route_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"furrow/path"
	"furrow/path/outside"
	"furrow/path/route"

	"github.com/stretchr/testify/require"
)

// cheapest returns what the cheapest sequence of lines costs, by dynamic
// programming over the sets of lines marked so far and the way the last one was
// marked (Bellman 1962; Held and Karp 1962).
func cheapest(lines []path.Line, c route.Cost, start *path.Point, back bool) float64 {
	ways := waysOf(lines)
	if start != nil {
		return cheapestFrom(ways, len(lines), c, nil, start, back)
	}
	best := math.Inf(1)
	for i := range ways {
		if !back || ways[i].line == 0 { // a closed tour may begin with any line
			best = min(best, cheapestFrom(ways, len(lines), c, &ways[i], nil, back))
		}
	}
	return best
}

// cheapestFrom is cheapest for sequences that begin at start, or with first.
func cheapestFrom(ways []lineWay, lines int, c route.Cost, first *lineWay, start *path.Point, back bool) float64 {
	cost := make([][]float64, 1<<lines)
	for s := range cost {
		cost[s] = make([]float64, len(ways))
		for i := range ways {
			cost[s][i] = math.Inf(1)
		}
	}
	for i := range ways {
		switch {
		case start != nil:
			cost[1<<ways[i].line][i] = c.Travel(route.End{At: *start}, ways[i].in)
		case &ways[i] == first:
			cost[1<<ways[i].line][i] = 0
		}
	}
	best := math.Inf(1)
	for s := range cost {
		for i, a := range ways {
			for j, b := range ways {
				if t := s | 1<<b.line; t != s {
					cost[t][j] = min(cost[t][j], cost[s][i]+c.Travel(a.out, b.in))
				}
			}
			if s == len(cost)-1 {
				best = min(best, cost[s][i]+wayBack(c, a, first, start, back))
			}
		}
	}
	return best
}

func wayBack(c route.Cost, last lineWay, first *lineWay, start *path.Point, back bool) float64 {
	switch {
	case back && start != nil:
		return c.Travel(last.out, route.End{At: *start})
	case back:
		return c.Travel(last.out, first.in)
	}
	return 0
}

// lineWay is one way to mark a line.
type lineWay struct {
	line    int
	in, out route.End
}

func waysOf(lines []path.Line) []lineWay {
	var all []lineWay
	for i, l := range lines {
		p := l.Points
		starts := 1
		if l.Closed {
			starts = len(p)
		}
		for s := range starts {
			pts := append(append([]path.Point{}, p[s:]...), p[:s]...)
			if l.Closed {
				pts = append(pts, p[s])
			}
			n := len(pts)
			first, last := unit(pts[1].Sub(pts[0])), unit(pts[n-1].Sub(pts[n-2]))
			all = append(all,
				lineWay{i, lineEnd(pts[0], first), lineEnd(pts[n-1], last)},
				lineWay{i, lineEnd(pts[n-1], last.Mul(-1)), lineEnd(pts[0], first.Mul(-1))})
		}
	}
	return all
}

func lineEnd(at, dir path.Point) route.End {
	return route.End{At: at, Dir: dir, Kind: path.LineStroke}
}

func unit(p path.Point) path.Point { return p.Mul(1 / p.Len()) }

// settling is a jump with a delay that depends on its length, s.
type settling struct{ route.Length }

func (s settling) Travel(from, to route.End) float64 { return s.Least(from.At.Dist(to.At)) }

func (settling) Least(mm float64) float64 {
	if mm == 0 {
		return 0
	}
	return 100e-6 + mm/4000 + 60e-6 + 190e-6*min(mm, 2)/2
}

// turning costs more the more the direction changes, and says nothing of rests.
type turning struct{}

func (turning) Sweep(float64, int) bool { return false }

func (turning) Travel(from, to route.End) float64 {
	d := to.At.Sub(from.At)
	if d == (path.Point{}) {
		return 0
	}
	u := unit(d)
	return d.Len() + 0.3*(2-from.Dir.Dot(u)-to.Dir.Dot(u))
}

// overrun stops 2 mm behind every end and starts 2 mm ahead.
type overrun struct{ route.Length }

func (overrun) Rest(e route.End) path.Point { return e.At.Add(e.Dir.Mul(2)) }

func (o overrun) Travel(from, to route.End) float64 {
	to.Dir = to.Dir.Mul(-1)
	return o.Rest(from).Dist(o.Rest(to))
}

func randomLines(rng *rand.Rand, n int) []path.Line {
	at := func() path.Point { return path.Point{X: 10 * rng.Float64(), Y: 10 * rng.Float64()} }
	var lines []path.Line
	for range n {
		l := path.Line{Before: -1, Points: []path.Point{at(), at()}}
		for rng.IntN(3) == 0 {
			l.Points = append(l.Points, at())
			l.Closed = rng.IntN(2) == 0
		}
		lines = append(lines, l)
	}
	return lines
}

// At best effort, small jobs get the cheapest sequence there is, and no bound
// is above it.
func TestSmallJobsAreExact(t *testing.T) {
	costs := []route.Cost{route.Length{}, settling{}, turning{}, overrun{}}
	worse, sum := 0, 0.0
	jobs := 120
	switch {
	case testing.Short():
		jobs = 50
	case outside.Strict():
		jobs = 2000
	}
	for seed := range uint64(jobs) {
		rng := rand.New(rand.NewPCG(seed, 11))
		lines := randomLines(rng, 1+rng.IntN(8))
		c := costs[seed%4]
		opt := route.Options{Effort: route.Best, Bound: 40, Return: rng.IntN(2) == 0}
		if rng.IntN(2) == 0 {
			opt.Start = &path.Point{X: 10 * rng.Float64(), Y: 10 * rng.Float64()}
		}
		want := cheapest(lines, c, opt.Start, opt.Return)
		m := path.Marks{Settings: []path.Setting{{}}, Lines: lines}
		_, r := sequence(t, m, c, opt)
		require.LessOrEqual(t, want, r.Cost*(1+1e-9)+1e-12, "seed %d", seed)
		require.LessOrEqual(t, r.Bound, want*(1+1e-9)+1e-12, "seed %d: bound", seed)
		if r.Cost > want*(1+1e-9)+1e-12 {
			worse++
			t.Logf("seed %d, %d lines, cost %d, %+v: %g > %g", seed, len(lines), seed%4, opt, r.Cost, want)
		}
		if want > 0 {
			sum += r.Bound / want
		} else {
			sum++
		}
	}
	t.Logf("not the cheapest: %d of %d; bound %.4f of the cheapest on average", worse, jobs, sum/float64(jobs))
	require.Zero(t, worse)
	require.Greater(t, sum/float64(jobs), 0.8)
}

// bar is n rows of a length, one above the other.
func bar(n int, at path.Point, length float64) []path.Line {
	var lines []path.Line
	for k := range n {
		y := at.Y + float64(k)*patternSpacing
		lines = append(lines, path.Line{Before: -1, Points: []path.Point{{X: at.X, Y: y}, {X: at.X + length, Y: y}}})
	}
	return lines
}

// A bar of an odd number of rows, entered and left at the same side, has to be
// crossed once more without a mark. A tree need not, save that it has to leave
// the odd number of ends at the far side.
func TestBoundSeesOddBars(t *testing.T) {
	for _, rows := range []int{2, 3, 4, 5, 7} {
		lines := bar(rows, path.Point{}, 5)
		opt := route.Options{Effort: route.Best, Bound: 1000, Start: &path.Point{X: -1}, Return: true}
		_, r := sequence(t, path.Marks{Settings: []path.Setting{{}}, Lines: lines}, route.Length{}, opt)
		want := cheapest(lines, route.Length{}, opt.Start, true)
		require.InEpsilon(t, want, r.Cost, 1e-9)
		require.LessOrEqual(t, r.Bound, want*(1+1e-9))
		require.Greater(t, r.Bound, 0.97*want, "%d rows", rows)
	}
}

// The bound stays below the cheapest sequence where odd sets are wide, nested
// and hold the ends of the sequence, as on bars of few rows.
func TestBoundOnBarsIsNoneTooHigh(t *testing.T) {
	jobs := 40
	if outside.Strict() {
		jobs = 2000
	}
	sum := 0.0
	for seed := range uint64(jobs) {
		rng := rand.New(rand.NewPCG(seed, 13))
		at := func() path.Point { return path.Point{X: 8 * rng.Float64(), Y: 8 * rng.Float64()} }
		var lines []path.Line
		for n := 1 + rng.IntN(7); len(lines) < n; {
			lines = append(lines, bar(min(1+2*rng.IntN(3), n-len(lines)), at(), 6*rng.Float64())...)
		}
		opt := route.Options{Effort: route.Quick, Bound: 200, Return: rng.IntN(2) == 0}
		if rng.IntN(3) == 0 {
			start := at()
			opt.Start = &start
		}
		c := []route.Cost{route.Length{}, settling{}, turning{}, overrun{}}[seed%4]
		_, r := sequence(t, path.Marks{Settings: []path.Setting{{}}, Lines: lines}, c, opt)
		want := cheapest(lines, c, opt.Start, opt.Return)
		require.LessOrEqual(t, r.Bound, want*(1+1e-9)+1e-12, "seed %d", seed)
		if want > 0 {
			sum += r.Bound / want
		} else {
			sum++
		}
	}
	t.Logf("bound %.4f of the cheapest on average", sum/float64(jobs))
	require.Greater(t, sum/float64(jobs), 0.8)
}
