package inspect

import (
	"math"

	"furrow/path"
)

// index finds edges by cells of a grid. Every edge is in all cells that lie, or
// have a part, within reach/2 of it: so two edges no farther apart than reach
// share the cell of the middle between them.
type index struct {
	origin path.Point
	cell   float64
	nx, ny int
	start  []int32 // by cell, into ids
	ids    []int32
}

// cellsPerEdge bounds the grid, and with it memory.
const cellsPerEdge = 4

// mostEntries bounds the edges in all cells together: 400 MB.
const mostEntries = 100_000_000

// newIndex returns nil where the edges are too many and too long to index.
func newIndex(edges []edge, box path.Rect, reach float64) *index {
	box = box.Grow(reach)
	cell := max(reach, math.Sqrt(box.W()*box.H()/float64(cellsPerEdge*len(edges)+1024)))
	x := &index{origin: box.Min, cell: cell, nx: int(box.W()/cell) + 1, ny: int(box.H()/cell) + 1}
	x.start = make([]int32, x.nx*x.ny+1)
	entries := 0
	for i := range edges {
		x.each(&edges[i], reach/2, func(c int) { x.start[c+1]++; entries++ })
		if entries > mostEntries {
			return nil
		}
	}
	for c := range x.nx * x.ny {
		x.start[c+1] += x.start[c]
	}
	x.ids = make([]int32, x.start[x.nx*x.ny])
	next := append([]int32(nil), x.start...)
	for i := range edges {
		x.each(&edges[i], reach/2, func(c int) {
			x.ids[next[c]] = int32(i)
			next[c]++
		})
	}
	return x
}

// each calls f for the cells within r of an edge, and perhaps a few more.
func (x *index) each(e *edge, r float64, f func(cell int)) {
	a, b := e.a.Sub(x.origin), e.b.Sub(x.origin)
	if a.Y > b.Y {
		a, b = b, a
	}
	first, last := x.clamp(a.Y-r, x.ny), x.clamp(b.Y+r, x.ny)
	for y := first; y <= last; y++ {
		lo, hi := a.X, b.X // of the part of the edge within r of the row
		if b.Y > a.Y {
			slope := (b.X - a.X) / (b.Y - a.Y)
			lo = a.X + float64(slope*(max(a.Y, float64(float64(y)*x.cell)-r)-a.Y))
			hi = a.X + float64(slope*(min(b.Y, float64(float64(y+1)*x.cell)+r)-a.Y))
		}
		for c := x.clamp(min(lo, hi)-r, x.nx); c <= x.clamp(max(lo, hi)+r, x.nx); c++ {
			f(y*x.nx + c)
		}
	}
}

func (x *index) clamp(v float64, n int) int { return min(max(int(v/x.cell), 0), n-1) }

func (x *index) cellOf(p path.Point) int {
	p = p.Sub(x.origin)
	return x.clamp(p.Y, x.ny)*x.nx + x.clamp(p.X, x.nx)
}

// in returns the edges of a cell.
func (x *index) in(cell int) []int32 { return x.ids[x.start[cell]:x.start[cell+1]] }

// pairs returns how many pairs of edges share a cell.
func (x *index) pairs() float64 {
	sum := 0.0
	for c := range x.nx * x.ny {
		n := float64(len(x.in(c)))
		sum += n * (n - 1) / 2
	}
	return sum
}
