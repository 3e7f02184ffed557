package heat

import (
	"math"

	"furrow/path"
)

// grid is the plate in cells, each of one temperature.
type grid struct {
	rect   path.Rect
	nx, ny int
	dx, dy float64   // mm
	t      []float64 // rise, K, row by row from the lower left
	perJ   float64   // rise of a cell for a joule in it, K

	plate     Plate
	along, up sweep
}

func newGrid(p Plate, o Options) *grid {
	g := &grid{rect: p.Rect, plate: p}
	g.nx = max(1, int(math.Ceil(p.Rect.W()/o.CellMM-1e-9)))
	g.ny = max(1, int(math.Ceil(p.Rect.H()/o.CellMM-1e-9)))
	g.dx, g.dy = p.Rect.W()/float64(g.nx), p.Rect.H()/float64(g.ny)
	g.t = make([]float64, g.nx*g.ny)
	g.perJ = 1 / (p.areaHeat() * g.dx * g.dy)
	g.setStep(o.StepS)
	return g
}

// setStep makes the factors for steps of so many seconds.
func (g *grid) setStep(seconds float64) {
	kept := math.Exp(-g.plate.lossRate() * seconds) // share of its rise that the plate keeps
	a := g.plate.Material.Diffusivity() * seconds
	g.along, g.up = newSweep(g.nx, a/(g.dx*g.dx), kept), newSweep(g.ny, a/(g.dy*g.dy), 1)
}

// last spreads the heat of a last step, which may be shorter than the others.
func (g *grid) last(seconds float64) {
	if seconds > 0 {
		g.setStep(seconds)
		g.spread()
	}
}

// line lays energy evenly along a straight way, and returns what fell on the
// plate.
func (g *grid) line(a, b path.Point, energyJ float64) (on float64) {
	n := 1 + int(2*max(math.Abs(b.X-a.X)/g.dx, math.Abs(b.Y-a.Y)/g.dy))
	each := energyJ / float64(n)
	for i := range n {
		if g.put(a.Lerp(b, (float64(i)+0.5)/float64(n)), each) {
			on += each
		}
	}
	return on
}

// put shares energy at a point among the four cells whose middles surround it.
func (g *grid) put(p path.Point, energyJ float64) bool {
	x, y := (p.X-g.rect.Min.X)/g.dx, (p.Y-g.rect.Min.Y)/g.dy
	if !(x >= 0 && y >= 0 && x <= float64(g.nx) && y <= float64(g.ny)) {
		return false
	}
	i, u := between(x-0.5, g.nx)
	j, v := between(y-0.5, g.ny)
	rise := energyJ * g.perJ
	at := j*g.nx + i
	g.t[at] += (1 - u) * (1 - v) * rise
	if u > 0 {
		g.t[at+1] += u * (1 - v) * rise
	}
	if v > 0 {
		g.t[at+g.nx] += (1 - u) * v * rise
		if u > 0 {
			g.t[at+g.nx+1] += u * v * rise
		}
	}
	return true
}

// between returns the cell whose middle lies before x, and how far x is on the way
// to the next; at the edge there is none.
func between(x float64, n int) (i int, share float64) {
	i = int(math.Floor(x))
	switch {
	case i < 0:
		return 0, 0
	case i >= n-1:
		return n - 1, 0
	}
	return i, x - float64(i)
}

// spread lets a step's heat leave the plate and flow, along X and then along Y.
func (g *grid) spread() {
	g.along.rows(g.t, g.nx)
	g.up.columns(g.t, g.nx)
}

func (g *grid) middle(i int) path.Point {
	return path.Point{
		X: g.rect.Min.X + (float64(i%g.nx)+0.5)*g.dx,
		Y: g.rect.Min.Y + (float64(i/g.nx)+0.5)*g.dy,
	}
}

// state tells of the plate at a moment.
func (g *grid) state(now float64) End {
	sum, least, most := 0.0, math.Inf(1), math.Inf(-1)
	for _, t := range g.t { // plain comparisons: min and max care for what no rise is
		sum += t
		if t < least {
			least = t
		}
		if t > most {
			most = t
		}
	}
	return End{AtS: now, Mean: sum / float64(len(g.t)), Rim: g.rim(), Least: least, Most: most}
}

// rim returns the mean of the cells along the edges.
func (g *grid) rim() float64 {
	sum, n := 0.0, 0
	for j := range g.ny {
		step := max(1, g.nx-1)
		if j == 0 || j == g.ny-1 {
			step = 1
		}
		for i := 0; i < g.nx; i += step {
			sum += g.t[j*g.nx+i]
			n++
		}
	}
	return sum / float64(n)
}
