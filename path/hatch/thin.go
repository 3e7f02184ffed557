package hatch

import "furrow/path"

// centres traces where a region is narrow: the centres of the discs that touch
// its boundary on opposite sides (more than 120 degrees apart, so that plain
// corners are not meant) and whose radius lies between lo and hi. They are
// found by shrinking a disc that touches the boundary at one place until
// nothing of the boundary is inside it (Ma, Bae and Choi, "3D medial axis point
// approximation using nearest neighbors and the normal field", 2012). A part as
// narrow as that all over without such centres, as a dot, gets a dash.
//
// Where lost is not nil, only the edges that it marks count, as shrink by hi
// tells them: what shows beside an edge at the distance hi is that far from
// everything, so that no smaller disc touches the edge and another.
func centres(rings [][]path.Point, lost []bool, lo, hi, tolerance float64) []path.Line {
	g := gauge{lo: lo, hi: hi, tolerance: tolerance, length: lengthOf(rings, lost)}
	return g.centres(rings, lost)
}

// gauge is which discs centres looks for.
type gauge struct {
	lo, hi, tolerance float64
	length            float64 // of the edges of all components, which bounds how closely it looks
}

func (g gauge) centres(rings [][]path.Point, lost []bool) []path.Line {
	g.hi = min(g.hi, widest(rings))
	c := centreLines{gauge: g, border: newBorder(rings, lost), done: newTrail()}
	c.step, c.finest = max(g.hi/3, g.length/maxPieces), max(g.tolerance, g.length/maxFine)
	next := 0
	first := int32(0)
	for _, r := range rings {
		c.begin()
		last := first + int32(len(r))
		from := next
		for ; next < len(c.border.edges) && c.border.edges[next].number < last; next++ {
			e := &c.border.edges[next]
			c.stretch(e, e.a, e.b, vicinity{border: c.border})
		}
		c.flush()
		if next-from == len(r) && area(r) > 0 {
			c.dash()
		}
		first = last
	}
	return c.lines
}

// widest returns a bound on the diameter of discs inside the rings.
func widest(rings [][]path.Point) float64 {
	most := 0.0
	for _, r := range rings {
		most = max(most, breadth(r))
	}
	return most
}

// maxPieces and maxFine bound the pieces of a boundary that are looked at, and
// the smaller ones of narrow parts.
const (
	maxPieces = 1 << 20
	maxFine   = 1 << 16
)

// centreLines is the lines of centres in the making.
type centreLines struct {
	gauge
	border *border
	done   *trail // what is traced already: the other side of a part would trace it again
	lines  []path.Line

	step   float64 // the longest stretch of an edge that is looked at as one
	finest float64 // and the shortest that is cut where a part is narrow

	near    []int32      // the edges of vicinities, those of a piece behind those of what it is part of
	run     []path.Point // the line being traced
	last    float64      // the radius of its last disc
	began   int          // the pieces done before it
	traced  int          // the lines before this ring
	largest disc         // of this ring
}

// begin starts with a ring.
func (l *centreLines) begin() { l.traced, l.largest = len(l.lines), disc{} }

// stretch follows the discs that touch a stretch of an edge, at the middles of
// pieces short enough. It is part of what near is for.
func (l *centreLines) stretch(e *borderEdge, a, b path.Point, near vicinity) {
	top := len(l.near)
	if !near.known || a.Dist(b) > l.step && len(near.edges) > 6 {
		near, l.near = near.within(a, b, 2*l.hi, l.near)
	}
	d, opposite := near.disc(a, b, l.hi)
	if d.r > l.largest.r {
		l.largest = d
	}
	l.follow(e, a, b, near, d, opposite)
	l.near = l.near[:top]
}

// follow takes the disc at the middle of a stretch, or cuts the stretch into thirds where
// it is too long. The disc of the middle one is its own.
func (l *centreLines) follow(e *borderEdge, a, b path.Point, near vicinity, d disc, opposite bool) {
	length := a.Dist(b)
	if length > l.step && near.alone(e, a, b, 2*l.hi) {
		return
	}
	if length > l.step || opposite && length > max(d.r, l.finest) {
		p, q := between(a, b, 1.0/3), between(a, b, 2.0/3)
		l.stretch(e, a, p, near)
		l.follow(e, p, q, near, d, opposite)
		l.stretch(e, q, b, near)
		return
	}
	if opposite && d.r > l.lo*(1+1e-6) && d.r < l.hi*(1-1e-6) {
		l.add(d)
	}
}

func (l *centreLines) add(d disc) {
	n := len(l.run)
	if n > 0 && l.run[n-1].Dist(d.c) < weld || turnsBack(l.run, d.c) || l.done.near(d, max(l.began, l.done.len()-3)) {
		return
	}
	if n > 0 && l.run[n-1].Dist(d.c) > 3*max(d.r, l.last, l.tolerance) { // nearer ones go on round a corner
		l.flush()
	}
	if n := len(l.run); n > 0 {
		l.done.add(l.run[n-1], d)
	}
	l.run, l.last = append(l.run, d.c), d.r
}

func (l *centreLines) flush() {
	if n := len(l.run); n > 1 {
		closed := n > 8 && l.run[0].Dist(l.run[n-1]) <= 3*l.last
		if closed {
			l.done.add(l.run[n-1], disc{l.run[0], l.last})
		}
		if line := newLine(simplify(l.run, l.tolerance), closed); length(&line) >= l.tolerance {
			l.lines = append(l.lines, line)
		}
	}
	l.run, l.began = nil, l.done.len()
}

// dash marks the middle of a ring that is narrow all over and has no line.
func (l *centreLines) dash() {
	d := l.largest
	if len(l.lines) > l.traced || d.r <= l.lo*(1+1e-6) || d.r >= l.hi*(1-1e-6) || l.done.near(d, l.done.len()) {
		return
	}
	half := path.Point{X: l.tolerance}
	l.lines = append(l.lines, newLine([]path.Point{d.c.Sub(half), d.c.Add(half)}, false))
}

func turnsBack(run []path.Point, c path.Point) bool {
	n := len(run)
	return n > 1 && run[n-1].Sub(run[n-2]).Dot(c.Sub(run[n-1])) < 0
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
