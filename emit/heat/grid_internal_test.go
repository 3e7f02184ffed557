package heat

import (
	"math/rand/v2"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// plate is one of 30 x 12 mm that lies away from X0 Y0, in cells of 2 x 1.5 mm.
func plate() (*grid, Plate) {
	p := Plate{Rect: path.Rect{Min: path.Point{X: 7, Y: -40}, Max: path.Point{X: 37, Y: -28}}, ThicknessMM: 1,
		Material: Materials()[0]}
	g := newGrid(p, Options{CellMM: 2, StepS: 1})
	g.ny, g.dy = 8, 1.5
	g.t = make([]float64, g.nx*g.ny)
	g.perJ = 1 / (p.areaHeat() * g.dx * g.dy)
	return g, p
}

// The middle of every cell, by hand; energy put there warms it alone, by what it holds.
func TestCellsByHand(t *testing.T) {
	g, p := plate()
	require.Equal(t, []int{15, 8}, []int{g.nx, g.ny})
	require.Equal(t, path.Point{X: 8, Y: -39.25}, g.middle(0))
	require.Equal(t, path.Point{X: 10, Y: -39.25}, g.middle(1))
	require.Equal(t, path.Point{X: 8, Y: -37.75}, g.middle(15))
	require.Equal(t, path.Point{X: 36, Y: -28.75}, g.middle(119))
	for i := range g.t {
		clear(g.t)
		require.True(t, g.put(g.middle(i), 0.5))
		for k, rise := range g.t {
			want := 0.0
			if k == i { // J over cm3 times g/cm3 times J/gK
				want = 0.5 / (0.2 * 0.15 * 0.1 * 2.7 * 0.896)
			}
			require.InDelta(t, want, rise, 1e-9, "cell %d of %d", k, i)
		}
	}
	require.InDelta(t, 3*1.2*0.1*2.7*0.896, p.Heat(), 1e-9)
}

// Energy anywhere on the plate is kept, with its middle where it was put, but for half a
// cell along the edges; beside the plate none of it is.
func TestEnergyLiesWhereItIsPut(t *testing.T) {
	g, p := plate()
	r := rand.New(rand.NewPCG(2, 2))
	for range 500 {
		clear(g.t)
		at := path.Point{X: 4 + 36*r.Float64(), Y: -43 + 18*r.Float64()}
		on := at.X >= 7 && at.X <= 37 && at.Y >= -40 && at.Y <= -28
		require.Equal(t, on, g.put(at, 2), "%v", at)
		sum, middle := 0.0, path.Point{}
		for i, rise := range g.t {
			sum += rise
			middle = middle.Add(g.middle(i).Mul(rise))
		}
		if !on {
			require.Zero(t, sum)
			continue
		}
		require.InDelta(t, 2, sum*p.areaHeat()*3, 1e-9)
		middle = middle.Mul(1 / sum)
		want := path.Point{X: min(max(at.X, 8), 36), Y: min(max(at.Y, -39.25), -28.75)}
		require.InDelta(t, 0, want.Dist(middle), 1e-9, "%v", at)
	}
}

// Of a line that leaves the plate, what lies on it counts: from 5 mm beside it to its
// middle, 15 of 20 mm.
func TestLinesThatLeaveThePlate(t *testing.T) {
	g, _ := plate()
	on := g.line(path.Point{X: 2, Y: -34}, path.Point{X: 22, Y: -34}, 4)
	require.InDelta(t, 3, on, 4.0/20)
	require.InDelta(t, 4, g.line(path.Point{X: 10, Y: -38}, path.Point{X: 20, Y: -30}, 4), 1e-9)
	require.InDelta(t, 4, g.line(path.Point{X: 10, Y: -38}, path.Point{X: 10, Y: -38}, 4), 1e-9, "a dot")
}

// Of a line the cells beside it get, together, what lies between their middles: along X,
// along Y and aslant, up and down, at places where X and Y are alike too.
func TestLinesLieEvenly(t *testing.T) {
	p := Plate{Rect: path.Rect{Max: path.Point{X: 40, Y: 40}}, ThicknessMM: 1, Material: Materials()[0]}
	for _, l := range [][2]path.Point{
		{{X: 5, Y: 20}, {X: 35, Y: 20}}, {{X: 20, Y: 5}, {X: 20, Y: 35}}, {{X: 35, Y: 20}, {X: 20, Y: 35}},
		{{X: 5, Y: 35}, {X: 35, Y: 5}}, {{X: 20, Y: 35}, {X: 20, Y: 20}}, {{X: 20, Y: 20}, {X: 35, Y: 20}},
		{{X: 20, Y: 20}, {X: 5, Y: 20}},
	} {
		for _, cells := range [][2]int{{160, 10}, {10, 160}} {
			g := newGrid(p, Options{CellMM: 0.25, StepS: 1})
			g.nx, g.ny, g.dx, g.dy = cells[0], cells[1], 40/float64(cells[0]), 40/float64(cells[1])
			g.t = make([]float64, g.nx*g.ny)
			g.perJ = 1
			require.InDelta(t, 1, g.line(l[0], l[1], 1), 1e-12)
			columns, rows := make([]float64, g.nx), make([]float64, g.ny)
			for i, v := range g.t {
				columns[i%g.nx] += v
				rows[i/g.nx] += v
			}
			evenly(t, columns, l[0].X/g.dx, l[1].X/g.dx)
			evenly(t, rows, l[0].Y/g.dy, l[1].Y/g.dy)
		}
	}
}

// evenly asserts that each cell between two places has its share of all, in cells.
func evenly(t *testing.T, cells []float64, a, b float64) {
	a, b = min(a, b), max(a, b)
	for i, got := range cells {
		if float64(i) > a+1 && float64(i+1) < b-1 {
			require.InEpsilon(t, 1/(b-a), got, 0.1, "cell %d of %g to %g", i, a, b)
		}
	}
}

// The very edges of the plate are on it.
func TestEdgesAreOnThePlate(t *testing.T) {
	g, _ := plate()
	for _, at := range []path.Point{{X: 7, Y: -40}, {X: 37, Y: -40}, {X: 7, Y: -28}, {X: 37, Y: -28}} {
		require.True(t, g.put(at, 1), at)
	}
}

// The means of all cells and of those along the edges, by hand, of cells as warm as
// their number; of a plate of one row, or one column, all are edges.
func TestMeansByHand(t *testing.T) {
	g := &grid{nx: 4, ny: 3, t: []float64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11}}
	e := g.state(7)
	require.Equal(t, []float64{7, 5.5, 0, 11}, []float64{e.AtS, e.Mean, e.Least, e.Most})
	require.InDelta(t, (66.0-5-6)/10, e.Rim, 1e-12)
	for _, n := range [][2]int{{3, 1}, {1, 3}, {1, 1}, {2, 2}} {
		g := &grid{nx: n[0], ny: n[1], t: []float64{1, 2, 6, 9}[:n[0]*n[1]]}
		require.InDelta(t, g.state(0).Mean, g.rim(), 1e-12, n)
	}
}

