package machine_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"furrow/emit/lens"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

type (
	profile = machine.Profile
	recipe  = machine.Recipe
)

// span is the numbers that a key takes, as the documentation says them.
type span[T any] struct {
	key      string
	least    float64
	most     float64
	optional bool // 0 is none
	set      func(p *T, v float64)
}

func within[T any](key string, least, most float64, set func(*T, float64)) span[T] {
	return span[T]{key: key, least: least, most: most, set: set}
}

func optional[T any](key string, least, most float64, set func(*T, float64)) span[T] {
	s := within(key, least, most, set)
	s.optional = true
	return s
}

func both(p *[2]float64, v float64) { *p = [2]float64{v, v} }

var gantrySpans = []span[profile]{
	within("gantry.bed_mm", 1, 10_000, func(p *profile, v float64) { both(&p.Gantry.BedMM, v) }),
	within("gantry.origin_mm", -10_000, 10_000, func(p *profile, v float64) {
		p.Gantry.Zero = machine.ZeroBed
		both(&p.Gantry.OriginMM, v)
	}),
	within("gantry.max_speed_mm_s", 0.1, 50_000, func(p *profile, v float64) { both(&p.Gantry.MaxSpeedMMPerS, v) }),
	within("gantry.accel_mm_s2", 1, 1e6, func(p *profile, v float64) { both(&p.Gantry.AccelMMPerS2, v) }),
	optional("gantry.jerk_mm_s3", 1, 1e9, func(p *profile, v float64) { both(&p.Gantry.JerkMMPerS3, v) }),
	within("gantry.rapid_mm_s", 0.1, 50_000, func(p *profile, v float64) { p.Gantry.RapidMMPerS = v }),
	within("gantry.corner_error_mm", 0, 10, func(p *profile, v float64) { p.Gantry.CornerErrorMM = v }),
	within("gantry.overtravel_margin_mm", 0, 1000, func(p *profile, v float64) { p.Gantry.OvertravelMarginMM = v }),
	optional("gantry.overtravel_mm", 0.001, 1000, func(p *profile, v float64) { p.Gantry.OvertravelMM = v }),
	within("gantry.beam_on_latency_us", -1e5, 1e5, func(p *profile, v float64) { p.Gantry.BeamOnLatencyUS = v }),
	within("gantry.beam_off_latency_us", -1e5, 1e5, func(p *profile, v float64) { p.Gantry.BeamOffLatencyUS = v }),
	within("gantry.backlash_mm", 0, 10, func(p *profile, v float64) { both(&p.Gantry.BacklashMM, v) }),
	optional("gantry.steps_per_mm", 0.1, 1e6, func(p *profile, v float64) { both(&p.Gantry.StepsPerMM, v) }),
	within("gantry.reversal[0].speed_mm_s", 0.1, 50_000, func(p *profile, v float64) {
		p.Gantry.Reversal = []machine.Reversal{{SpeedMMPerS: v}}
	}),
	within("gantry.reversal[0].offset_mm", -10, 10, func(p *profile, v float64) {
		p.Gantry.Reversal = []machine.Reversal{{SpeedMMPerS: 1, OffsetMM: v}}
	}),
	within("gcode.power_word_max", 1, 1e6, func(p *profile, v float64) {
		p.GCode.PowerWordMax, p.GCode.PowerDecimals = v, 3
	}),
	optional("gcode.link_bytes_per_s", 1, 1e9, func(p *profile, v float64) { p.GCode.LinkBytesPerS = v }),
	optional("gcode.moves_per_s", 1, 1e9, func(p *profile, v float64) { p.GCode.MovesPerS = v }),
	within("laser.wavelength_nm", 100, 20_000, func(p *profile, v float64) { p.Laser.WavelengthNM = v }),
	within("laser.rated_power_w", 0.001, 10_000, func(p *profile, v float64) { p.Laser.RatedPowerW = v }),
	within("laser.spot_mm", 0.001, 10, func(p *profile, v float64) { both(&p.Laser.SpotMM, v) }),
	optional("laser.focus_height_mm", 0.1, 2000, func(p *profile, v float64) { p.Laser.FocusHeightMM = v }),
	optional("laser.m2", 1, 100, func(p *profile, v float64) { p.Laser.M2 = v }),
	within("laser.floor_percent", 0, 99, func(p *profile, v float64) { p.Laser.FloorPercent = v }),
	within("laser.locate_max_percent", 0, 10, func(p *profile, v float64) { p.Laser.LocateMaxPercent = v }),
	within("laser.power_curve[1]", 10, 100, func(p *profile, v float64) {
		p.Laser.PowerCurve = [][2]float64{{10 - 5e-6, 5}, {v, 6}}
	}),
	within("laser.power_curve[1]", 5, 10_000, func(p *profile, v float64) {
		p.Laser.PowerCurve = [][2]float64{{1, 5 - 2e-6}, {2, v}}
	}),
}

