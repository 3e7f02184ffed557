package route

import (
	"cmp"
	"context"
	"slices"

	"furrow/path"
)

// asGiven marks everything in the sequence of the marks, rows there and back.
func (r *router) asGiven(ctx context.Context) {
	w := work{marks: r.marks, cost: r.cost}
	all := r.begin()
	r.out.room(r.marks)
	for i, phase := range all {
		if r.opt.Bound > 0 {
			r.boundGiven(ctx, phase, i == len(all)-1)
		}
		w.given(phase, func(u unit, side int32) {
			r.out.add(&w, u, side, 0)
			r.count(u)
		})
	}
}

// boundGiven is bound for a phase that no sequence has been looked for.
func (r *router) boundGiven(ctx context.Context, phase int, last bool) {
	w := newWork(r.marks, r.cost, phase)
	at := r.where(w, last)
	units, p := w.split(w.greedy(at.from), 1)
	r.bound(ctx, units, p, at, w.owners())
}

// given visits what marks has of a phase, with the side at which each is
// entered: row after row, those that may be marked both ways in turns along
// their direction and against it, then the lines.
func (w *work) given(phase int, visit func(u unit, side int32)) {
	for i := range w.marks.Rows {
		r, side := &w.marks.Rows[i], int32(0)
		if r.Phase != phase {
			continue
		}
		for k := range r.NumRows() {
			w.units = w.sweeps(w.units[:0], int32(i), int32(k))
			if side == 1 {
				slices.Reverse(w.units)
			}
			for _, u := range w.units {
				visit(u, side)
			}
			if !r.OneWay && len(w.units) > 0 {
				side ^= 1
			}
		}
	}
	for _, i := range lineSequence(w.marks.Lines, phase) {
		visit(unit{set: -1, row: i}, 0)
	}
}

// lineSequence returns the lines of a phase, each ahead of its Before.
func lineSequence(lines []path.Line, phase int) []int32 {
	var seq []int32
	for i := range lines {
		if lines[i].Phase == phase && len(lines[i].Points) > 0 {
			seq = append(seq, int32(i))
		}
	}
	depth := depths(lines)
	slices.SortStableFunc(seq, func(i, j int32) int { return cmp.Compare(depth[j], depth[i]) })
	return seq
}

// depths counts for each line the others that wait for it, one after the other.
func depths(lines []path.Line) []int {
	depth := make([]int, len(lines)) // plus 1; 0 means not known yet
	var trail []int
	for i := range lines {
		trail = trail[:0]
		for at := i; at >= 0 && depth[at] == 0; at = lines[at].Before {
			trail = append(trail, at)
		}
		for _, at := range slices.Backward(trail) {
			depth[at] = 1
			if b := lines[at].Before; b >= 0 {
				depth[at] += depth[b]
			}
		}
	}
	return depth
}
