package hatch

import (
	"math"

	"furrow/path"
)

// centres traces where a region is narrow: the centres of the discs that touch
// its boundary on opposite sides (more than 120 degrees apart, so that plain
// corners are not meant) and whose radius lies between lo and hi. They are
// found by shrinking a disc that touches the boundary at one place until
// nothing of the boundary is inside it (Ma, Bae and Choi, "3D medial axis point
// approximation using nearest neighbors and the normal field", 2012).
//
// Where lost is not nil, only the edges that it marks count, as shrink by hi
// tells them: what shows beside an edge at the distance hi is that far from
// everything, so that no smaller disc touches the edge and another.
func centres(rings [][]path.Point, lost []bool, lo, hi, tolerance float64) []path.Line {
	b := newBorder(rings, lost, hi)
	done := newBorder(nil, nil, hi) // what is traced already: the other side of a part would trace it again
	var lines []path.Line
	var run []path.Point
	began := 0 // the pieces done before this run
	flush := func() {
		if n := len(run); n > 1 {
			closed := n > 8 && run[0].Dist(run[n-1]) <= hi
			if closed {
				done.add(run[n-1], run[0])
			}
			lines = append(lines, newLine(simplify(run, tolerance), closed))
		}
		run, began = nil, len(done.pieces)
	}
	for i := range b.pieces {
		if b.pieces[i].first {
			flush()
		}
		c, r, ok := b.disc(i, hi)
		if !ok || r <= lo || r >= hi*(1-1e-6) || turnsBack(run, c) || done.near(c, r/4, max(began, len(done.pieces)-3)) {
			continue
		}
		if n := len(run); n > 0 && run[n-1].Dist(c) > 3*hi { // nearer ones go on round a corner
			flush()
		}
		if n := len(run); n > 0 {
			done.add(run[n-1], c)
		}
		run = append(run, c)
	}
	flush()
	return lines
}

func turnsBack(run []path.Point, c path.Point) bool {
	n := len(run)
	return n > 1 && run[n-1].Sub(run[n-2]).Dot(c.Sub(run[n-1])) < 0
}

// border is a boundary in pieces of half a cell at most, by the cells of a
// square grid that they touch.
type border struct {
	cell    float64
	pieces  []borderPiece
	cells   map[[2]int32]int32 // 1 + the entry added last
	entries []borderEntry
}

// borderEntry is a piece in a cell, and 1 + the entry added there before it.
type borderEntry struct{ piece, next int32 }

type borderPiece struct {
	a, b  path.Point
	first bool // of its ring
}

// maxPieces bounds the pieces of a border: a longer one is cut more coarsely.
const maxPieces = 1 << 20

// newBorder cuts up rings, or those edges of them that only marks, numbered
// over all rings, where that is not nil.
func newBorder(rings [][]path.Point, only []bool, cell float64) *border {
	s := &border{cell: cell, cells: map[[2]int32]int32{}}
	step := cell / 2
	for _, r := range rings {
		l := newLine(r, true)
		step = max(step, length(&l)/maxPieces)
	}
	s.cell = max(cell, 2*step)
	edge := 0
	for _, r := range rings {
		from := len(s.pieces)
		for i, a := range r {
			edge++
			if only != nil && !only[edge-1] {
				continue
			}
			b := r[(i+1)%len(r)]
			n := int(math.Ceil(a.Dist(b) / step))
			for k := range n {
				s.add(between(a, b, float64(k)/float64(n)), between(a, b, float64(k+1)/float64(n)))
			}
		}
		if from < len(s.pieces) {
			s.pieces[from].first = true
		}
	}
	return s
}

func (s *border) key(p path.Point) [2]int32 {
	return [2]int32{int32(math.Floor(p.X / s.cell)), int32(math.Floor(p.Y / s.cell))}
}

func (s *border) add(a, b path.Point) {
	id := int32(len(s.pieces))
	s.pieces = append(s.pieces, borderPiece{a: a, b: b})
	box := path.EmptyRect().Include(a).Include(b)
	lo, hi := s.key(box.Min), s.key(box.Max)
	for x := lo[0]; x <= hi[0]; x++ {
		for y := lo[1]; y <= hi[1]; y++ {
			key := [2]int32{x, y}
			s.entries = append(s.entries, borderEntry{id, s.cells[key]})
			s.cells[key] = int32(len(s.entries))
		}
	}
}

// nearest returns the point nearest to c within r, of pieces before the given
// number.
func (s *border) nearest(c path.Point, r float64, before int) (best path.Point, ok bool) {
	d := path.Point{X: r, Y: r}
	lo, hi := s.key(c.Sub(d)), s.key(c.Add(d))
	for x := lo[0]; x <= hi[0]; x++ {
		for y := lo[1]; y <= hi[1]; y++ {
			for e := s.cells[[2]int32{x, y}]; e > 0; e = s.entries[e-1].next {
				p := s.entries[e-1].piece
				if int(p) >= before {
					continue
				}
				q := nearestOn(c, s.pieces[p].a, s.pieces[p].b)
				if l := c.Dist(q); l < r {
					best, r, ok = q, l, true
				}
			}
		}
	}
	return best, ok
}

func (s *border) near(c path.Point, r float64, before int) bool {
	_, ok := s.nearest(c, r, before)
	return ok
}

func nearestOn(c, a, b path.Point) path.Point {
	v := b.Sub(a)
	if l := v.Dot(v); l > 0 {
		return between(a, b, c.Sub(a).Dot(v)/l)
	}
	return a
}

// disc returns the greatest disc inside the boundary, of radius at most hi,
// that touches it in the middle of piece i; ok reports that it also touches on
// the opposite side.
func (s *border) disc(i int, hi float64) (c path.Point, r float64, ok bool) {
	p := between(s.pieces[i].a, s.pieces[i].b, 0.5)
	n, _ := normal(s.pieces[i].a, s.pieces[i].b)
	r = hi
	var q path.Point
	for range 30 {
		c = p.Add(n.Mul(r))
		touch, closer := s.nearest(c, r*(1-1e-9), len(s.pieces))
		if !closer {
			break
		}
		v := touch.Sub(p)
		depth := v.Dot(n)
		if depth <= 0 {
			return c, 0, false
		}
		q, ok = touch, true
		r = min(v.Dot(v)/(2*depth), r)
	}
	c = p.Add(n.Mul(r))
	return c, r, ok && p.Sub(c).Dot(q.Sub(c)) < -r*r/2
}

// simplify leaves out points of a polyline that lie within tolerance of the
// chord between those kept (Douglas and Peucker, 1973).
func simplify(pts []path.Point, tolerance float64) []path.Point {
	keep := make([]bool, len(pts))
	keep[0], keep[len(pts)-1] = true, true
	for todo := [][2]int{{0, len(pts) - 1}}; len(todo) > 0; {
		lo, hi := todo[len(todo)-1][0], todo[len(todo)-1][1]
		todo = todo[:len(todo)-1]
		far, at := tolerance, -1
		for i := lo + 1; i < hi; i++ {
			if d := pts[i].Dist(nearestOn(pts[i], pts[lo], pts[hi])); d > far {
				far, at = d, i
			}
		}
		if at >= 0 {
			keep[at] = true
			todo = append(todo, [2]int{lo, at}, [2]int{at, hi})
		}
	}
	var out []path.Point
	for i, k := range keep {
		if k {
			out = append(out, pts[i])
		}
	}
	return out
}
