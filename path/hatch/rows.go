package hatch

import (
	"fmt"
	"math"
	"sync"

	"furrow/path"
)

// shareCrossings is how many crossings a goroutine must have to itself to be
// worth its start: some 10 ms of work.
const shareCrossings = 1 << 20

// mostRoom bounds the spans that room is made for before any is found: where edges cross
// each other so often there are far fewer than their crossings with rows tell.
const mostRoom = 1 << 24

// room returns for how many spans room is made.
func (w *filler) room() int64 {
	if most := w.chains.total / 2; most <= mostRoom {
		return most
	}
	return 0
}

// filler makes the rows of one fill after the other with the same arenas.
type filler struct {
	f       *flat
	boxes   []path.Rect // of the regions in the turned plane
	chains  chains
	workers int
}

// heights returns the range of heights of the layers that which picks, in the plane turned
// so that rows run along dir; ok is false where there are none.
func (w *filler) heights(dir path.Point, which func(*layer) bool) (lo, hi float64, ok bool) {
	g := grid{dir: dir}
	if len(w.f.gates) == 0 {
		return w.plainHeights(&g, which)
	}
	w.boxes = w.boxes[:0]
	for range w.f.regions {
		w.boxes = append(w.boxes, path.EmptyRect())
	}
	for _, r := range w.f.rings {
		b := &w.boxes[r.region]
		*b = b.Union(g.box(r.points))
	}
	all := path.EmptyRect()
	for i, b := range w.f.boxes(w.boxes) {
		if which(&w.f.layers[i]) && !b.Empty() {
			all = all.Union(b)
		}
	}
	return all.Min.Y, all.Max.Y, !all.Empty()
}

// plainHeights is heights where no clip cuts anything off.
func (w *filler) plainHeights(g *grid, which func(*layer) bool) (lo, hi float64, ok bool) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for i := range w.f.layers {
		if l := &w.f.layers[i]; which(l) {
			for _, r := range w.f.ringsOf(l.in) {
				lo, hi = g.heights(r.points, lo, hi)
			}
		}
	}
	return lo, hi, lo <= hi
}

// rows marks a grid with the spans that p finds, each row tidied by t as it comes: of very
// many that are dust no more are held at once.
func (w *filler) rows(g grid, p *painter, t *tidier) (path.RowSet, error) {
	if err := w.prepare(&g); err != nil {
		return path.RowSet{}, err
	}
	set := g.rowSet()
	set.Start = make([]int32, g.n+1)
	room := make([]path.Span, w.room())
	if all := w.shares(g.n); len(all) == 1 {
		set.Spans = w.band(p, t, set.Start, all[0], room[:0])
	} else {
		set.Spans = w.bands(p, t, set.Start, all, room)
	}
	return set, nil
}

// prepare cuts the rings into the chains that cross the grid.
func (w *filler) prepare(g *grid) error {
	if g.n > maxRows {
		return fmt.Errorf("more than %d rows: use a wider spacing", maxRows)
	}
	w.chains.build(w.f, g)
	if w.chains.total > math.MaxInt32 {
		return fmt.Errorf("%d crossings of rows and edges: use a wider spacing", w.chains.total)
	}
	return nil
}

// share is rows for one goroutine, from lo to below hi.
type share struct {
	lo, hi      int32
	before, end int64 // crossings of all shares before it, and of it too
}

// room returns the part of room for the spans of a share, of which two crossings make one;
// none where there is too little for all.
func (s share) room(room []path.Span) []path.Span {
	from, to := min(s.before/2, int64(len(room))), min(s.end/2, int64(len(room)))
	return room[from:from:to]
}

// band fills the rows of a share; start[k+1] becomes the number of
// spans up to row k, counted from its first.
func (w *filler) band(p *painter, t *tidier, start []int32, of share, out []path.Span) []path.Span {
	s := sweep{c: &w.chains}
	s.start(of.lo)
	for k := of.lo; k < of.hi; k++ {
		p.line = w.chains.g.line(k)
		n := len(out)
		out = p.row(s.row(k), out)
		out = out[:n+len(t.row(out[n:]))]
		start[k+1] = int32(len(out))
	}
	return out
}

// bands fills the rows of shares, one goroutine each, and joins them.
func (w *filler) bands(p *painter, t *tidier, start []int32, all []share, room []path.Span) []path.Span {
	parts, tidiers := make([][]path.Span, len(all)), make([]*tidier, len(all))
	var wg sync.WaitGroup
	for i, of := range all {
		q := p.clone()
		tidiers[i] = t.clone()
		wg.Go(func() { parts[i] = w.band(q, tidiers[i], start, of, of.room(room)) })
	}
	wg.Wait()
	before := int32(0)
	for i, of := range all {
		t.add(tidiers[i])
		for k := of.lo; k < of.hi; k++ {
			start[k+1] += before
		}
		before += int32(len(parts[i]))
	}
	return joined(parts, all, room)
}

// joined returns parts one behind the other: in room, unless one has outgrown its own.
func joined(parts [][]path.Span, all []share, room []path.Span) []path.Span {
	n, out := 0, room[:0]
	for i, part := range parts {
		n += len(part)
		if len(part) > cap(all[i].room(room)) {
			out = nil
		}
	}
	if out == nil {
		out = make([]path.Span, 0, n)
	}
	for _, part := range parts {
		out = append(out, part...) // never beyond where the part stands, which is as far as those before it may reach
	}
	return out
}

// shares cuts the rows 0..n into as many shares as there are workers for, with
// about the same number of crossings each. Where they are cut changes nothing
// in the result.
func (w *filler) shares(n int32) []share {
	m := min(int64(w.workers), w.chains.total/shareCrossings)
	if m < 2 {
		return []share{{hi: n, end: w.chains.total}}
	}
	change := make([]int32, n+1)
	for i := range w.chains.chains {
		k0, k1 := w.chains.reach(&w.chains.chains[i])
		change[k0]++
		change[k1]--
	}
	all := []share{{}}
	crossings, sum := int64(0), int64(0)
	for k := range n {
		crossings += int64(change[k])
		sum += crossings
		if last := &all[len(all)-1]; sum >= w.chains.total*int64(len(all))/m {
			last.hi, last.end = k+1, sum
			all = append(all, share{lo: k + 1, before: sum})
		}
	}
	all = all[:len(all)-1] // the last of all crossings has ended the one before
	all[len(all)-1].hi = n
	return all
}