var galvoSpans = []span[profile]{
	within("galvo.field_mm", 1, 2000, func(p *profile, v float64) { both(&p.Galvo.FieldMM, v) }),
	within("galvo.max_speed_mm_s", 0.1, 1e6, func(p *profile, v float64) { p.Galvo.MaxSpeedMMPerS = v }),
	within("galvo.jump_speed_mm_s", 0.1, 1e6, func(p *profile, v float64) { p.Galvo.JumpSpeedMMPerS = v }),
	within("galvo.jump_delay_us", 0, 1e5, func(p *profile, v float64) {
		p.Galvo.JumpDelayUS, p.Galvo.ShortJumpDelayUS = v, 0
	}),
	within("galvo.short_jump_delay_us", 0, 1e5, func(p *profile, v float64) {
		p.Galvo.JumpDelayUS, p.Galvo.ShortJumpDelayUS = 1e5, v
	}),
	within("galvo.short_jump_delay_us", 0, machine.Examples()[2].Galvo.JumpDelayUS, func(p *profile, v float64) {
		p.Galvo.ShortJumpDelayUS = v
	}),
	within("galvo.short_jump_mm", 0, 2000, func(p *profile, v float64) { p.Galvo.ShortJumpMM = v }),
	within("galvo.mark_delay_us", 0, 1e5, func(p *profile, v float64) { p.Galvo.MarkDelayUS = v }),
	within("galvo.corner_delay_us", 0, 1e5, func(p *profile, v float64) { p.Galvo.CornerDelayUS = v }),
	within("galvo.laser_on_delay_us", -1e5, 1e5, func(p *profile, v float64) { p.Galvo.LaserOnDelayUS = v }),
	within("galvo.laser_off_delay_us", 0, 1e5, func(p *profile, v float64) { p.Galvo.LaserOffDelayUS = v }),
	optional("galvo.tracking_lag_us", 1, 1e5, func(p *profile, v float64) { *p.Galvo = lagging(v) }),
	within("galvo.run_up_us", 0, 1e5, func(p *profile, v float64) { p.Galvo.RunUpUS = v }),
	within("galvo.gap_mm", 0, 2000, func(p *profile, v float64) { p.Galvo.GapMM = v }),
	optional("galvo.field_scale", 0.5, 2, func(p *profile, v float64) { both(&p.Galvo.FieldScale, v) }),
	within("galvo.field_rotate_degrees", -360, 360, func(p *profile, v float64) { p.Galvo.FieldRotateDegrees = v }),
	within("galvo.field_offset_mm", -2000, 2000, func(p *profile, v float64) { both(&p.Galvo.FieldOffsetMM, v) }),
	within("galvo.measuring_error_mm", 0, 10, func(p *profile, v float64) { p.Galvo.MeasuringErrorMM = v }),
	within("laser.frequency_khz", 0.001, 1e5, func(p *profile, v float64) {
		p.Laser.FrequencyKHz = &[2]float64{v, v}
	}),
	within("laser.pulse_ns", 1, 1e7, func(p *profile, v float64) { p.Laser.PulseNS = v }),
	within("laser.max_pulse_energy_mj", 1e-6, 1e5, func(p *profile, v float64) { p.Laser.MaxPulseEnergyMJ = v }),
	within("laser.pulse_table[0]", 1, 1e7, func(p *profile, v float64) {
		p.Laser.PulseNS, p.Laser.PulseTable = min(max(v, 1), 1e7), [][2]float64{{v, 20},
			{min(max(v, 1), 1e7) + 1e-8, 30}}
		p.Laser.PulseTable = p.Laser.PulseTable[:1]
	}),
	within("laser.pulse_table[1]", 0.001, 1e5, func(p *profile, v float64) {
		p.Laser.PulseTable = [][2]float64{{10, 20}, {100, v}}
	}),
}

