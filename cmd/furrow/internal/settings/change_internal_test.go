package settings

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// changing begins a change of an example as a file of the shop's own.
func changing(t *testing.T, example int, change func(*machine.Profile)) *Change {
	t.Helper()
	p := machine.Examples()[example]
	p.ID = "mine"
	if change != nil {
		change(&p)
	}
	text, err := ProfileTOML(p)
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "mine.toml")
	require.NoError(t, os.WriteFile(file, text, 0o600))
	m, err := FindMachine(file)
	require.NoError(t, err)
	c, err := NewChange(m)
	require.NoError(t, err)
	require.Equal(t, string(text), string(c.Old))
	return c
}

// A key is set by its own name where it is clear, or by the whole one; what it was is told,
// and the profile that was there stays.
func TestSetKeys(t *testing.T) {
	c := changing(t, 0, nil)
	for _, tt := range []struct{ key, value, told string }{
		{"rapid_mm_s", "350", "gantry.rapid_mm_s: 350, was 400"}, {"gantry.rapid_mm_s", "300",
			"gantry.rapid_mm_s: 300, was 350"},
		{"zero", "bed", "gantry.zero: bed, was by-hand"}, {"name", "the big one",
			"name: the big one, was example CO2 gantry"},
		{"max_speed_mm_s", "400, 200", "gantry.max_speed_mm_s: [400, 200], was [500, 300]"},
		{"spot_mm", "[0.2,0.1]", "laser.spot_mm: [0.2, 0.1], was [0.15, 0.15]"},
		{"gcode.arcs", "true", "gcode.arcs: true, was left out"}, {"m2", "1.5", "laser.m2: 1.5, was left out"},
		{"keep_out", "0,0,20,20", "gantry.keep_out: [[0, 0, 20, 20]], was left out"},
		{"keep_out", "0,0,20,20; -5,30, 5,40", "gantry.keep_out: [[0, 0, 20, 20], [-5, 30, 5, 40]], was [[0, 0, 20, " +
			"20]]"},
		{"keep_out", "[[1, 2, 3, 4]]", "gantry.keep_out: [[1, 2, 3, 4]], was [[0, 0, 20, 20], [-5, 30, 5, 40]]"},
		{"power_curve", "20,4;100,40", "laser.power_curve: [[20, 4], [100, 40]], was left out"},
		{"start_lines", "G54, G54", "gcode.start_lines: [G54, G54], was left out"},
	} {
		require.NoError(t, c.Set(tt.key, tt.value), tt.key)
		require.Equal(t, tt.told, c.Told[len(c.Told)-1])
	}
	require.NoError(t, c.Prove())
	require.Equal(t, 400.0, c.Before.Gantry.RapidMMPerS)
	require.Equal(t, 300.0, c.After.Gantry.RapidMMPerS)
	require.Equal(t, "the big one", c.After.Name)
	require.Equal(t, [2]float64{0.2, 0.1}, c.After.Laser.SpotMM)
	require.Equal(t, []string{"G54", "G54"}, c.After.GCode.StartLines)
	require.True(t, c.After.GCode.Arcs)
	again, err := ParseMachine("mine.toml", c.New)
	require.NoError(t, err)
	require.Equal(t, c.After.Profile, again.Profile)
	for _, tt := range []struct{ key, value, want string }{
		{"rapid_mm_s", "fast", `gantry.rapid_mm_s: "fast" is not a number`}, {"rapid_mm_s", "NaN", "is not a number"},
		{"rapid_mm_s", "+Inf", "is not a number"}, {"arcs", "maybe", "gcode.arcs: "},
		{"spot_mm", "1,x", `"x" is not a number`},
		{"jump_delay_us", "1", `a gantry has no key "jump_delay_us"`},
		{"reversal", "1", `a gantry has no key "reversal"`},
		{"keep_out", "1,2,x,4", `gantry.keep_out: "x" is not a number`},
	} {
		require.ErrorContains(t, c.Set(tt.key, tt.value), tt.want, tt.key)
	}
	require.NoError(t, c.Set("rapid_mm_s", "-1"))
	require.ErrorContains(t, c.Prove(), "gantry.rapid_mm_s")
	require.Regexp(t, `mine\.toml:\d+: `, c.Prove().Error())
	_, err = NewChange(Machine{Profile: machine.Examples()[0]})
	require.EqualError(t, err, "example-co2 is a built-in example and no file")

	g := changing(t, 2, nil)
	require.NoError(t, g.Set("jump_delay_us", "300"))
	require.Equal(t, 300.0, g.After.Galvo.JumpDelayUS)
	for _, key := range []string{"bed_mm", "gcode.arcs", "link.hold", "gantry.zero"} {
		require.ErrorContains(t, g.Set(key, "1"), "a galvo has no key")
	}
}