// What is absorbed is known from the shortest to the longest wavelength of a range.
func TestAbsorbedAt(t *testing.T) {
	m := Material{Absorbed: &[2]float64{0.2, 0.7}, AbsorbedFor: &[2]float64{1000, 1100}}
	for nm, known := range map[float64]bool{999: false, 1000: true, 1064: true, 1100: true, 1101: false} {
		least, most, ok := m.AbsorbedAt(nm)
		require.Equal(t, known, ok, nm)
		if known {
			require.Equal(t, []float64{0.2, 0.7}, []float64{least, most})
		} else {
			require.Equal(t, []float64{0, 1}, []float64{least, most})
		}
	}
	m.AbsorbedFor = nil
	_, _, ok := m.AbsorbedAt(450)
	require.True(t, ok, "for all")
	_, _, ok = Material{}.AbsorbedAt(450)
	require.False(t, ok)
}

// The built-in values against the tables that they are from, written down anew: heat
// conductivity, density, specific heat, and how quickly heat spreads, mm2/s.
func TestMaterialsAgainstTables(t *testing.T) {
	for id, want := range map[string][4]float64{
		"aluminium-6061": {167, 2700, 896, 69.03},  // 1160 BTU in/h ft2 F, a supplier's sheet
		"aluminium-5052": {138, 2680, 880, 58.51},  // a supplier's sheet
		"stainless-304":  {14.9, 7900, 477, 3.954}, // Incropera, A.1
		"brass-c260":     {110, 8530, 380, 33.94},  // Incropera, A.1
		"acrylic":        {0.18, 1180, 1466, 0.104},
		"hardwood":       {0.16, 720, 1255, 0.1771},
		"slate":          {2.2, 2700, 1000, 0.8148},
	} {
		m, ok := Find(Materials(), id)
		require.True(t, ok, id)
		require.Equal(t, 1, m.Furrow)
		require.Equal(t, [3]float64{want[0], want[1], want[2]}, [3]float64{m.Conductivity, m.DensityKgM3,
			m.SpecificHeat}, id)
		require.InEpsilon(t, want[3], m.Diffusivity(), 2e-3, id)
	}
	for id, want := range map[string][3]float64{"aluminium-6061": {23.6e-6, 68.9, 0.33},
		"aluminium-5052": {23.8e-6, 70.3, 0.33}, "stainless-304": {17.2e-6, 193, 0.29}, // the last two from memory
		"brass-c260": {19.9e-6, 110, 0.35}} {
		m, _ := Find(Materials(), id)
		require.Equal(t, want, [3]float64{m.ExpansionPerK, m.ModulusGPa, m.Poisson}, id)
	}
}

