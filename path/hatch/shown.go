package hatch

import (
	"fmt"
	"math"

	"furrow/path"
)

// Shown measures what is marked of an artwork, by rows along X that are the pitch
// apart, mm, or as near to it as fills the height: those rows, and by shape the area
// on which it is topmost and marked, mm². Of the settings it uses Tolerance and
// BareAbove.
func Shown(art path.Artwork, pitch float64, s Settings) (path.RowSet, []float64, error) {
	if !(pitch >= path.MinSpacing) || math.IsInf(pitch, 1) {
		return path.RowSet{}, nil, fmt.Errorf("rows %g mm apart: use %g mm or more", pitch, path.MinSpacing)
	}
	f, err := flattenAll(art, s)
	if err != nil {
		return path.RowSet{}, nil, err
	}
	w := filler{f: f, workers: 1}
	lo, hi, ok := w.heights(path.Point{X: 1}, func(*layer) bool { return true })
	if !ok {
		return path.RowSet{}, make([]float64, f.shown), nil
	}
	g := newGrid(path.Point{X: 1}, lo, hi, pitch, true)
	set, sum := g.rowSet(), make([]float64, len(f.layers))
	set.Start = append(set.Start, 0)
	err = w.stretches(g, newPainter(f, func(*layer) bool { return true }), func(k, top int32, from, to float64) {
		sum[top] += (to - from) * g.spacing
		set.Start = rowsUpTo(set.Start, k, len(set.Spans))
		if n := len(set.Spans); n > int(set.Start[k]) && from-set.Spans[n-1].X1 <= weld {
			set.Spans[n-1].X1 = to
		} else {
			set.Spans = append(set.Spans, path.Span{X0: from, X1: to})
		}
	})
	set.Start = rowsUpTo(set.Start, g.n, len(set.Spans))
	(&tidier{gap: weld, shortest: weld}).all(&set)
	return set, sum[:f.shown], err
}

// rowsUpTo lets rows up to k begin behind the spans that there are.
func rowsUpTo(start []int32, k int32, spans int) []int32 {
	for len(start) <= int(k) {
		start = append(start, int32(spans))
	}
	return start
}

// stretches calls do with every stretch of the rows of a grid that p marks and that
// has the same topmost layer all along.
func (w *filler) stretches(g grid, p *painter, do func(k, top int32, from, to float64)) error {
	if err := w.prepare(&g); err != nil {
		return err
	}
	s := sweep{c: &w.chains}
	for k := range g.n {
		p.line = g.line(k)
		row := s.row(k)
		for i := range row {
			if on := p.cross(row[i].tag); len(p.inside) > 0 {
				p.stretches(row[i].x, row[i+1].x, on, func(top int32, from, to float64) { do(k, top, from, to) })
			}
		}
	}
	return nil
}

// stretches is the same between two crossings, the first of which has led to where
// it is marked or not, as on says.
func (p *painter) stretches(from, to float64, on bool, do func(top int32, from, to float64)) {
	top := p.inside[len(p.inside)-1]
	switch {
	case p.varies():
		on = false
		p.changes(from, to, func(is probe) {
			if on && top >= 0 {
				do(top, from, is.x)
			}
			on, from, top = is.marked, is.x, is.top
		})
	case on && p.shows[p.flips&1][top] == unclear:
		top = p.top()
	}
	if on && top >= 0 {
		do(top, from, to)
	}
}
