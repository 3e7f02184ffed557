package route_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"furrow/path"
	"furrow/path/route"

	"github.com/stretchr/testify/require"
)

// constrained is random marks with every kind of constraint: four phases, rows
// one way, holes inside holes.
func constrained(rng *rand.Rand, n int) path.Marks {
	m := path.Marks{Settings: []path.Setting{{Name: "a"}, {Name: "b"}}}
	at := func() path.Point { return path.Point{X: 20 * rng.Float64(), Y: 20 * rng.Float64()} }
	for range n {
		c := at()
		set := hatch([]region{{disc(c, 1), disc(c, 0.4)}}, 0.2)
		set.Setting, set.Phase, set.OneWay = rng.IntN(2), rng.IntN(3), rng.IntN(2) == 0
		m.Rows = append(m.Rows, set)
		l := path.Line{Setting: rng.IntN(2), Phase: 1 + rng.IntN(3), Points: disc(c, 1), Closed: true, Before: -1}
		if k := len(m.Lines); k > 0 && rng.IntN(3) > 0 {
			l.Before = rng.IntN(k)
			l.Phase = min(l.Phase, m.Lines[l.Before].Phase)
		}
		m.Lines = append(m.Lines, l, path.Line{Phase: rng.IntN(3), Points: []path.Point{at(), at(), at()}, Before: -1})
	}
	return m
}

// The constraints are checked by finding each mark's stroke by its bounds.
func TestConstraintsHold(t *testing.T) {
	efforts := []route.Effort{route.Quick, route.Normal, route.None}
	for seed := range uint64(12) {
		m := constrained(rand.New(rand.NewPCG(seed, 7)), 1+int(seed)%5)
		opt := route.Options{Effort: efforts[seed%3], Return: seed%2 == 0}
		if seed%4 > 1 {
			opt.Start = &path.Point{X: -5, Y: 3}
		}
		p, _ := sequence(t, m, route.Length{}, opt)
		require.Equal(t, strokesOf(m), strokesIn(p), "seed %d", seed)
		requireConstraints(t, m, p, seed)
	}
}

func requireConstraints(t *testing.T, m path.Marks, p path.Program, seed uint64) {
	t.Helper()
	where := map[stroke]int{}
	for i, s := range p.Strokes {
		where[newStroke(int(s.Setting), s.Kind, p.PointsOf(i))] = i
	}
	firstOf, lastOf := map[int]int{}, map[int]int{}
	visit := func(phase, i int) {
		if f, ok := firstOf[phase]; !ok || i < f {
			firstOf[phase] = i
		}
		lastOf[phase] = max(lastOf[phase], i)
	}
	for i := range m.Rows {
		r := &m.Rows[i]
		for k := range r.NumRows() {
			for _, s := range r.Row(k) {
				j, ok := where[newStroke(r.Setting, path.SpanStroke, []path.Point{r.At(k, s.X0), r.At(k, s.X1)})]
				require.True(t, ok)
				visit(r.Phase, j)
				if pts := p.PointsOf(j); r.OneWay {
					require.Positive(t, pts[1].Sub(pts[0]).Dot(r.Dir), "seed %d: one way", seed)
				}
			}
		}
	}
	index := func(l path.Line) int {
		pts := l.Points
		if l.Closed {
			pts = append(slices.Clone(pts), pts[0])
		}
		return where[newStroke(l.Setting, path.LineStroke, pts)]
	}
	for _, l := range m.Lines {
		visit(l.Phase, index(l))
		if l.Before >= 0 {
			require.Less(t, index(l), index(m.Lines[l.Before]), "seed %d: hole before its edge", seed)
		}
	}
	for a := range firstOf {
		for b := range firstOf {
			if a < b {
				require.Less(t, lastOf[a], firstOf[b], "seed %d: phase %d before %d", seed, a, b)
			}
		}
	}
}
