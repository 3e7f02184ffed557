package machine_test

import (
	"math"
	"strings"
	"testing"

	"furrow/emit/lens"
	"furrow/emit/machine"
	"furrow/emit/machine/byhand"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// How much slower and quicker a machine may be than by what is assumed of it, and which
// values no time rests on.
func TestWhatIsPlausible(t *testing.T) {
	want := map[string][2]float64{
		"gantry.accel_mm_s2": {0.5, 3}, "gantry.corner_error_mm": {0.5, 2.5}, "gantry.rapid_mm_s": {0.5, 1},
		"galvo.jump_delay_us": {2, 0.4}, "galvo.mark_delay_us": {2, 0.5}, "galvo.jump_speed_mm_s": {0.5, 2},
		"galvo.corner_delay_us": {2, 0.5}, "galvo.short_jump_delay_us": {2, 0.4}, "galvo.short_jump_mm": {0.5, 2},
	}
	rules := map[string]string{"gantry.rapid_mm_s": "the greatest speed of the slower axis",
		"laser.max_pulse_energy_mj": "rated power at the lowest frequency"}
	for _, p := range machine.Examples() {
		for _, g := range p.Complete(none).Assumed() {
			ends, moves := want[g.Key]
			if moves {
				require.Equal(t, ends, [2]float64{g.Slow, g.Fast}, g.Key)
			}
			require.Equal(t, moves || g.Key == "gantry.travel_junction", g.Moves(), g.Key)
			require.Equal(t, rules[g.Key], g.Rule, g.Key)
			_, word := g.Text(p)
			require.Equal(t, word, g.Value(p) == nil, g.Key)
		}
	}
}

// A profile that is changed is another one; one number stands for both axes.
func TestProfilesAreNotChanged(t *testing.T) {
	p := machine.Examples()[0]
	hash := p.Hash()
	require.Equal(t, [2]float64{7, 7}, p.With("gantry.accel_mm_s2", 7).Gantry.AccelMMPerS2)
	require.Equal(t, [2]float64{7, 8}, p.With("gantry.accel_mm_s2", 7, 8).Gantry.AccelMMPerS2)
	require.Equal(t, 7.0, p.With("gantry.rapid_mm_s", 7, 8).Gantry.RapidMMPerS)
	require.Equal(t, p, p.With("gantry.zero", 7), "a word")
	p.Gantry.BacklashMM, p.Gantry.Reversal = [2]float64{1, 2}, []machine.Reversal{{SpeedMMPerS: 100, OffsetMM: 1}}
	moved := p.Hash()
	plain := p.WithoutLead()
	require.False(t, plain.Gantry.Measured())
	require.True(t, p.Gantry.Measured())
	require.NotEqual(t, hash, moved)
	require.Equal(t, moved, p.Hash())
	p.Gantry.Reversal, p.Gantry.BacklashMM = nil, [2]float64{}
	require.True(t, p.Gantry.Measured(), "by its latencies")
	for _, g := range []machine.Gantry{{BeamOnLatencyUS: 1}, {BeamOffLatencyUS: 1}, {BacklashMM: [2]float64{0, 1}}} {
		require.True(t, g.Measured())
	}
}

// A spot is an ellipse: across and along its axes by its sides, at 30 degrees by the
// ellipse's equation, and its width by the tangents of 3,600 places on it.
func TestSpotsAtAngles(t *testing.T) {
	l := machine.Laser{SpotMM: [2]float64{0.08, 0.12}}
	for _, tt := range []struct{ degrees, across, along float64 }{
		{0, 0.12, 0.08}, {90, 0.08, 0.12}, {180, 0.12, 0.08}, {-90, 0.08, 0.12},
	} {
		require.InDelta(t, tt.across, l.SpotAcross(tt.degrees), 1e-12)
		require.InDelta(t, tt.along, l.SpotAlong(tt.degrees), 1e-12)
	}
	for degrees := -170.0; degrees < 180; degrees += 20 {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		reach := 0.0
		for i := range 3600 {
			s, c := math.Sincos(float64(i) * math.Pi / 1800)
			reach = max(reach, path.Point{X: 0.04 * c, Y: 0.06 * s}.Dot(path.Point{X: -sin, Y: cos}))
		}
		require.InDelta(t, 2*reach, l.SpotAcross(degrees), 1e-6, "%g", degrees)
		x, y := l.SpotAlong(degrees)/2*cos, l.SpotAlong(degrees)/2*sin
		require.InDelta(t, 1, x*x/0.04/0.04+y*y/0.06/0.06, 1e-9, "%g: its end is on the edge", degrees)
	}
}

func TestNamesOfProfiles(t *testing.T) {
	for id, ok := range map[string]bool{"": false, "a": true, "z9-0": true, "A": false, "a b": false, "a_b": false,
		"ä": false, "`": false, "{": false, "/": false, ":": false,
		strings.Repeat("a", 64): true, strings.Repeat("a", 65): false} {
		require.Equal(t, ok, machine.ValidID(id), id)
	}
}

// A galvo that is driven by lines of a file knows no more than those can say.
func TestWhatAGalvosFileIsNot(t *testing.T) {
	for key, change := range map[string]func(*machine.GCode){
		"":                       func(*machine.GCode) {},
		"gcode.arcs":             func(g *machine.GCode) { g.Arcs = true },
		"gcode.inch":             func(g *machine.GCode) { g.Inch = true },
		"gcode.link_bytes_per_s": func(g *machine.GCode) { g.LinkBytesPerS = 1000 },
		"gcode.moves_per_s":      func(g *machine.GCode) { g.MovesPerS = 1000 },
		"gcode.shortest_move_ms": func(g *machine.GCode) { g.ShortestMoveMS = 1 },
		"gcode.wait_unit":        func(g *machine.GCode) { g.WaitUnit = "minutes" },
	} {
		p := machine.Examples()[2]
		p.Laser.FrequencyKHz, p.Laser.PulseNS, p.Laser.MaxPulseEnergyMJ = nil, 0, 0
		p.GCode = &machine.GCode{PowerWordMax: 1000, PowerMode: machine.PowerSteady, WaitUnit: machine.WaitSeconds}
		change(p.GCode)
		err := p.Validate()
		if key == "" {
			require.NoError(t, err)
			continue
		}
		var e *machine.KeyError
		require.ErrorAs(t, err, &e, key)
		require.Equal(t, key, e.Key)
		require.Len(t, err, 1, key)
	}
}

// A grid of a field says how well its points agree, as the room of lenses has it.
func TestResidualOfAProfile(t *testing.T) {
	p := byhand.Fibre()
	_, ok := p.Residual()
	require.False(t, ok, "no grid")
	_, ok = machine.Examples()[0].Residual()
	require.False(t, ok, "no galvo")
	g := *p.Galvo
	p.Galvo = &g
	for i := range 25 {
		at := path.Point{X: 20 * float64(i%5-2), Y: 20 * float64(i/5-2)}
		g.Samples = append(g.Samples, lens.Sample{Commanded: at, Measured: at})
	}
	g.Samples[12].Measured.X += 0.1
	r, ok := p.Residual()
	require.True(t, ok)
	require.InDelta(t, 0.1, r.WorstMM, 1e-9)
	require.True(t, p.Corrects())
	g.Samples = g.Samples[:9]
	_, ok = p.Residual()
	require.False(t, ok, "no grid that can be fitted")
}
