package heat_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/emit/heat"
	"furrow/path"
)

// Values of 6061 and 304 as the examples below were worked with.
var (
	al6061 = heat.Material{DensityKgM3: 2700, SpecificHeat: 896, Conductivity: 167,
		ExpansionPerK: 23.6e-6, Poisson: 0.33}
	ss304 = heat.Material{DensityKgM3: 7900, SpecificHeat: 477, Conductivity: 14.9}
)

func pt(x, y float64) path.Point { return path.Point{X: x, Y: y} }

func plate(m heat.Material, w, h, thick float64) heat.Plate {
	return heat.Plate{Rect: path.Rect{Max: pt(w, h)}, ThicknessMM: thick, Material: m}
}

func each(d ...heat.Deposit) heat.Deposits { return slices.Values(d) }

// Lumped: Q/(m·c), worked by hand.
func TestLump(t *testing.T) {
	now := each(heat.Deposit{EnergyJ: 500})
	assert.InDelta(t, 20.6680, heat.MeanRise(plate(al6061, 100, 100, 1), now, 1, 0).End, 1e-4)
	assert.InDelta(t, 10.3340, heat.MeanRise(plate(al6061, 100, 100, 1), now, 0.5, 0).End, 1e-4)
	assert.InDelta(t, 37.1520, heat.MeanRise(plate(ss304, 50, 30, 1), each(heat.Deposit{EnergyJ: 210}), 1,
		0).Highest, 1e-4)
	assert.Zero(t, heat.MeanRise(plate(al6061, 100, 100, 1), each(), 1, 10))
}

// dT/dt = P/(m·c) - T·(h1+h2)·A/(m·c), by Euler's method in steps of 1 ms.
func TestLumpThatLoses(t *testing.T) {
	p := plate(al6061, 76, 127, 0.5)
	p.Loss = heat.OnPins
	var all []heat.Deposit
	for i := range 40 {
		start := float64(i) * 30
		all = append(all, heat.Deposit{Start: start, End: start + 20, EnergyJ: 60 + float64(i%3)*30})
	}
	got := heat.MeanRise(p, each(all...), 0.4, 1400)

	mc := 2700 * 896 * 76e-3 * 127e-3 * 0.5e-3
	lost := 16 * 76e-3 * 127e-3 / mc
	rise, highest, at := 0.0, 0.0, 0.0
	const dt = 1e-3
	for n := range 1_400_000 {
		now := float64(n) * dt
		power := 0.0
		if i := int(now / 30); i < len(all) && now < all[i].End {
			power = all[i].EnergyJ * 0.4 / 20
		}
		rise += dt * (power/mc - rise*lost)
		if rise > highest {
			highest, at = rise, now
		}
	}
	assert.InEpsilon(t, rise, got.End, 1e-4)
	assert.InEpsilon(t, highest, got.Highest, 1e-4)
	assert.InDelta(t, at, got.AtS, 0.1)
}

// Buckling of a heated square plate, edges held in-plane, nu 0.3, alpha 2e-6, b/h
// 100: 167.7 and 63.27 K in the literature (from memory; own Ritz calculation
// 167.77 and 63.267). 6061 of 100 x 100 x 1 mm: 13.90 and 5.24 K, computed.
func TestBuckling(t *testing.T) {
	m := heat.Material{ExpansionPerK: 2e-6, Poisson: 0.3}
	assert.InDelta(t, 167.77, m.BucklingRise(100, 100, 1, true), 0.01)
	assert.InDelta(t, 63.267, m.BucklingRise(100, 100, 1, false), 0.001)
	// A long plate whose edges can turn bows at half of that, as 1+(b/a)² says.
	assert.InDelta(t, 63.267/2*(1+1.0/9), m.BucklingRise(300, 100, 1, false), 0.001)
	assert.InDelta(t, 13.90, al6061.BucklingRise(100, 100, 1, true), 0.01)
	assert.InDelta(t, 5.24, al6061.BucklingRise(100, 100, 1, false), 0.01)
	assert.Zero(t, heat.Material{Poisson: 0.3}.BucklingRise(100, 100, 1, true))
	assert.Zero(t, heat.Material{ExpansionPerK: 2e-6}.BucklingRise(100, 100, 1, true))
}

