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
	r.out.room(r.marks, r.opt.Reuse)
	for i, phase := range all {
		if r.opt.Bound > 0 {
			r.boundGiven(ctx, phase, i == len(all)-1)
		}
		r.take(&w, w.given(phase))
	}
}

// boundGiven is bound for a phase that no sequence has been looked for.
func (r *router) boundGiven(ctx context.Context, phase int, last bool) {
	w := newWork(r.marks, r.cost, phase)
	at := r.where(w, last)
	units, p := w.split(w.greedy(at.from), 1)
	r.bound(ctx, units, p, at, w.owners())
}

// given is what marks has of a phase as it comes: row after row, those that may
// be marked both ways in turns along their direction and against it, each
// direction of a cross-hatch after the other, then the lines.
func (w *work) given(phase int) walk {
	return func(visit func(u unit, side, start int32)) {
		for i := range w.marks.Rows {
			if w.marks.Rows[i].Phase == phase {
				w.givenRows(int32(i), visit)
			}
		}
		for _, i := range lineSequence(w.marks.Lines, phase) {
			visit(unit{set: -1, row: i}, 0, 0)
		}
	}
}

// givenRows visits the sweeps of a row set as they come.
func (w *work) givenRows(set int32, visit func(u unit, side, start int32)) {
	r, side := &w.marks.Rows[set], int32(0)
	var row []unit
	for k := range r.NumRows() {
		row = w.sweeps(row[:0], set, int32(k))
		if side == 1 {
			slices.Reverse(row)
		}
		for _, u := range row {
			visit(u, side, 0)
		}
		if !r.OneWay && len(row) > 0 {
			side ^= 1
		}
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
