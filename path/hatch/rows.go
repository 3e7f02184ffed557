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

// rows marks a grid with the spans that p finds.
func (w *filler) rows(g grid, p *painter) (path.RowSet, error) {
	if err := w.prepare(&g); err != nil {
		return path.RowSet{}, err
	}
	set := g.rowSet()
	set.Start = make([]int32, g.n+1)
	set.Spans = make([]path.Span, 0, w.chains.total/2)
	shares := w.shares(g.n)
	if len(shares) == 2 {
		set.Spans = w.band(p, set.Start, shares[0], shares[1], set.Spans)
		return set, nil
	}
	w.bands(p, &set, shares)
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

// band fills the rows from lo to below hi; Start[k+1] becomes the number of
// spans up to row k, counted from lo.
func (w *filler) band(p *painter, start []int32, lo, hi int32, out []path.Span) []path.Span {
	s := sweep{c: &w.chains}
	s.start(lo)
	for k := lo; k < hi; k++ {
		p.line = w.chains.g.line(k)
		out = p.row(s.row(k), out)
		start[k+1] = int32(len(out))
	}
	return out
}

// bands fills the rows between shares, one goroutine each, and joins them.
func (w *filler) bands(p *painter, set *path.RowSet, shares []int32) {
	parts := make([][]path.Span, len(shares)-1)
	var wg sync.WaitGroup
	for i := range parts {
		q := p.clone()
		wg.Go(func() { parts[i] = w.band(q, set.Start, shares[i], shares[i+1], nil) })
	}
	wg.Wait()
	for i, part := range parts {
		before := int32(len(set.Spans))
		for k := shares[i]; k < shares[i+1]; k++ {
			set.Start[k+1] += before
		}
		set.Spans = append(set.Spans, part...)
	}
}

// shares cuts the rows 0..n into as many shares as there are workers for, with
// about the same number of crossings each. Where they are cut changes nothing
// in the result.
func (w *filler) shares(n int32) []int32 {
	m := min(int64(w.workers), w.chains.total/shareCrossings)
	if m < 2 {
		return []int32{0, n}
	}
	change := make([]int32, n+1)
	for i := range w.chains.chains {
		k0, k1 := w.chains.reach(&w.chains.chains[i])
		change[k0]++
		change[k1]--
	}
	cuts := []int32{0}
	crossings, sum := int64(0), int64(0)
	for k := range n {
		crossings += int64(change[k])
		sum += crossings
		if sum >= w.chains.total*int64(len(cuts))/m {
			cuts = append(cuts, k+1)
		}
	}
	cuts[len(cuts)-1] = n
	return cuts
}
