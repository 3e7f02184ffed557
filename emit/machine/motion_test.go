package machine_test

import (
	"math"
	"testing"

	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

var (
	right, left = path.Point{X: 1}, path.Point{X: -1}
	up, down    = path.Point{Y: 1}, path.Point{Y: -1}
	upRight     = path.Point{X: 0.6, Y: 0.8}
)

// axes is a gantry whose axes have nothing in common.
func axes() machine.Gantry {
	return machine.Gantry{
		BedMM: [2]float64{600, 400}, MaxSpeedMMPerS: [2]float64{500, 300}, AccelMMPerS2: [2]float64{5000, 1500},
		OvertravelMarginMM: 0.5, BacklashMM: [2]float64{0.03, 0.07},
	}
}

// Along a slanted line each axis has its share of the motion: at 3-4-5, 500/0.6 =
// 833 and 300/0.8 = 375 mm/s, so that Y decides; straight along an axis the other
// one does not count.
func TestLimitsAlongADirection(t *testing.T) {
	g := axes()
	require.InDelta(t, 500, g.MaxSpeed(right), 1e-9)
	require.InDelta(t, 300, g.MaxSpeed(down), 1e-9)
	require.InDelta(t, 375, g.MaxSpeed(upRight), 1e-9)
	require.InDelta(t, 5000, g.Accel(left), 1e-9)
	require.InDelta(t, 1500, g.Accel(up), 1e-9)
	require.InDelta(t, 1875, g.Accel(upRight), 1e-9)
	require.Zero(t, g.Jerk(right))
	g.JerkMMPerS3 = [2]float64{9e4, 4e4}
	require.InDelta(t, 9e4, g.Jerk(right), 1e-9)
	require.InDelta(t, 4e4, g.Jerk(up), 1e-9)
	require.InDelta(t, 5e4, g.Jerk(upRight), 1e-9)
}

// The way to a speed is found by adding up small steps of time: the acceleration
// rises by the jerk to its limit and falls so that it is 0 when the speed is there.
func TestRunUpByAddingUp(t *testing.T) {
	for _, tt := range []struct{ v, a, j float64 }{{100, 5000, 0}, {250, 1500, 0}, {100, 5000, 1e6}, {400, 5000,
		1e6}, {30, 1500, 2e4}} {
		g := axes()
		g.AccelMMPerS2 = [2]float64{tt.a, tt.a}
		g.JerkMMPerS3 = [2]float64{tt.j, tt.j}
		require.InEpsilon(t, wayTo(tt.v, tt.a, tt.j)+0.5, g.RunUp(right, tt.v), 1e-2, "%+v", tt)
		g.OvertravelMM = 7
		require.Equal(t, 7.0, g.RunUp(right, tt.v))
	}
}

func wayTo(v, a, j float64) (mm float64) {
	const dt = 1e-6
	now, acc := 0.0, 0.0
	for now < v {
		switch {
		case j == 0:
			acc = a
		case v-now <= acc*acc/(2*j): // what is gained while the acceleration falls to 0
			acc = max(acc-j*dt, 0.01*a)
		default:
			acc = min(a, acc+j*dt)
		}
		now += acc * dt
		mm += now * dt
	}
	return mm
}

// The run-up is as long as the gates are shifted, by the later of the two: at
// 200 mm/s 300 µs are 0.06 mm, 700 µs are 0.14 mm.
func TestOvertravelHoldsBothGates(t *testing.T) {
	for _, us := range [][2]float64{{300, 700}, {700, 300}, {-700, 0}, {0, -700}} {
		g := axes()
		g.BeamOnLatencyUS, g.BeamOffLatencyUS = us[0], us[1]
		require.InDelta(t, 200.0*200/2/5000+0.5+0.14, g.Overtravel(right, 200), 1e-12, "%v us", us)
		require.InDelta(t, 200.0*200/2/1500+0.5+0.14, g.Overtravel(up, 200), 1e-12, "%v us", us)
	}
}

// An axis has lost motion of its own, and only where it goes back.
func TestLead(t *testing.T) {
	g := axes()
	g.BeamOnLatencyUS, g.BeamOffLatencyUS = 500, 200
	for _, tt := range []struct{ dir, all path.Point }{
		{right, path.Point{}}, {up, path.Point{}}, {upRight, path.Point{}},
		{left, path.Point{X: -0.03}}, {down, path.Point{Y: -0.07}},
		{path.Point{X: -0.6, Y: 0.8}, path.Point{X: -0.03}}, {path.Point{X: 0.6, Y: -0.8}, path.Point{Y: -0.07}},
		{path.Point{X: -0.6, Y: -0.8}, path.Point{X: -0.03, Y: -0.07}},
		{path.Point{X: 1, Y: -1e-9}, path.Point{}}, {path.Point{X: -1e-9, Y: 1}, path.Point{}},
	} {
		l := g.Lead(tt.dir, 100)
		require.Equal(t, tt.all, l.All, "%v", tt.dir)
		require.InDelta(t, -0.05, l.On, 1e-12)
		require.InDelta(t, -0.02, l.Off, 1e-12)
	}
}

// The comb is read by rows to the right, or upwards; rows the other way come early
// by what was measured, straight between the entries and no further than them.
func TestReversalTableByHand(t *testing.T) {
	g := axes()
	g.BeamOnLatencyUS = 500
	g.Reversal = []machine.Reversal{{SpeedMMPerS: 50, OffsetMM: 0.02}, {SpeedMMPerS: 150, OffsetMM: 0.06},
		{SpeedMMPerS: 350, OffsetMM: 0.05}}
	for _, dir := range []path.Point{right, up, upRight, {X: 0.6, Y: -0.8}} {
		require.True(t, machine.Forward(dir), "%v", dir)
		require.Equal(t, machine.Lead{}, g.Lead(dir, 100), "%v", dir)
	}
	for _, dir := range []path.Point{left, down, {X: -0.6, Y: 0.8}, {X: -0.6, Y: -0.8}} {
		require.False(t, machine.Forward(dir), "%v", dir)
		for v, mm := range map[float64]float64{10: 0.02, 50: 0.02, 75: 0.03, 100: 0.04, 150: 0.06, 250: 0.055,
			350: 0.05, 900: 0.05} {
			l := g.Lead(dir, v)
			require.InDelta(t, -mm, l.On, 1e-12, "%g mm/s", v)
			require.InDelta(t, -mm, l.Off, 1e-12, "%g mm/s", v)
			require.Zero(t, l.All)
		}
	}
}

func TestMeasured(t *testing.T) {
	require.False(t, new(machine.Gantry).Measured())
	for _, g := range []machine.Gantry{
		{BeamOnLatencyUS: 1}, {BeamOffLatencyUS: -1}, {BacklashMM: [2]float64{0, 0.1}},
		{Reversal: []machine.Reversal{{SpeedMMPerS: 1}}},
	} {
		require.True(t, g.Measured(), "%+v", g)
	}
}

// X0 Y0 lies 50 mm and 20 mm from the bed's corner.
func TestBed(t *testing.T) {
	g := axes()
	g.OriginMM = [2]float64{50, 20}
	require.Equal(t, path.Rect{Min: path.Point{X: -50, Y: -20}, Max: path.Point{X: 550, Y: 380}}, g.Bed())
}

// Every number of a file is a whole number of its steps: 1 µm and 1 µm/min, or
// 0.00001 in of 25.4 mm.
func TestGridOfAFile(t *testing.T) {
	mm := machine.GCode{PowerWordMax: 255, PowerDecimals: 1}.Grid()
	require.InDelta(t, 0.001, mm.StepMM(), 1e-15)
	require.Equal(t, path.Point{X: 1.235, Y: -0.001}, mm.Point(path.Point{X: 1.23456, Y: -0.0007}))
	require.False(t, math.Signbit(mm.Point(path.Point{X: -0.0001}).X))
	require.Equal(t, 100.0*60*1000, mm.SpeedSteps(100))
	require.InDelta(t, 33.333333, mm.Speed(33.3333333333), 1e-6)
	require.InDelta(t, 123457.0/60000, mm.Speed(2.05761), 1e-12)
	require.Equal(t, 893.0, mm.PowerSteps(0.35), "0.35 x 255 = 89.25")
	require.InDelta(t, 0.3501960784, mm.Power(0.35), 1e-9, "89.3 of 255")
	in := machine.GCode{Inch: true}.Grid()
	require.InDelta(t, 0.000254, in.StepMM(), 1e-15)
	require.Equal(t, 393701.0, in.CoordSteps(100), "100 mm are 3.9370079 in")
	require.InDelta(t, 3.93701*25.4, in.Point(path.Point{X: 100}).X, 1e-12)
	require.Equal(t, 23622047.0, in.SpeedSteps(100), "236.22047 in/min")
	require.InDelta(t, 236.22047*25.4/60, in.Speed(100), 1e-12)
	require.Equal(t, 350.0, in.PowerSteps(0.35), "S1000 where nothing is said")
	got := mm.Settings([]path.Setting{{Name: "a", SpeedMMPerS: 2.05761, Power: 0.35}})
	require.Equal(t, []path.Setting{{Name: "a", SpeedMMPerS: mm.Speed(2.05761), Power: mm.Power(0.35)}}, got)
}