// An own Ritz calculation with 25 functions, for clamped plates of these shorter by
// longer sides. A square plate's factor is 5.3036.
func TestBucklingOfLongPlates(t *testing.T) {
	m := heat.Material{ExpansionPerK: 2e-6, Poisson: 0.3}
	square := m.BucklingRise(100, 100, 1, true) / 5.30363
	for ratio, factor := range map[float64]float64{0.8: 4.4578, 0.6: 4.0162, 0.5: 3.9239, 0.4: 3.8935, 0.3: 3.8843} {
		assert.InEpsilon(t, factor, m.BucklingRise(100/ratio, 100, 1, true)/square, 0.005, "%g", ratio)
	}
	assert.InEpsilon(t, 3.8003, m.BucklingRise(500, 100, 1, true)/square, 0.036)
}

// A job of no time is the adiabatic rise, and all of it stays.
func TestNoTime(t *testing.T) {
	p := plate(al6061, 40, 20, 1)
	m, err := heat.Run(p, each(heat.Deposit{From: pt(20, 10), To: pt(20, 10), EnergyJ: 10}), 0.5, heat.Options{})
	require.NoError(t, err)
	require.Len(t, m.Ends, 1)
	assert.InEpsilon(t, 5/p.Heat(), m.Ends[0].Mean, 1e-9)
	assert.InDelta(t, 5, m.AbsorbedJ, 1e-9)
	assert.Zero(t, m.BesideJ)
	assert.InEpsilon(t, m.Ends[0].Most, m.Peak, 1e-9, "seen though no step was ended")
	assert.InDelta(t, 10, m.PeakAt.Y, 0.5)
	assert.Greater(t, m.Bulge.OverRim(), 0.0)
}

// random returns rows here and there, with gaps of time.
func random(r *rand.Rand, p heat.Plate, n int) (all []heat.Deposit) {
	now := 0.0
	at := func() path.Point { return pt(r.Float64()*p.Rect.W(), r.Float64()*p.Rect.H()) }
	for range n {
		now += r.Float64() * 0.1
		d := heat.Deposit{From: at(), To: at(), Start: now, End: now + r.Float64()*0.3, EnergyJ: r.Float64() * 3}
		all, now = append(all, d), d.End
	}
	return all
}

// Without loss the energy is kept; with loss the mean is that of the lump.
func TestEnergyIsKept(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	r := rand.New(rand.NewPCG(seed, 0))
	for range 20 {
		p := plate(al6061, 20+r.Float64()*60, 20+r.Float64()*60, 0.5+r.Float64())
		all := each(random(r, p, 30)...)
		m, err := heat.Run(p, all, 0.3, heat.Options{CellMM: 1})
		require.NoError(t, err)
		assert.InEpsilon(t, heat.MeanRise(p, all, 0.3, 0).End, m.Ends[0].Mean, 1e-9, "seed %d", seed)
		assert.GreaterOrEqual(t, m.Ends[0].Least, 0.0)

		p.Loss = heat.Loss{Above: 300, Below: 100} // strong, so that a fault would show
		m, err = heat.Run(p, all, 0.3, heat.Options{CellMM: 1})
		require.NoError(t, err)
		assert.InEpsilon(t, heat.MeanRise(p, all, 0.3, m.Ends[0].AtS).End, m.Ends[0].Mean, 5e-3, "seed %d", seed)
	}
}

// Marks that mirror each other leave a map that does.
func TestSymmetry(t *testing.T) {
	p := plate(al6061, 31, 31, 1)
	m, err := heat.Run(p, each(
		heat.Deposit{From: pt(5, 15.5), To: pt(26, 15.5), End: 1, EnergyJ: 5},
		heat.Deposit{From: pt(26, 15.5), To: pt(5, 15.5), Start: 1, End: 1, EnergyJ: 5},
	), 1, heat.Options{CellMM: 1, StepS: 0.05})
	require.NoError(t, err)
	for j := range m.NY / 2 {
		assert.InDeltaSlice(t, m.Highest[j*m.NX:(j+1)*m.NX], m.Highest[(m.NY-1-j)*m.NX:(m.NY-j)*m.NX], 1e-4)
	}
}