// What built-in materials take in at 10 µm, and that it is said for about there alone.
func TestAbsorbedByBuiltInMaterials(t *testing.T) {
	for id, want := range map[string]float64{"acrylic": 0.9, "hardwood": 0.8, "slate": 0.8} {
		m, _ := Find(Materials(), id)
		for nm, known := range map[float64]bool{8999.5: false, 9000: true, 10_600: true, 11_000: true,
			11_000.5: false} {
			least, most, ok := m.AbsorbedAt(nm)
			require.Equal(t, known, ok, "%s at %g", id, nm)
			if known {
				require.Equal(t, [2]float64{want, 1}, [2]float64{least, most}, id)
			}
		}
	}
}

// A map may have four million cells: of 1,000 x 1 mm, 62,500 x 63 of 0.016 mm, but not
// 63,292 x 64 of 0.0158 mm; and a million steps.
func TestTooFineByHand(t *testing.T) {
	none := func(func(Deposit) bool) {}
	for _, side := range []path.Point{{X: 1000, Y: 1}, {X: 1, Y: 1000}} {
		p := Plate{Rect: path.Rect{Max: side}, ThicknessMM: 1, Material: Materials()[0]}
		for _, c := range []struct {
			cell, step, end float64
			ok              bool
		}{
			{0.016, 1, 0, true}, {0.0157, 1, 0, false}, {0.0158, 1, 0, false},
			{-1, 1, 0, false}, {1, -1, 0, false}, {1, 1, 999_999, true},
			{1, 1, 1_000_001, false},
		} {
			_, err := Options{CellMM: c.cell, StepS: c.step, EndS: c.end}.complete(p, none)
			require.Equal(t, c.ok, err == nil, "%+v", c)
		}
	}
}

// What is left open is chosen by the plate's longer side, in 160 cells of a quarter of a
// millimetre or more, and by the last deposit, in 2,000 steps of a millisecond or more.
func TestWhatIsLeftOpen(t *testing.T) {
	last := func(end float64) Deposits {
		return func(yield func(Deposit) bool) {
			_ = yield(Deposit{End: 1}) && yield(Deposit{End: end}) && yield(Deposit{End: 0.5})
		}
	}
	for _, c := range []struct{ w, h, end, cell, step float64 }{
		{320, 100, 4000, 2, 2}, {100, 320, 4000, 2, 2}, {10, 10, 1.5, 0.25, 1e-3}, {40, 80, 3, 0.5, 1.5e-3},
	} {
		o, err := Options{}.complete(Plate{Rect: path.Rect{Max: path.Point{X: c.w, Y: c.h}}}, last(c.end))
		require.NoError(t, err)
		require.InDelta(t, c.cell, o.CellMM, 1e-12)
		require.InDelta(t, c.step, o.StepS, 1e-12)
		require.InDelta(t, max(1, c.end), o.EndS, 1e-12)
	}
}

