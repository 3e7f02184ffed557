package route

import (
	"context"
	"runtime"
	"sync"
)

// level is one stage of the search: the cells are cut to rows rows at most, and
// the sequence is disturbed perItem times for each of them; in the whole job
// least to most times, but for few cells no more than in proportion to their
// pairs.
type level struct {
	rows        int32
	perItem     float64
	least, most int
}

const (
	wholeCells = 1 << 20
	maxPerPair = 20
)

// kicks returns how often so many cells are disturbed that have a part of the
// job's effort.
func (l level) kicks(items int, part float64) int {
	least, most := int(part*float64(l.least)), int(part*float64(l.most))
	n := max(int(l.perItem*float64(items)), min(least, maxPerPair*items*items))
	return min(n, most)
}

// levels of each effort. The search begins with whole cells, where a cell can
// change sides in one step, and goes on to pieces of them and single spans,
// where it may be left half way. The counts are set by the time that 50,000
// spans may take: see BenchmarkSequence.
var levels = map[Effort][]level{
	Quick: {{rows: wholeCells}, {rows: 1}},
	Normal: {{rows: wholeCells, perItem: 20, least: 5_000, most: 15_000},
		{rows: 32, perItem: 10, least: 5_000, most: 15_000}, {rows: 1, perItem: 0.5, least: 5_000, most: 100_000}},
	Best: {
		{rows: wholeCells, perItem: 500, least: 20_000, most: 150_000},
		{rows: 32, perItem: 200, least: 20_000, most: 150_000},
		{rows: 8, perItem: 20, least: 20_000, most: 150_000}, {rows: 1, perItem: 15, least: 20_000, most: 1_500_000},
	},
}

// kicks returns how often the sequence of a work is disturbed in all.
func (w *work) kicks(all []level, part float64) int {
	sum := 0
	for _, l := range all {
		sum += l.kicks(w.pieces(l.rows), part)
	}
	return sum
}

// pieces returns in how many cells the work is once they are split to rows rows at most.
func (w *work) pieces(rows int32) (n int) {
	for _, c := range w.cells {
		n += int((c.len() + rows - 1) / rows)
	}
	return n
}

// quickLimit is the number of cells above which Quick leaves the sequence as
// the nearest way in made it.
const quickLimit = 10_000

// ends is where a sequence has to begin and end; nil: anywhere. A cyclic one
// ends where it begins.
type ends struct {
	from, to *End
	cyclic   bool
}

// improve makes a sequence of the cells of a work cheaper, and returns it with the
// cells that it ends with. The search for one of single units goes on from the
// serpentine where that is cheaper than what it has found with larger cells.
func (r *router) improve(ctx context.Context, w *work, p plan, at ends, owner []int32, phase int) (*work, plan) {
	part := r.part(w)
	r.progress.phase(len(w.units), w.kicks(levels[r.effort], part))
	before := 0
	for _, l := range levels[r.effort] {
		if ctx.Err() != nil {
			break
		}
		if r.effort == Quick && w.pieces(l.rows) > quickLimit {
			break
		}
		w, p = w.split(p, l.rows)
		if l.rows > 1 && (len(w.cells) == len(w.units) || len(w.cells) == before) {
			continue // the same as another level
		}
		if l.rows == 1 && w.serpentineIsCheaper(p, at, phase) {
			p = w.serpentine(phase)
		}
		before = len(w.cells)
		b := budget{kicks: l.kicks(len(w.cells), part), worth: r.opt.Worth}
		if r.opt.Looks > 0 {
			b.looks = max(1, int(part*float64(r.opt.Looks))/len(levels[r.effort]))
		}
		p = r.search(ctx, w, p, at, owner, b)
	}
	return w, p
}

// part returns the part of the effort that a phase has: by its size, but no less
// than if all phases were the same, since the travel of a few outlines is no
// shorter than that of many rows.
func (r *router) part(w *work) float64 {
	spans := 0
	for _, u := range w.units {
		spans += max(1, int(u.n))
	}
	return max(1/float64(r.phases), float64(spans)/float64(numStrokes(r.marks)))
}

