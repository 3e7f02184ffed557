package route

import (
	"context"
	"math"
	"slices"
)

// ascent moves the multipliers of a bound uphill on the graph of likely edges:
// penalties up where a group is used too often, down where too seldom; odd sets
// wider where they are left too seldom. Its steps are scaled to the gap that is
// left (Polyak 1969) and shrink evenly by the factor shrink, anew in each cycle.
// On hatch, where a penalty has to find its way along hundreds of rows, one
// long cycle ends 2 % lower.
type ascent struct {
	b           *bounder
	upper       float64 // what some sequence costs
	done, total int
	cycles      int
	looks       int         // at the complete graph, in each cycle
	best        float64     // value on the graph as it is
	bestAt      multipliers // where that is reached
	degree      []float64   // of each group in the last tree
	move        multipliers // last direction
	used        []float64   // how often trees late in a cycle had each edge
	trees       int         // late in this cycle
}

// multipliers is a penalty for each group and a width for each odd set.
type multipliers struct{ penalty, width []float64 }

const (
	firstScale   = 3
	shrink       = 0.02
	mostCycles   = 10
	cycleLength  = 50 // iterations of a cycle, at least
	mostLooks    = 3
	lookAfter    = 15   // iterations, at least
	leastGap     = 1e-3 // of the upper bound: gaps below are taken for this
	lateInCycle  = 0.5  // from where in a cycle trees are close to the best
	newDirection = 0.7  // share of the last tree's direction in the next step
)

func newAscent(b *bounder, total int, upper float64) *ascent {
	a := &ascent{
		b: b, upper: upper, total: total, best: math.Inf(-1),
		bestAt: multipliers{penalty: slices.Clone(b.pi)},
		degree: make([]float64, len(b.need)),
		move:   multipliers{penalty: make([]float64, len(b.need))},
	}
	a.cycles = max(1, min(mostCycles, total/cycleLength))
	a.looks = max(1, min(mostLooks, total/a.cycles/lookAfter))
	return a
}

// run returns the best bound found, and after how many iterations. It calls
// progress after each.
func (a *ascent) run(ctx context.Context, progress func(n int)) (bound float64, done int) {
	if a.b.items < 2 {
		return 0, 0
	}
	a.b.stop = func() bool { return ctx.Err() != nil }
	stages := a.cycles * a.looks
	for stage := 1; stage <= stages && !a.b.stop(); stage++ {
		for a.done < a.total*stage/stages && !a.b.stop() {
			a.step()
			progress(1)
		}
		bound = max(bound, a.look())
		if stage%a.looks == 0 && stage < stages {
			a.nextCycle()
		}
	}
	return bound, a.done
}

// look returns the bound at the best multipliers, from the complete graph. The
// likely edges found may lower the values to come.
func (a *ascent) look() float64 {
	now := multipliers{slices.Clone(a.b.pi), slices.Clone(a.b.odd.width)}
	a.set(a.bestAt)
	bound := a.b.evaluate()
	a.set(now)
	a.best = math.Inf(-1)
	return bound
}

func (a *ascent) set(m multipliers) {
	copy(a.b.pi, m.penalty)
	copy(a.b.odd.width, m.width)
}

// nextCycle goes on from the best multipliers, with the odd sets that the trees
// of the last cycle ask for.
func (a *ascent) nextCycle() {
	a.set(a.bestAt)
	a.used = append(a.used, make([]float64, len(a.b.edges)-len(a.used))...)
	for i := range a.used {
		a.used[i] /= float64(max(1, a.trees))
	}
	for _, groups := range newOddSearch(a.b, a.used).run() {
		a.b.odd.add(groups)
		a.bestAt.width = append(a.bestAt.width, 0)
		a.move.width = append(a.move.width, 0)
	}
	a.b.share()
	a.trees = 0
	clear(a.used)
}

// step makes one iteration.
func (a *ascent) step() {
	clear(a.degree)
	b := a.b
	b.prepare()
	value := b.tree.find(b, a.degree) + b.beside(a.degree)
	if value > a.best {
		a.best = value
		copy(a.bestAt.penalty, b.pi)
		copy(a.bestAt.width, b.odd.width)
	}
	_, cycle := math.Modf(float64(a.done*a.cycles) / float64(a.total))
	a.done++
	if cycle >= lateInCycle {
		a.count()
	}
	norm := a.direct()
	if norm == 0 || math.IsInf(value, -1) {
		return // the tree is a sequence, and the cheapest; or the likely edges hold no tree
	}
	scale := firstScale * math.Pow(shrink, cycle)
	t := scale * max(a.upper-value, leastGap*a.upper) / norm
	for g, m := range a.move.penalty {
		b.pi[g] += float64(t * m)
	}
	for s, m := range a.move.width {
		b.odd.width[s] = max(0, b.odd.width[s]+float64(t*m))
	}
}

// count takes note of the edges of a tree.
func (a *ascent) count() {
	a.trees++
	a.used = append(a.used, make([]float64, len(a.b.edges)-len(a.used))...)
	for _, i := range a.b.tree.used {
		a.used[i]++
	}
}

// direct turns the direction towards that of the last tree, and returns the
// square of that.
func (a *ascent) direct() float64 {
	norm := 0.0
	turn := func(move *float64, to float64) {
		*move = float64(newDirection*to) + float64((1-newDirection)**move)
		norm += float64(to * to)
	}
	for g, d := range a.degree {
		turn(&a.move.penalty[g], d-a.b.need[g])
	}
	for s, n := range a.b.odd.left {
		to := 1 - n
		if to < 0 && a.b.odd.width[s] == 0 {
			to = 0
		}
		turn(&a.move.width[s], to)
	}
	return norm
}