// A value that nobody measured is told as assumed until it is set.
func TestAssumedIsTold(t *testing.T) {
	c := changing(t, 0, nil)
	text := strings.Replace(string(c.Old), "rapid_mm_s = 400.0\n", "", 1)
	require.NotEqual(t, text, string(c.Old))
	require.NoError(t, os.WriteFile(c.Before.File, []byte(text), 0o600))
	m, err := FindMachine(c.Before.File)
	require.NoError(t, err)
	c, err = NewChange(m)
	require.NoError(t, err)
	was := c.shown("gantry.rapid_mm_s")
	require.Regexp(t, `^\d+ \(assumed\)$`, was)
	require.NoError(t, c.Set("rapid_mm_s", "350"))
	require.Equal(t, "gantry.rapid_mm_s: 350, was "+was, c.Told[0])
	require.Equal(t, "not there", c.shown("galvo.jump_delay_us"))
}

// Offsets of rows marked backwards stand by rising speed; one at a speed that is there takes
// its place.
func TestSetReversals(t *testing.T) {
	c := changing(t, 0, nil)
	require.NoError(t, c.SetReversal([]Reading{{150, 0.3}, {300, 0.45}}))
	require.NoError(t, c.SetReversal([]Reading{{50, 0.1}, {150, 0.35}, {200, 0.4}}))
	require.Equal(t, []machine.Reversal{{SpeedMMPerS: 50, OffsetMM: 0.1}, {SpeedMMPerS: 150, OffsetMM: 0.35},
		{SpeedMMPerS: 200, OffsetMM: 0.4}, {SpeedMMPerS: 300, OffsetMM: 0.45}}, c.After.Gantry.Reversal)
	require.Equal(t, []string{
		"gantry.reversal at 150 mm/s: 0.3 mm, was none", "gantry.reversal at 300 mm/s: 0.45 mm, was none",
		"gantry.reversal at 50 mm/s: 0.1 mm, was none", "gantry.reversal at 150 mm/s: 0.35 mm, was 0.3 mm",
		"gantry.reversal at 200 mm/s: 0.4 mm, was none",
	}, c.Told)
	require.NoError(t, c.Prove())
	effects := strings.Join(c.Effects(), "\n")
	require.Contains(t, effects, "the measured offsets take the place of beam_on_latency_us, beam_off_latency_us "+
		"and backlash_mm")
	for i, change := range []func(*machine.Gantry){
		func(g *machine.Gantry) { g.BeamOnLatencyUS, g.BeamOffLatencyUS, g.BacklashMM = 0, 0, [2]float64{} },
		func(g *machine.Gantry) {
			g.BeamOnLatencyUS, g.BeamOffLatencyUS = 0, 0
			g.BacklashMM = [2]float64{0, 0.1}
		},
		func(g *machine.Gantry) { g.BeamOnLatencyUS = 0 }, func(g *machine.Gantry) { g.BeamOffLatencyUS = 0 },
	} {
		d := changing(t, 0, func(p *machine.Profile) { change(p.Gantry) })
		require.NoError(t, d.SetReversal([]Reading{{150, 0.3}}))
		require.Equal(t, i > 0, strings.Contains(strings.Join(d.Effects(), "\n"), "take the place"), i)
	}
	had := changing(t, 0, func(p *machine.Profile) {
		p.Gantry.Reversal = []machine.Reversal{{SpeedMMPerS: 100, OffsetMM: 0.2}}
	})
	require.NoError(t, had.SetReversal([]Reading{{100, 0.3}}))
	require.NotContains(t, strings.Join(had.Effects(), "\n"), "take the place", "they did before")
	require.EqualError(t, changing(t, 2, nil).SetReversal(nil),
		"mine is a galvo: rows marked backwards are measured on a gantry")
}