var recipeSpans = []span[recipe]{
	within("speed_mm_s", 0.01, 1e6, func(r *recipe, v float64) { r.SpeedMMPerS = v }),
	within("power_percent", 0.01, 100, func(r *recipe, v float64) { r.PowerPercent = v }),
	optional("frequency_khz", 0.001, 1e5, func(r *recipe, v float64) { r.FrequencyKHz = v }),
	optional("pulse_ns", 1, 1e7, func(r *recipe, v float64) { r.PulseNS = v }),
	within("spacing_mm", 0.0001, 1000, func(r *recipe, v float64) { r.SpacingMM = v }),
	within("angles_degrees", -3600, 3600, func(r *recipe, v float64) { r.AnglesDegrees = []float64{0, v} }),
	within("cross_degrees", -3600, 3600, func(r *recipe, v float64) { r.CrossDegrees = v }),
	within("pass_turn_degrees", -3600, 3600, func(r *recipe, v float64) { r.PassTurnDegrees = v }),
	optional("mark_width_mm", 0.001, 10, func(r *recipe, v float64) { r.MarkWidthMM = v }),
	within("focus_offset_mm", -100, 100, func(r *recipe, v float64) { r.FocusOffsetMM = v }),
	within("absorbed_fraction", 0, 1, func(r *recipe, v float64) { r.AbsorbedFraction = v }),
}

// lagging is a galvo that gives its tracking lag in place of all delays.
func lagging(us float64) machine.Galvo {
	g := *machine.Examples()[2].Galvo
	g.JumpDelayUS, g.ShortJumpDelayUS, g.ShortJumpMM = 0, 0, 0
	g.MarkDelayUS, g.CornerDelayUS, g.LaserOnDelayUS, g.LaserOffDelayUS = 0, 0, 0, 0
	g.TrackingLagUS = us
	return g
}

// wrong returns the keys that an error names.
func wrong(err error) (keys []string) {
	var all machine.KeyErrors
	if errors.As(err, &all) {
		for _, e := range all {
			keys = append(keys, e.Key)
		}
	}
	return slices.Compact(keys)
}

// holds tries the ends of a key's numbers, and what lies a millionth beyond them.
func (s span[T]) holds(t *testing.T, fresh func() *T, validate func(*T) error) {
	t.Helper()
	try := func(v float64) []string {
		p := fresh()
		s.set(p, v)
		return wrong(validate(p))
	}
	beyond := 1e-6 * max(math.Abs(s.least), math.Abs(s.most))
	if s.least > 0 {
		beyond = 1e-6 * s.least
	}
	require.Empty(t, try(s.least), "%s of %g", s.key, s.least)
	require.Empty(t, try(s.most), "%s of %g", s.key, s.most)
	for _, v := range []float64{s.least - beyond, s.most * (1 + 1e-6), math.NaN()} {
		require.Contains(t, try(v), s.key, "%s of %g", s.key, v)
	}
	if s.least > 0 && s.optional {
		require.Empty(t, try(0), "%s left out", s.key)
	}
}

func TestRangesOfAProfile(t *testing.T) {
	for i, spans := range map[int][]span[profile]{0: gantrySpans, 2: galvoSpans} {
		for _, s := range spans {
			s.holds(t, func() *profile { return &machine.Examples()[i] }, func(p *profile) error {
				return p.Validate()
			})
		}
	}
	for n, ok := range map[int]bool{-1: false, 0: true, 3: true, 4: false} {
		p := machine.Examples()[0]
		p.GCode.PowerDecimals = n
		require.Equal(t, ok, p.Validate() == nil, "%d decimals", n)
	}
	for n, ok := range map[int]bool{-1: false, 0: true, 1_000_000: true, 1_000_001: false} {
		p := machine.Examples()[0]
		p.GCode.LookaheadMoves = n
		require.Equal(t, ok, p.Validate() == nil, "%d moves", n)
	}
}

func TestRangesOfARecipe(t *testing.T) {
	for _, s := range recipeSpans {
		s.holds(t, func() *recipe { return &machine.ExampleRecipes()[0] }, func(r *recipe) error {
			return r.Validate()
		})
	}
	for n, ok := range map[int]bool{-1: false, 0: true, 1000: true, 1001: false} {
		r := machine.ExampleRecipes()[0]
		r.Passes = n
		require.Equal(t, ok, r.Validate() == nil, "%d passes", n)
	}
}

