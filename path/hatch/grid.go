package hatch

import (
	"math"

	"furrow/path"
)

// lean is how near to a row a vertex counts as on it, mm. What is on a row
// counts as beyond it, seen from the middle of the grid. Rounding in the turned
// frame (below 1e-10 mm at 1e5 mm) then cannot move a vertex or an edge that
// lies on a row to its other side, and a half turn of the artwork gives the
// same rows turned.
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

// rowOf maps a height to rows: a line from height a up to b crosses the rows
// from the index of a to just below that of b.
func (g *grid) rowOf(y float64) (t float64, k int32) {
	t = float64((y-g.centre)*g.pitch) + g.middle
	up := math.Ceil(t - g.lean)
	if up >= float64(g.mid) {
		up = math.Ceil(t + g.lean)
	}
	return t, int32(min(max(int64(up), 0), int64(g.n)))
}

// vertex maps a point to the frame of the rows.
func (g *grid) vertex(p path.Point) vertex {
	p = g.turn(p)
	t, k := g.rowOf(p.Y)
	return vertex{p.X, t, k}
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

// rowSet returns the grid as the rows of Marks, without spans.
func (g *grid) rowSet() path.RowSet {
	return path.RowSet{
		Origin:  path.Point{X: -float64(g.y0 * g.dir.Y), Y: float64(g.y0 * g.dir.X)},
		Dir:     g.dir,
		Spacing: g.spacing,
	}
}
