package lens

import (
	"sort"

	"gonum.org/v1/gonum/interp"

	"furrow/path"
)

// axes are the sorted coordinates of the lines of a grid, four or more of each.
type axes struct{ x, y []float64 }

// node is the value of a map at a node of a grid, with its derivatives along X,
// along Y, and along both.
type node struct{ f, fx, fy, fxy path.Point }

// surface is a bicubic map on a grid. Row j of nodes is at y[j].
type surface struct {
	axes
	nodes []node
}

// newSurface fits a surface through the values at the nodes.
func newSurface(a axes, values []path.Point) (surface, error) {
	s := surface{axes: a, nodes: make([]node, len(values))}
	for i, v := range values {
		s.nodes[i].f = v
	}
	value := func(n *node) *path.Point { return &n.f }
	alongX := func(n *node) *path.Point { return &n.fx }
	for j := range a.y {
		if err := s.slopes(a.x, j*len(a.x), 1, value, alongX); err != nil {
			return surface{}, err
		}
	}
	for i := range a.x {
		if err := s.slopes(a.y, i, len(a.x), value, func(n *node) *path.Point { return &n.fy }); err != nil {
			return surface{}, err
		}
		if err := s.slopes(a.y, i, len(a.x), alongX, func(n *node) *path.Point { return &n.fxy }); err != nil {
			return surface{}, err
		}
	}
	return s, nil
}

// slopes writes the derivatives of one member of the nodes along a line of the
// grid to another member. The line's nodes start at first, stride apart.
func (s *surface) slopes(at []float64, first, stride int, from, to func(*node) *path.Point) error {
	values := make([]path.Point, len(at))
	for k := range at {
		values[k] = *from(&s.nodes[first+k*stride])
	}
	d, err := lineSpline(at, values)
	if err != nil {
		return err
	}
	for k, t := range at {
		*to(&s.nodes[first+k*stride]) = d.slope(t)
	}
	return nil
}

// spline is a curve through points.
type spline struct{ x, y interp.NotAKnotCubic }

func lineSpline(at []float64, values []path.Point) (*spline, error) {
	xs, ys := make([]float64, len(at)), make([]float64, len(at))
	for i, v := range values {
		xs[i], ys[i] = v.X, v.Y
	}
	s := &spline{}
	if err := s.x.Fit(at, xs); err != nil {
		return nil, err
	}
	return s, s.y.Fit(at, ys)
}

func (s *spline) at(t float64) path.Point {
	return path.Point{X: s.x.Predict(t), Y: s.y.Predict(t)}
}

func (s *spline) slope(t float64) path.Point {
	return path.Point{X: s.x.PredictDerivative(t), Y: s.y.PredictDerivative(t)}
}

// cell returns the index of the interval of at that holds t, the nearest one
// beyond the ends.
func cell(at []float64, t float64) int {
	return sort.SearchFloat64s(at[1:len(at)-1], t)
}

// at returns the value of the map at p and its derivatives along X and Y.
// Beyond the grid the outermost cell's polynomial goes on.
func (s *surface) at(p path.Point) (f, fx, fy path.Point) {
	i, j := cell(s.x, p.X), cell(s.y, p.Y)
	hx, hy := s.x[i+1]-s.x[i], s.y[j+1]-s.y[j]
	bx, dx := hermite((p.X-s.x[i])/hx, hx)
	by, dy := hermite((p.Y-s.y[j])/hy, hy)
	n := len(s.x)
	for b := range 2 {
		for a := range 2 {
			nd := &s.nodes[(j+b)*n+i+a]
			add := func(out *path.Point, ux, vx, uy, vy float64) {
				out.X += float64(ux*uy*nd.f.X) + float64(vx*uy*nd.fx.X) + float64(ux*vy*nd.fy.X) +
					float64(vx*vy*nd.fxy.X)
				out.Y += float64(ux*uy*nd.f.Y) + float64(vx*uy*nd.fx.Y) + float64(ux*vy*nd.fy.Y) +
					float64(vx*vy*nd.fxy.Y)
			}
			add(&f, bx[a], bx[2+a], by[b], by[2+b])
			add(&fx, dx[a], dx[2+a], by[b], by[2+b])
			add(&fy, bx[a], bx[2+a], dy[b], dy[2+b])
		}
	}
	return f, fx, fy
}

// hermite returns the cubic Hermite basis at u of a cell h wide, for the values
// at its two ends and for the slopes there, and the derivatives of all four.
func hermite(u, h float64) (basis, slope [4]float64) {
	v := 1 - u
	basis = [4]float64{v * v * (1 + 2*u), u * u * (1 + 2*v), u * v * v * h, -u * u * v * h}
	slope = [4]float64{-6 * u * v / h, 6 * u * v / h, v * (v - 2*u), u * (u - 2*v)}
	return basis, slope
}
