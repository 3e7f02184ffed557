package inspect

import (
	"cmp"
	"math"
	"slices"

	"furrow/path"
)

// maxCells bounds the grid, and with it memory (about 10 bytes a cell).
const maxCells = 16 << 20

// cellsPerMark is how many cells a mark is wide where memory allows: widths are
// good to a cell or two.
const cellsPerMark = 10

// grid is what shows as marked, cell by cell.
type grid struct {
	origin path.Point // of cell 0,0, its lower-left corner
	pitch  float64
	w, h   int
	marked []bool
}

func newGrid(b path.Rect, mark float64) *grid {
	pitch := mark / cellsPerMark
	b = b.Grow(2 * mark)
	if cells := b.W() / pitch * (b.H() / pitch); cells > maxCells {
		pitch *= math.Sqrt(cells / maxCells)
	}
	g := &grid{origin: b.Min, pitch: pitch, w: int(b.W()/pitch) + 1, h: int(b.H()/pitch) + 1}
	g.marked = make([]bool, g.w*g.h)
	return g
}

// add marks the cells whose middle is nearest to a row and within a span of it.
func (g *grid) add(set *path.RowSet) {
	for k := range set.NumRows() {
		y := int(math.Floor((set.At(k, 0).Y - g.origin.Y) / g.pitch))
		if y < 0 || y >= g.h {
			continue
		}
		for _, s := range set.Row(k) {
			x0, x1 := set.Origin.X+s.X0-g.origin.X, set.Origin.X+s.X1-g.origin.X
			first, last := int(math.Ceil(x0/g.pitch-0.5)), int(math.Ceil(x1/g.pitch-0.5))
			for x := max(0, first); x < min(last, g.w); x++ {
				g.marked[y*g.w+x] = true
			}
		}
	}
}

// thin finds the places that a disc of the given width cannot fill, in what is
// marked and in what is not.
func (g *grid) thin(width float64) (bridges, gaps []Thin) {
	not := make([]bool, len(g.marked))
	for i, m := range g.marked {
		not[i] = !m
	}
	return g.narrow(g.marked, not, width), g.narrow(not, g.marked, width)
}

// narrow returns the thin parts of in, whose complement is out.
func (g *grid) narrow(in, out []bool, width float64) []Thin {
	radius := width / 2 / g.pitch
	inside := g.distance(out) // squared, to the nearest cell outside
	core := make([]bool, len(in))
	for i, d := range inside {
		core[i] = in[i] && math.Sqrt(float64(d)) >= radius
	}
	reach := g.distance(core) // to where a disc fits
	residue := make([]bool, len(in))
	for i, d := range reach {
		residue[i] = in[i] && math.Sqrt(float64(d)) > radius+1
	}
	return g.components(residue, inside, width)
}

// components turns connected residue into places. What is no longer than two
// widths is the tip of a corner of 23 degrees or more, for that of an angle α
// is width/2·(1/sin(α/2) - 1) long.
func (g *grid) components(residue []bool, inside []int32, width float64) []Thin {
	var list []Thin
	var cells []int
	for start, is := range residue {
		if !is {
			continue
		}
		cells = g.connected(residue, start, cells[:0])
		b := path.EmptyRect()
		for _, i := range cells {
			b = b.Include(g.centre(i))
		}
		if math.Hypot(b.W()+g.pitch, b.H()+g.pitch) > 2*width {
			at := widest(g, cells, inside, b.Centre())
			list = append(list, Thin{g.centre(at), (2*math.Sqrt(float64(inside[at])) - 1) * g.pitch})
		}
	}
	slices.SortStableFunc(list, func(a, b Thin) int { return cmp.Compare(a.Width, b.Width) })
	return list
}

// connected takes the cells that hang together with start out of residue.
func (g *grid) connected(residue []bool, start int, cells []int) []int {
	residue[start] = false
	cells = append(cells, start)
	for k := 0; k < len(cells); k++ {
		x, y := cells[k]%g.w, cells[k]/g.w
		for v := max(0, y-1); v <= min(y+1, g.h-1); v++ {
			for u := max(0, x-1); u <= min(x+1, g.w-1); u++ {
				if i := v*g.w + u; residue[i] {
					residue[i] = false
					cells = append(cells, i)
				}
			}
		}
	}
	return cells
}

// widest returns the cell deepest inside, of several the one nearest to middle.
func widest(g *grid, cells []int, inside []int32, middle path.Point) int {
	return slices.MinFunc(cells, func(a, b int) int {
		return cmp.Or(cmp.Compare(inside[b], inside[a]),
			cmp.Compare(g.centre(a).Dist(middle), g.centre(b).Dist(middle)), cmp.Compare(a, b))
	})
}

func (g *grid) centre(i int) path.Point {
	return g.origin.Add(path.Point{X: float64(i%g.w) + 0.5, Y: float64(i/g.w) + 0.5}.Mul(g.pitch))
}

// distance returns the squared distance of each cell to the nearest one of set,
// in cells (Felzenszwalb and Huttenlocher, 2012: lower envelope of parabolas, a
// pass a direction).
func (g *grid) distance(set []bool) []int32 {
	const far = 1 << 29
	d := make([]int32, len(set))
	for i, is := range set {
		if !is {
			d[i] = far
		}
	}
	e := newEnvelope(max(g.w, g.h))
	for x := range g.w {
		e.pass(d[x:], g.w, g.h)
	}
	for y := range g.h {
		e.pass(d[y*g.w:], 1, g.w)
	}
	return d
}

// envelope is the scratch memory of one pass.
type envelope struct {
	f []float64
	v []int
	z []float64
}

func newEnvelope(n int) *envelope {
	return &envelope{make([]float64, n), make([]int, n), make([]float64, n+1)}
}

// pass replaces n values, stride apart, by min over j of (i-j)² + value j.
func (e *envelope) pass(d []int32, stride, n int) {
	for i := range n {
		e.f[i] = float64(d[i*stride])
	}
	k := 0
	e.v[0], e.z[0], e.z[1] = 0, math.Inf(-1), math.Inf(1)
	for q := 1; q < n; q++ {
		s := e.meet(q, e.v[k])
		for s <= e.z[k] {
			k--
			s = e.meet(q, e.v[k])
		}
		k++
		e.v[k], e.z[k], e.z[k+1] = q, s, math.Inf(1)
	}
	k = 0
	for q := range n {
		for e.z[k+1] < float64(q) {
			k++
		}
		off := float64(q - e.v[k])
		d[q*stride] = int32(min(float64(off*off)+e.f[e.v[k]], 1<<29))
	}
}

// meet returns where the parabolas of q and p cross.
func (e *envelope) meet(q, p int) float64 {
	return (e.f[q] + float64(q*q) - e.f[p] - float64(p*p)) / float64(2*(q-p))
}