// A share of 0.9 at 50 % of 40 W are 18 W; full power is the rated one unless it is read.
func TestSetPowerCurve(t *testing.T) {
	c := changing(t, 0, nil)
	require.NoError(t, c.SetPowerCurve([]Reading{{50, 0.9}, {20, 0.8}, {33, 1.0 / 3}}))
	require.Equal(t, [][2]float64{{20, 6.4}, {33, 4.4}, {50, 18}, {100, 40}}, c.After.Laser.PowerCurve)
	require.Equal(t, "laser.power_curve: [[20, 6.4], [33, 4.4], [50, 18], [100, 40]], was left out", c.Told[0])
	readings := []Reading{{100, 0.95}, {50, 0.123456}}
	require.NoError(t, c.SetPowerCurve(readings))
	require.Equal(t, [][2]float64{{50, 2.4691}, {100, 38}}, c.After.Laser.PowerCurve)
	require.Equal(t, 100.0, readings[0].At, "what was given stays")
	require.NoError(t, c.SetPowerCurve(nil))
	require.Equal(t, [][2]float64{{100, 40}}, c.After.Laser.PowerCurve)
}

// A value that was fitted and is set by hand is marked as fitted no longer; what alters the
// time alone leaves files good.
func TestFittedValues(t *testing.T) {
	c := changing(t, 0, func(p *machine.Profile) {
		p.Measured = []machine.Measured{{Key: "gantry.corner_error_mm", Date: "2026-01-01", Percent: 2},
			{Key: "gantry.rapid_mm_s", Date: "2026-01-01", Percent: 1}}
	})
	require.NoError(t, c.Set("rapid_mm_s", "350"))
	require.Equal(t, "gantry.rapid_mm_s is no longer marked as fitted by furrow tune", c.Told[1])
	require.Len(t, c.After.Measured, 1)
	require.Equal(t, "gantry.corner_error_mm", c.After.Measured[0].Key)
	require.NoError(t, c.Set("m2", "2"))
	require.Len(t, c.After.Measured, 1)
	require.Regexp(t, `^hash [0-9a-f]{12}, was [0-9a-f]{12}: furrow check refuses files that were made before; make `+
		`them anew$`, c.Effects()[0])
	require.Len(t, c.Effects(), 2)
	require.Contains(t, c.Effects()[0], "hash "+c.After.Hash()+", was "+c.Before.Hash())
	timed := changing(t, 0, nil)
	require.NoError(t, timed.Set("link_bytes_per_s", "12000"))
	require.Equal(t, []string{"hash " + timed.After.Hash() +
		" as before: files stay good, their times are reckoned anew"}, timed.Effects())
}

// What the hash leaves out may still keep old rows from their speed: less of it is told, more
// of it leaves files good. The values before are those of the example: 5,000 and 1,500 mm/s2,
// no jerk, 0.02 mm, 11,500 bytes a second, and none of the rest.
func TestWeakerMotionIsTold(t *testing.T) {
	for pair, want := range map[string]string{
		"accel_mm_s2=5000,1400": "a lower acceleration", "accel_mm_s2=6000,1500": "",
		"jerk_mm_s3=100000,100000": "a lower jerk",
		"corner_error_mm=0.01":     "a smaller corner error", "corner_error_mm=0.03": "",
		"shortest_move_ms=5": "a longer shortest move",
		"lookahead_moves=20": "fewer moves looked ahead", "moves_per_s=50": "fewer moves a second", "moves_per_s=0": "",
		"link_bytes_per_s=9600": "a slower link", "link_bytes_per_s=20000": "", "rapid_mm_s=100": "",
		"travel_junction=rest": "",
	} {
		for _, fixedRunUp := range []float64{0, 10} {
			c := changing(t, 0, func(p *machine.Profile) { p.Gantry.OvertravelMM = fixedRunUp })
			key, text, _ := strings.Cut(pair, "=")
			require.NoError(t, c.Set(key, text))
			require.NoError(t, c.Prove())
			told := strings.Join(c.Effects(), "\n")
			if want == "" || fixedRunUp > 0 {
				require.Contains(t, told, "as before: files stay good", pair)
				continue
			}
			require.Contains(t, told, "as before, but with "+want, pair)
			require.Contains(t, told, "make files with rows anew", pair)
		}
	}
	g := changing(t, 2, nil)
	require.NoError(t, g.Set("measuring_error_mm", "0.1"))
	require.Contains(t, g.Effects()[0], "files stay good")
}