// What lies off the plate does not warm it, and is told.
func TestBeside(t *testing.T) {
	m, err := heat.Run(plate(al6061, 10, 10, 1), each(heat.Deposit{From: pt(-10, 5), To: pt(10, 5), End: 1,
		EnergyJ: 4}), 1, heat.Options{})
	require.NoError(t, err)
	assert.InDelta(t, 2, m.AbsorbedJ, 0.05)
	assert.InDelta(t, 2, m.BesideJ, 0.05)
}

// The end of each part is told at its moment: a plate that is warmed for a second
// and then left.
func TestEndsOfParts(t *testing.T) {
	p := plate(al6061, 30, 30, 1)
	m, err := heat.Run(p, each(heat.Deposit{From: pt(5, 5), To: pt(25, 5), End: 1, EnergyJ: 10}), 1,
		heat.Options{StepS: 0.01, EndS: 20, Marks: []float64{0.5, 1}})
	require.NoError(t, err)
	require.Len(t, m.Ends, 3)
	assert.InDelta(t, 0.5, m.Ends[0].AtS, 0.011)
	assert.InEpsilon(t, 2*m.Ends[0].Mean, m.Ends[1].Mean, 0.01)
	assert.InEpsilon(t, m.Ends[1].Mean, m.Ends[2].Mean, 1e-9)
	assert.Greater(t, m.Ends[1].Difference(), 10*m.Ends[2].Difference(), "it has evened out")
	assert.InDelta(t, 1, m.PeakS, 0.011)
	assert.InDelta(t, 5, m.PeakAt.Y, 0.5)
}

// Half the cell and half the step change the answer little, and less each time.
func TestFiner(t *testing.T) {
	p := plate(ss304, 30, 20, 1)
	all := each(random(rand.New(rand.NewPCG(3, 0)), p, 25)...)
	peak := func(cell, step float64) float64 {
		m, err := heat.Run(p, all, 1, heat.Options{CellMM: cell, StepS: step})
		require.NoError(t, err)
		return m.Ends[0].Difference()
	}
	coarse, fine, finest := peak(1, 0.02), peak(0.5, 0.01), peak(0.25, 0.005)
	assert.Less(t, math.Abs(fine-finest), math.Abs(coarse-finest))
	assert.InEpsilon(t, finest, fine, 0.02)
}

func TestRefused(t *testing.T) {
	one := each(heat.Deposit{End: 1, EnergyJ: 1})
	for _, p := range []heat.Plate{{}, plate(al6061, 0, 5, 1), plate(al6061, 5, 5, 0), plate(heat.Material{}, 5, 5, 1),
		plate(al6061, 5, 5, math.NaN()), plate(al6061, 5, 0, 1), plate(al6061, 5, 5, math.Inf(1))} {
		_, err := heat.Run(p, one, 1, heat.Options{})
		assert.Error(t, err)
	}
	_, err := heat.Run(plate(al6061, 5, 0.5, 1), one, 1, heat.Options{})
	assert.NoError(t, err)
	_, err = heat.Run(plate(al6061, 100, 100, 1), one, 1, heat.Options{CellMM: 0.01})
	assert.ErrorIs(t, err, heat.ErrTooFine)
}

// Aluminium of 1 mm is even through its thickness within seconds; acrylic of 3 mm
// is not: 0.104 mm2/s times 1 s is 0.32 mm squared, by hand.
func TestThin(t *testing.T) {
	thin, _ := plate(al6061, 50, 50, 1).Thin(1)
	assert.True(t, thin)
	thin, why := plate(heat.Material{DensityKgM3: 1180, SpecificHeat: 1466, Conductivity: 0.18}, 50, 50, 3).Thin(1)
	assert.False(t, thin)
	assert.Contains(t, why, "0.32 mm")
	p := plate(heat.Material{DensityKgM3: 100, SpecificHeat: 100, Conductivity: 0.01}, 50, 50, 1)
	p.Loss = heat.OnPins
	_, why = p.Thin(1000)
	assert.Contains(t, why, "Biot")
}

