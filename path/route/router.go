package route

import (
	"context"
	"slices"

	"furrow/path"
)

// router takes the phases one after the other.
type router struct {
	marks    *path.Marks
	cost     Cost
	opt      Options
	out      *output
	effort   Effort
	phases   int // how many there are
	report   Report
	progress progress
}

// phase sequences one phase, from where the last one ended.
func (r *router) phase(ctx context.Context, phase int, last bool) {
	w := newWork(r.marks, r.cost, phase)
	at := r.where(w, last)
	owner := w.owners()
	w, p := r.improve(ctx, w, w.greedy(at.from), at, owner, phase)
	all, plain := w.along(p), w.serpentineIsCheaper(p, at, phase)
	if plain {
		all = w.given(phase)
	}
	if r.opt.Bound > 0 {
		units, p := w.split(p, 1)
		if plain {
			p = units.serpentine(phase)
		}
		r.bound(ctx, units, p, at, owner)
	}
	r.out.room(r.marks, r.opt.Reuse)
	r.take(w, all)
}

// take puts a sequence into the output.
func (r *router) take(w *work, all walk) {
	all(func(u unit, side, start int32) {
		r.out.add(w, u, side, start)
		r.count(u)
	})
}

// bound adds what a phase costs at least to the report. The ways between phases
// are not counted.
func (r *router) bound(ctx context.Context, w *work, p plan, at ends, owner []int32) {
	var from *End
	if !r.out.begun {
		from = at.from
	}
	if len(p.seq) == 0 {
		return
	}
	r.progress.phase(len(w.units), r.opt.Bound)
	t := newTour(w, plan{slices.Clone(p.seq), p.variant}, at)
	b := newBounder(w, from, r.opt.Return && r.phases == 1)
	b.likely(t, newNeighbours(t, owner))
	bound, n := newAscent(b, r.opt.Bound, t.total()).run(ctx, r.progress.add)
	r.report.Bound += bound
	r.report.Iterations = max(r.report.Iterations, n)
}

// where returns where the sequence of a phase has to begin and end.
func (r *router) where(w *work, last bool) ends {
	at := ends{from: r.start()}
	if r.out.begun {
		from := r.out.last
		at.from = &from
	}
	if !r.opt.Return || !last {
		return at
	}
	if at.to = r.start(); at.to == nil && r.out.begun {
		to := r.out.first
		at.to = &to
	}
	at.cyclic = at.to == nil && w.free()
	return at
}

// start returns where the machine stands at first, or nil.
func (r *router) start() *End {
	if r.opt.Start == nil {
		return nil
	}
	return &End{At: *r.opt.Start, Kind: path.LineStroke}
}

func (r *router) count(u unit) {
	if u.isLine() {
		r.report.Lines++
	} else {
		r.report.Sweeps++
	}
}

// ends adds the ways from the start and back to what an output's travel costs.
func (r *router) ends(o *output) float64 {
	if !o.begun {
		return 0
	}
	sum, start := o.travel, r.start()
	if start != nil {
		sum += r.cost.Travel(*start, o.first)
	}
	switch {
	case r.opt.Return && start != nil:
		sum += r.cost.Travel(o.last, *start)
	case r.opt.Return:
		sum += r.cost.Travel(o.last, o.first)
	}
	return sum
}
