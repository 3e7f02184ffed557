package heat

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"furrow/path"
)

func pt(x, y float64) path.Point { return path.Point{X: x, Y: y} }

// follow runs a plate without loss and returns its grid at the end.
func follow(p Plate, o Options, all ...Deposit) *grid {
	o, _ = o.complete(p, slices.Values(all))
	r := newRunner(newGrid(p, o), o)
	for _, d := range all {
		r.lay(d, 1)
	}
	r.until(o.EndS + 1e-9)
	return r.grid
}

// at reads a temperature between the middles of cells.
func (g *grid) at(p path.Point) float64 {
	i, u := between((p.X-g.rect.Min.X)/g.dx-0.5, g.nx)
	j, v := between((p.Y-g.rect.Min.Y)/g.dy-0.5, g.ny)
	k := j*g.nx + i
	return (1-u)*(1-v)*g.t[k] + u*(1-v)*g.t[k+1] + (1-u)*v*g.t[k+g.nx] + u*v*g.t[k+g.nx+1]
}

// Instant line source in a thin plate: T = Q/(4πkht)·exp(-r²/4αt) (Carslaw and
// Jaeger 1959, from memory; numbers computed). 304, 1 mm, 10 J.
func TestInstantSource(t *testing.T) {
	p := Plate{Rect: path.Rect{Max: pt(60, 60)}, ThicknessMM: 1, Material: Material{DensityKgM3: 7900,
		SpecificHeat: 477, Conductivity: 14.9}}
	source := Deposit{From: pt(30.25, 30.25), To: pt(30.25, 30.25), EnergyJ: 10}
	for _, tt := range []struct{ s, r, want float64 }{
		{1, 0, 53.4077}, {1, 2, 41.4733}, {1, 5, 10.9934}, {5, 5, 7.78645},
	} {
		g := follow(p, Options{CellMM: 0.5, StepS: 0.01, EndS: tt.s}, source)
		assert.InEpsilon(t, tt.want, g.at(pt(30.25+tt.r, 30.25)), 0.02, "%+v", tt)
		assert.InEpsilon(t, tt.want, g.at(pt(30.25, 30.25-tt.r)), 0.02, "%+v", tt)
	}
}

// Moving line source in a thin plate (Rosenthal 1946, from memory):
// T = q/(2πkh)·exp(-vξ/2α)·K0(vr/2α), ξ ahead; the numbers were worked from it and,
// for 304, by superposing instant sources too.
func TestMovingSource(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	for _, tt := range []struct {
		name         string
		m            Material
		v, w, h      float64
		cell, step   float64
		x, y, want   []float64
		start, stops float64
	}{
		{
			name: "6061", m: Material{DensityKgM3: 2700, SpecificHeat: 896, Conductivity: 167}, v: 100, w: 90, h: 50,
			cell: 0.25, step: 0.0005,
			x: []float64{0, -2, -10}, y: []float64{1, 0, 0}, want: []float64{6.05751, 9.27484, 4.36678},
			start: 5, stops: 75,
		},
		{
			name: "304", m: Material{DensityKgM3: 7900, SpecificHeat: 477, Conductivity: 14.9}, v: 5, w: 70, h: 50,
			cell: 0.25, step: 0.01,
			x: []float64{0, -2, -5}, y: []float64{1, 0, 1}, want: []float64{78.7195, 110.3913, 67.6858},
			start: 5, stops: 55,
		},
	} {
		p := Plate{Rect: path.Rect{Max: pt(tt.w, tt.h)}, ThicknessMM: 1, Material: tt.m}
		y := tt.h/2 + 0.125
		seconds := (tt.stops - tt.start) / tt.v
		g := follow(p, Options{CellMM: tt.cell, StepS: tt.step, EndS: seconds},
			Deposit{From: pt(tt.start, y), To: pt(tt.stops, y), End: seconds, EnergyJ: 10 * seconds})
		for i := range tt.want {
			assert.InEpsilon(t, tt.want[i], g.at(pt(tt.stops+tt.x[i], y+tt.y[i])), 0.02, "%s at %g, %g", tt.name,
				tt.x[i], tt.y[i])
		}
	}
}

// The same by explicit differences with small steps, written as the equation
// stands.
func TestExplicit(t *testing.T) {
	m := Material{DensityKgM3: 2700, SpecificHeat: 896, Conductivity: 167}
	p := Plate{Rect: path.Rect{Max: pt(24, 18)}, ThicknessMM: 0.8, Material: m, Loss: Loss{Above: 200, Below: 300}}
	const cell, dt, nx, ny = 1.0, 5e-4, 24, 18
	var t0, t1 [nx * ny]float64
	heatOfCell := 2700 * 896 * 1e-9 * 0.8
	put := func(x, y int, joules float64) { t0[y*nx+x] += joules / heatOfCell }
	alpha := 167 / (2700.0 * 896) * 1e6
	for n := range 4000 {
		if n < 1000 { // 8 J in the first half second, into one cell
			put(6, 5, 8.0/1000)
		}
		for y := range ny {
			for x := range nx {
				c := t0[y*nx+x]
				flow := t0[y*nx+max(x-1, 0)] + t0[y*nx+min(x+1, nx-1)] + t0[max(y-1, 0)*nx+x] +
					t0[min(y+1, ny-1)*nx+x] - 4*c
				t1[y*nx+x] = c + dt*(alpha*flow/(cell*cell)-c*500e-6/heatOfCell)
			}
		}
		t0 = t1
	}
	at := pt(6.5, 5.5)
	g := follow(p, Options{CellMM: 1, StepS: 2e-3, EndS: 2}, Deposit{From: at, To: at, End: 0.5, EnergyJ: 8})
	for i := range g.t {
		assert.InEpsilon(t, t0[i], g.t[i], 0.005, "cell %d", i)
	}
	assert.False(t, math.IsNaN(g.t[0]))
}