// Every value of a material is taken up to its bounds and refused beyond them, by its key.
func TestBoundsOfMaterials(t *testing.T) {
	for key, c := range map[string]struct {
		of          func(m *Material) *float64
		least, most float64
	}{
		"density_kg_m3":        {func(m *Material) *float64 { return &m.DensityKgM3 }, 1, 25_000},
		"specific_heat_j_kg_k": {func(m *Material) *float64 { return &m.SpecificHeat }, 50, 15_000},
		"conductivity_w_m_k":   {func(m *Material) *float64 { return &m.Conductivity }, 0.005, 3000},
		"expansion_per_k":      {func(m *Material) *float64 { return &m.ExpansionPerK }, 0, 1e-3},
		"modulus_gpa":          {func(m *Material) *float64 { return &m.ModulusGPa }, 0, 1500},
		"poisson":              {func(m *Material) *float64 { return &m.Poisson }, 0, 0.5},
	} {
		for v, ok := range map[float64]bool{c.least: true, c.most: true, c.least - 1e-6: false, c.most + 1e-6: false} {
			m := Materials()[0]
			*c.of(&m) = v
			err := m.Validate()
			require.Equal(t, ok, err == nil, "%s %g", key, v)
			var bad *ValueError
			if !ok {
				require.ErrorAs(t, err, &bad)
				require.Equal(t, key, bad.Key)
			}
		}
	}
}

// The wavelengths that a range holds for are above 0, the shortest first.
func TestWavelengthsOfMaterials(t *testing.T) {
	for r, ok := range map[[2]float64]bool{
		{1, 2}: true, {5, 5}: true, {0, 5}: false, {-1, 5}: false, {6, 5}: false, {5, -1}: false,
	} {
		m := Materials()[0]
		m.AbsorbedFor = &r
		err := m.Validate()
		require.Equal(t, ok, err == nil, r)
		var bad *ValueError
		if !ok {
			require.ErrorAs(t, err, &bad)
			require.Equal(t, "absorbed_for_nm", bad.Key)
		}
	}
}

// A name is found as it stands, whatever the sequence of materials; else by the most of its
// words that stand side by side, and by none of their parts.
func TestFindByWords(t *testing.T) {
	all := []Material{
		{ID: "red", Names: []string{"Stone"}}, {ID: "red-oak", Names: []string{"oak of the hill"}}, {ID: "Oak"},
	}
	for name, want := range map[string]string{
		"oak": "Oak", " OAK ": "Oak", "stone": "red", "oak, red": "red", "red oak": "red-oak",
		"Red/oak; waxed": "red-oak",
		"red birch oak":  "red", "my oak of the hill": "red-oak", "oak of the": "Oak", "redoak": "", "": "",
		"of the hill": "",
		"waxed oak":   "Oak", "oaks": "",
	} {
		m, ok := Find(all, name)
		require.Equal(t, want != "", ok, name)
		require.Equal(t, want, m.ID, name)
	}
}

// What is absorbed is a share of what the beam puts out.
func TestAbsorbedEnergy(t *testing.T) {
	p := Plate{Rect: path.Rect{Max: path.Point{X: 100, Y: 100}}, ThicknessMM: 1, Material: Materials()[0]}
	m := MeanRise(p, func(yield func(Deposit) bool) {
		_ = yield(Deposit{End: 1, EnergyJ: 4}) && yield(Deposit{Start: 2, End: 3, EnergyJ: 6})
	}, 0.25, 10)
	require.InDelta(t, 2.5, m.AbsorbedJ, 1e-12)
	require.InDelta(t, 2.5/(10*0.1*10*2.7*0.896), m.Highest, 1e-12)
	require.InDelta(t, m.Highest, m.End, 1e-12)
	require.InDelta(t, 3, m.AtS, 1e-12)
}

// The Biot number is the loss times the thickness over the conductivity: 20 W/m2K and 9
// to 11 mm of 2 W/mK are 0.09 to 0.11, of which up to 0.1 is thin for an hour.
func TestBiotNumber(t *testing.T) {
	for mm, thin := range map[float64]bool{9: true, 10: true, 11: false} {
		p := Plate{
			Rect: path.Rect{Max: path.Point{X: 100, Y: 100}}, ThicknessMM: mm, Loss: Loss{Above: 8, Below: 12},
			Material: Material{DensityKgM3: 2000, SpecificHeat: 1000, Conductivity: 2},
		}
		got, why := p.Thin(3600)
		require.Equal(t, thin, got, why)
	}
}