// search settles a plan as a whole, then disturbs it window by window.
func (r *router) search(ctx context.Context, w *work, p plan, at ends, owner []int32, b budget) plan {
	t := newTour(w, p, at)
	near := newNeighbours(t, w.groups(owner))
	if len(p.seq) <= windowSize*3/2 {
		return r.runTour(ctx, t, near, b, 0)
	}
	p = r.runTour(ctx, t, near, budget{}, 0)
	rounds := 2
	if r.effort == Best {
		rounds = 3 // for nothing: the budget is shared
	}
	for round := range rounds {
		p = r.inWindows(ctx, w, p, at, near, b.part(1, rounds), round)
	}
	return p
}

// runTour settles a tour and disturbs it. seed tells tours apart that should not be
// disturbed alike.
func (r *router) runTour(ctx context.Context, t *tour, near neighbours, b budget, seed int) plan {
	s := newSearch(t)
	s.near = near
	if len(t.seq) <= fewItems {
		s.near, s.cuts = allEnds(t), 3
	}
	s.pushAll()
	stop := func() bool { return ctx.Err() != nil }
	if s.settle(stop) && b.kicks > 0 {
		k := newKicker(s, uint64(seed))
		k.run(ctx, b, r.progress.add)
	}
	return t.plan()
}

// windowSize is how many cells are disturbed as one sequence: rewriting a tour
// takes time that grows with its length, and windows can be searched on several
// CPUs.
const windowSize = 5000

// inWindows disturbs pieces of a plan, each between fixed neighbours. The
// pieces of odd rounds meet in the middle of those of even ones.
func (r *router) inWindows(ctx context.Context, w *work, p plan, at ends, near neighbours, b budget, round int) plan {
	n := len(p.seq)
	cuts := []int{0}
	for c := windowSize - round%2*windowSize/2; c < n; c += windowSize {
		cuts = append(cuts, c)
	}
	q := plan{seq: make([]int32, n), variant: make([]int32, len(p.variant))}
	var wait sync.WaitGroup
	next := make(chan int, len(cuts))
	for i := range cuts {
		next <- i
	}
	close(next)
	cuts = append(cuts, n)
	for range min(runtime.GOMAXPROCS(0), len(cuts)-1) {
		wait.Go(func() {
			for i := range next {
				v := view{r: r, w: w, p: p, lo: cuts[i], hi: cuts[i+1]}
				v.run(ctx, at, near, b.part(v.hi-v.lo, n), round<<20+i, q)
			}
		})
	}
	wait.Wait()
	return q
}

// view is the part of a plan from lo up to hi.
type view struct {
	r      *router
	w      *work
	p      plan
	lo, hi int
}

// run searches the part for a better sequence and puts it into q.
func (v view) run(ctx context.Context, at ends, near neighbours, b budget, seed int, q plan) {
	sub := *v.w
	sub.cells = make([]cell, 0, v.hi-v.lo)
	part := plan{}
	for i, e := range v.p.seq[v.lo:v.hi] {
		sub.cells = append(sub.cells, v.w.cells[e>>1])
		part.seq = append(part.seq, 2*int32(i)+e&1)
		part.variant = append(part.variant, v.p.variant[e>>1])
	}
	t := newTour(&sub, part, v.ends(at))
	part = v.r.runTour(ctx, t, near.within(v.p.seq[v.lo:v.hi]), b, seed)
	for i, e := range part.seq {
		c := v.p.seq[v.lo+int(e>>1)] >> 1
		q.seq[v.lo+i] = 2*c + e&1
		q.variant[c] = part.variant[e>>1]
	}
}

// ends returns where the part has to begin and end: next to what comes before
// and after it in the whole.
func (v view) ends(at ends) ends {
	var e ends
	if v.lo > 0 {
		e.from = v.end(v.lo-1, 1)
	} else if at.cyclic {
		e.from = v.end(len(v.p.seq)-1, 1)
	} else {
		e.from = at.from
	}
	if v.hi < len(v.p.seq) {
		e.to = v.end(v.hi, 0)
	} else if at.cyclic {
		e.to = v.end(0, 0)
	} else {
		e.to = at.to
	}
	return e
}

// end returns the end at which the cell at position i is entered (way 0), then
// directed inwards, or left (way 1).
func (v view) end(i int, way int32) *End {
	e := v.p.seq[i] ^ way
	end := v.w.cellEnd(v.w.cells[e>>1], v.p.variant[e>>1], e&1)
	if way == 0 {
		end = end.reversed()
	}
	return &end
}