// Rules between keys, and words: each makes its key wrong and no other.
func TestRulesOfAProfile(t *testing.T) {
	for _, tt := range []struct {
		machine int
		key     string
		change  func(*profile)
	}{
		{2, "gantry", func(p *profile) { p.Gantry = machine.Examples()[0].Gantry }},
		{2, "gcode.wait_unit", func(p *profile) {
			p.GCode = &machine.GCode{PowerWordMax: 1000, PowerMode: machine.PowerSteady}
		}},
		{2, "galvo", func(p *profile) { p.Galvo = nil }},
		{2, "galvo.tracking_lag_us", func(p *profile) { p.Galvo.TrackingLagUS = 100 }},
		{2, "galvo.correction_csv", func(p *profile) { p.Galvo.Samples = make([]lens.Sample, 3) }},
		{2, "laser.frequency_khz", func(p *profile) { p.Laser.FrequencyKHz = &[2]float64{100, 30} }},
		{2, "laser.pulse_table[1]", func(p *profile) { p.Laser.PulseTable = [][2]float64{{100, 20}, {100, 30}} }},
		{2, "laser.pulse_ns", func(p *profile) { p.Laser.PulseTable = [][2]float64{{10, 20}, {90, 30}} }},
		{0, "laser.pulse_table", func(p *profile) { p.Laser.PulseTable = [][2]float64{{0, 20}} }},
		{0, "laser.max_pulse_energy_mj", func(p *profile) { p.Laser.MaxPulseEnergyMJ = 1 }},
		{0, "gantry.keep_out[0]", func(p *profile) { p.Gantry.KeepOutMM = []machine.Clamp{{1, 2, 3, 2}} }},
		{0, "gantry.keep_out[0]", func(p *profile) { p.Gantry.KeepOutMM = []machine.Clamp{{-10_001, 1, 3, 2}} }},
		{0, "gantry.keep_out[1]", func(p *profile) {
			p.Gantry.KeepOutMM = []machine.Clamp{{1, 1, 3, 2}, {1, 1, 3, 10_001}}
		}},
		{0, "gcode.power_decimals", func(p *profile) { p.GCode.PowerWordMax = 99 }},
		{0, "laser.power_curve[1]", func(p *profile) { p.Laser.PowerCurve = [][2]float64{{10, 5}, {10, 6}} }},
		{0, "laser.power_curve[1]", func(p *profile) { p.Laser.PowerCurve = [][2]float64{{10, 5}, {11, 5}} }},
		{0, "laser.power_curve[0]", func(p *profile) { p.Laser.PowerCurve = [][2]float64{{-0.5, 5}, {10, 6}} }},
		{0, "laser.power_curve[0]", func(p *profile) { p.Laser.PowerCurve = [][2]float64{{1, -0.5}, {10, 6}} }},
		{0, "id", func(p *profile) { p.ID = "" }},
		{0, "id", func(p *profile) { p.ID = string(make([]byte, 65)) }},
		{0, "name", func(p *profile) { p.Name = string(make([]byte, 201)) }},
	} {
		p := machine.Examples()[tt.machine]
		tt.change(&p)
		require.Contains(t, wrong(p.Validate()), tt.key)
	}
	for _, change := range []func(*profile){
		func(p *profile) {
			p.ID = "a-z-0-9-" + "0123456789012345678901234567890123456789012345678901234a"
		},
		func(p *profile) { p.Name = string(make([]byte, 200)) },
		func(p *profile) { p.GCode.PowerWordMax = 100 },
		func(p *profile) { p.Laser.PowerCurve = [][2]float64{{0, 0}, {100, 40}} },
		func(p *profile) { p.Gantry.KeepOutMM = []machine.Clamp{{-10_000, -1, -9_999, 10_000}} },
		func(p *profile) { p.GCode.Air, p.GCode.End, p.GCode.Comments = "M8", "M30", "none" },
	} {
		p := machine.Examples()[0]
		change(&p)
		require.NoError(t, p.Validate())
	}
}

func TestRulesOfARecipe(t *testing.T) {
	for _, tt := range []struct {
		key    string
		change func(*recipe)
	}{
		{"outline", func(r *recipe) { r.Outline = "around" }}, {"tone", func(r *recipe) { r.Tone = "blue" }},
		{"purpose", func(r *recipe) { r.Purpose = "" }}, {"machine", func(r *recipe) { r.Machine = "My laser" }},
		{"name", func(r *recipe) { r.Name = string(make([]byte, 201)) }},
		{"material", func(r *recipe) { r.Material = string(make([]byte, 201)) }},
		{"notes", func(r *recipe) { r.Notes = string(make([]byte, 10_001)) }},
		{"tested_on", func(r *recipe) { r.TestedOn = "25.11.2026" }},
		{"id", func(r *recipe) { r.ID = "vinyl" }}, {"name", func(r *recipe) { r.Name = "on vinyl" }},
	} {
		r := machine.ExampleRecipes()[0]
		tt.change(&r)
		require.Equal(t, []string{tt.key}, wrong(r.Validate()))
	}
	r := machine.ExampleRecipes()[0]
	r.Outline, r.Tone, r.TestedOn, r.Notes = "only", "darker", "2026-11-25", string(make([]byte, 10_000))
	r.Name, r.Material = string(make([]byte, 200)), string(make([]byte, 200))
	require.NoError(t, r.Validate())
}