func TestMaterials(t *testing.T) {
	all := heat.Materials()
	for _, m := range all {
		require.NoError(t, m.Validate(), m.ID)
		require.NotEmpty(t, m.Source, m.ID)
	}
	for name, want := range map[string]string{
		"anodised aluminium": "aluminium-6061", "Aluminium 5052": "aluminium-5052", "birch plywood": "hardwood",
		"oak veneer": "hardwood", "Stainless steel, brushed": "stainless-304", "PMMA": "acrylic",
	} {
		m, ok := heat.Find(all, name)
		require.True(t, ok, name)
		assert.Equal(t, want, m.ID, name)
	}
	_, ok := heat.Find(all, "leather")
	assert.False(t, ok)
	// Thermal diffusivity of 304 at 300 K: 3.95 mm2/s (Incropera, table A.1, from memory).
	m, _ := heat.Find(all, "304")
	assert.InDelta(t, 3.954, m.Diffusivity(), 0.001)
}

// BenchmarkMap draws a plate of 76 x 127 x 0.5 mm with 100,000 spans of a job of
// half an hour.
func BenchmarkMap(b *testing.B) {
	p := plate(al6061, 76, 127, 0.5)
	p.Loss = heat.OnTable
	all := make([]heat.Deposit, 100_000)
	for i := range all {
		y, now := 127*float64(i)/1e5, 1800*float64(i)/1e5
		all[i] = heat.Deposit{From: pt(3, y), To: pt(73, y), Start: now, End: now + 0.016, EnergyJ: 0.3}
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := heat.Run(p, each(all...), 0.3, heat.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// What a surface takes in is a fraction, the least of it first.
func TestAbsorbedIsAFraction(t *testing.T) {
	for a, ok := range map[[2]float64]bool{
		{0, 1}: true, {0.3, 0.3}: true, {0.1, 0.9}: true, {-0.01, 0.5}: false, {0.5, 1.01}: false, {0, 100}: false,
		{0.5, 0.4}: false,
	} {
		m := heat.Materials()[0]
		m.Absorbed = &a
		require.Equal(t, ok, m.Validate() == nil, "%v", a)
	}
}

// What a plate loses, by hand: 0.1 mm of still air of 0.026 W/mK to a bed of metal.
func TestLossesByHand(t *testing.T) {
	require.InDelta(t, 0.026/0.1e-3, heat.OnMetal.Below, 1e-9)
	require.Equal(t, heat.Loss{Above: 8, Below: 8}, heat.OnPins)
	require.Equal(t, heat.Loss{Above: 8}, heat.OnTable)
	require.Equal(t, 8.0, heat.OnMetal.Above)
}

// Heat goes √(0.104·1) = 0.3226 mm into acrylic in a second.
func TestThinByHand(t *testing.T) {
	acrylic := heat.Material{DensityKgM3: 1180, SpecificHeat: 1466, Conductivity: 0.18}
	for mm, is := range map[float64]bool{0.32: true, 0.325: false} {
		thin, _ := plate(acrylic, 50, 50, mm).Thin(1)
		assert.Equal(t, is, thin, mm)
	}
	m, err := heat.Run(plate(acrylic, 40, 4, 1), each(heat.Deposit{To: pt(20, 0), EnergyJ: 8}), 1,
		heat.Options{CellMM: 1})
	require.NoError(t, err)
	for i, v := range m.Highest[:40] { // of the lowest row; the 21st cell has some of the line's end
		if i != 20 {
			assert.Equal(t, i < 20, v > 0.5, "an instant line is no longer than it is: cell %d", i)
		}
	}
}

// A deposit lies where the beam is at each time: half way along a line the first half of a plate
// that heat hardly crosses is warm, and the other is not.
func TestDepositsGoAlong(t *testing.T) {
	acrylic := heat.Material{DensityKgM3: 1180, SpecificHeat: 1466, Conductivity: 0.18}
	m, err := heat.Run(plate(acrylic, 40, 4, 1), each(heat.Deposit{From: pt(0, 2), To: pt(40, 2), End: 4,
		EnergyJ: 8}), 1,
		heat.Options{CellMM: 1, StepS: 0.1, Frames: 3})
	require.NoError(t, err)
	for i, f := range m.Frames {
		left, right := 0.0, 0.0
		for k, v := range f {
			if k%40 < 20 {
				left += float64(v)
			} else {
				right += float64(v)
			}
		}
		whole := 8 / plate(acrylic, 40, 4, 1).Heat() * 160
		require.InDelta(t, []float64{0, 0.5, 0.5}[i]*whole, left, 0.03*whole, "frame %d", i)
		require.InDelta(t, []float64{0, 0, 0.5}[i]*whole, right, 0.03*whole, "frame %d", i)
	}
}
