package hatch

import (
	"math"

	"furrow/path"
)

// lean is how near to a row a vertex counts as on it, mm. What is on a row
// counts as beyond it, seen from the middle of the grid. Rounding in the turned
// frame (below 1e-10 mm at 1e5 mm) then cannot move a vertex or an edge that
// lies on a row to its other side, and a half turn of the artwork gives the
// same rows turned, but for what lies on the middle one of an odd number.
const lean = 1e-9

// grid is the rows of one set: row k runs along dir at the distance
// y0 + k·spacing from the origin, for 0 ≤ k < n.
type grid struct {
	dir     path.Point
	spacing float64
	y0      float64
	n       int32
	mid     int32 // the first row that what is on it lies above; of those below it lies below

	centre float64 // of all heights
	middle float64 // the same, in rows
	pitch  float64 // rows a mm
	lean   float64 // in rows
}

// newGrid lays rows over the heights lo..hi of the turned plane, as many as
// come nearest to the spacing; a half counts up, also where rounding left it a
// little short.
func newGrid(dir path.Point, lo, hi, spacing float64, stretch bool) grid {
	height := hi - lo
	n := max(1, math.Floor(height/spacing+0.5+1e-6))
	if stretch && height > 0 {
		spacing = height / n
	}
	centre := lo + height/2
	return grid{
		dir:     dir,
		spacing: spacing,
		y0:      centre - float64((n-1)/2*spacing),
		n:       int32(min(n, maxRows+1)),
		mid:     int32(min(n, maxRows+1)) / 2,
		centre:  centre,
		middle:  (n - 1) / 2,
		pitch:   1 / spacing,
		lean:    lean / spacing,
	}
}

// height returns how high a point lies, in rows from row 0.
func (g *grid) height(p path.Point) float64 {
	return float64((g.dir.Cross(p)-g.centre)*g.pitch) + g.middle
}

// rowOf maps a height to a row: a line from height a up to b crosses the rows
// from that of a to just below that of b.
func (g *grid) rowOf(t float64) int32 {
	up := t - g.lean
	if up > float64(g.mid-1) {
		up = t + g.lean
	}
	return int32(min(max(int64(math.Ceil(up)), 0), int64(g.n)))
}

// vertex is a point in the turned frame, its height in rows.
type vertex struct{ x, t float64 }

func (g *grid) vertex(p path.Point) vertex { return vertex{p.Dot(g.dir), g.height(p)} }

// edge returns where the side from point lo up to point hi crosses the rows
// from k0 on: row k at x0 + (k−k0)·dx, and between its ends also where it ends
// a little short of a row or is level but for rounding.
func (g *grid) edge(lo, hi path.Point, k0 int32) (x0, dx float64) {
	a, b := g.vertex(lo), g.vertex(hi)
	rise, width := b.t-a.t, b.x-a.x
	along := (float64(k0) - a.t) / rise
	if along < 0 {
		along = 0
	} else if along > 1 {
		along = 1
	}
	return a.x + float64(width*along), width / rise
}

// turn maps a point to the frame where rows run along X.
func (g *grid) turn(p path.Point) path.Point {
	return path.Point{X: p.Dot(g.dir), Y: g.dir.Cross(p)}
}

// box returns the bounds of points in that frame.
func (g *grid) box(pts []path.Point) path.Rect {
	lo := g.turn(pts[0])
	hi := lo
	for _, p := range pts {
		p = g.turn(p)
		if p.X < lo.X {
			lo.X = p.X
		} else if p.X > hi.X {
			hi.X = p.X
		}
		if p.Y < lo.Y {
			lo.Y = p.Y
		} else if p.Y > hi.Y {
			hi.Y = p.Y
		}
	}
	return path.Rect{Min: lo, Max: hi}
}

// heights widens the range lo..hi to the heights of points in that frame.
func (g *grid) heights(pts []path.Point, lo, hi float64) (float64, float64) {
	for _, p := range pts {
		y := g.dir.Cross(p)
		if y < lo {
			lo = y
		}
		if y > hi {
			hi = y
		}
	}
	return lo, hi
}

// rowSet returns the grid as the rows of Marks, without spans.
func (g *grid) rowSet() path.RowSet {
	return path.RowSet{
		Origin:  path.Point{X: -float64(g.y0 * g.dir.Y), Y: float64(g.y0 * g.dir.X)},
		Dir:     g.dir,
		Spacing: g.spacing,
	}
}

// line returns row k.
func (g *grid) line(k int32) line {
	y := g.y0 + float64(float64(k)*g.spacing)
	return line{path.Point{X: -float64(y * g.dir.Y), Y: float64(y * g.dir.X)}, g.dir}
}
