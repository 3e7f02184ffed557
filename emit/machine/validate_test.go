package machine_test

import (
	"math"
	"testing"

	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

func TestExamplesAreValid(t *testing.T) {
	seen := map[string]bool{}
	for _, p := range machine.Examples() {
		require.NoError(t, p.Validate(), p.ID)
		require.False(t, seen[p.Hash()])
		seen[p.Hash()] = true
	}
}

// Each change makes one key wrong, and the error names it.
func TestValidateNamesTheKey(t *testing.T) {
	for key, change := range map[string]func(*machine.Profile){
		"furrow":        func(p *machine.Profile) { p.Furrow = 2 },
		"id":            func(p *machine.Profile) { p.ID = "My Laser" },
		"name":          func(p *machine.Profile) { p.Name = "" },
		"kind":          func(p *machine.Profile) { p.Kind = "plotter"; p.Gantry, p.GCode = nil, nil },
		"galvo":         func(p *machine.Profile) { p.Galvo = &machine.Galvo{} },
		"gcode":         func(p *machine.Profile) { p.GCode = nil },
		"gantry":        func(p *machine.Profile) { p.Gantry = nil },
		"gantry.bed_mm": func(p *machine.Profile) { p.Gantry.BedMM[1] = 0 },
		// 5,000 in X, 1,500 in Y
		"gantry.accel_along_path":     func(p *machine.Profile) { p.Gantry.AccelAlongPath = true },
		"gantry.travel_junction":      func(p *machine.Profile) { p.Gantry.TravelJunction = "stop" },
		"gcode.power_change":          func(p *machine.Profile) { p.GCode.PowerChange = "never" },
		"gcode.power_word":            func(p *machine.Profile) { p.GCode.PowerWord = "M67 E0" },
		"gcode.shortest_move_ms":      func(p *machine.Profile) { p.GCode.ShortestMoveMS = -1 },
		"gantry.zero":                 func(p *machine.Profile) { p.Gantry.Zero = "" },
		"gantry.origin_mm":            func(p *machine.Profile) { p.Gantry.OriginMM[0] = 1 },
		"gantry.max_speed_mm_s":       func(p *machine.Profile) { p.Gantry.MaxSpeedMMPerS[0] = math.NaN() },
		"gantry.accel_mm_s2":          func(p *machine.Profile) { p.Gantry.AccelMMPerS2[0] = -1 },
		"gantry.jerk_mm_s3":           func(p *machine.Profile) { p.Gantry.JerkMMPerS3[0] = 1000 },
		"gantry.rapid_mm_s":           func(p *machine.Profile) { p.Gantry.RapidMMPerS = 0 },
		"gantry.corner_error_mm":      func(p *machine.Profile) { p.Gantry.CornerErrorMM = -1 },
		"gantry.overtravel_margin_mm": func(p *machine.Profile) { p.Gantry.OvertravelMarginMM = math.Inf(1) },
		"gantry.overtravel_mm":        func(p *machine.Profile) { p.Gantry.OvertravelMM = -1 },
		"gantry.beam_on_latency_us":   func(p *machine.Profile) { p.Gantry.BeamOnLatencyUS = 1e9 },
		"gantry.backlash_mm":          func(p *machine.Profile) { p.Gantry.BacklashMM[1] = -1 },
		"gantry.steps_per_mm":         func(p *machine.Profile) { p.Gantry.StepsPerMM[0] = 80 },
		"gantry.reversal[1].speed_mm_s": func(p *machine.Profile) {
			p.Gantry.Reversal = []machine.Reversal{{SpeedMMPerS: 100}, {SpeedMMPerS: 100}}
		},
		"gantry.keep_out[0]":     func(p *machine.Profile) { p.Gantry.KeepOutMM = []machine.Clamp{{1, 1, 0, 2}} },
		"gcode.power_word_max":   func(p *machine.Profile) { p.GCode.PowerWordMax = 0 },
		"gcode.power_decimals":   func(p *machine.Profile) { p.GCode.PowerWordMax = 1 },
		"gcode.power_mode":       func(p *machine.Profile) { p.GCode.PowerMode = "M5" },
		"gcode.link_bytes_per_s": func(p *machine.Profile) { p.GCode.LinkBytesPerS = -1 },
		"gcode.lookahead_moves":  func(p *machine.Profile) { p.GCode.LookaheadMoves = -1 },
		"gcode.air":              func(p *machine.Profile) { p.GCode.Air = "M3" },
		"gcode.end":              func(p *machine.Profile) { p.GCode.End = "M0" },
		"gcode.comments":         func(p *machine.Profile) { p.GCode.Comments = "#" },
		"laser.wavelength_nm":    func(p *machine.Profile) { p.Laser.WavelengthNM = 10.6 },
		"laser.rated_power_w":    func(p *machine.Profile) { p.Laser.RatedPowerW = 0 },
		"laser.spot_mm":          func(p *machine.Profile) { p.Laser.SpotMM[1] = 0 },
		"laser.frequency_khz": func(p *machine.Profile) {
			p.Laser.FrequencyKHz = &[2]float64{1, 2}
			p.Laser.PulseNS, p.Laser.MaxPulseEnergyMJ = 1, 1
		},
		"laser.pulse_ns":       func(p *machine.Profile) { p.Laser.PulseNS = 5 },
		"laser.floor_percent":  func(p *machine.Profile) { p.Laser.FloorPercent = 100 },
		"laser.power_curve[1]": func(p *machine.Profile) { p.Laser.PowerCurve = [][2]float64{{10, 5}, {20, 4}} },
		"laser.power_curve":    func(p *machine.Profile) { p.Laser.PowerCurve = [][2]float64{{10, 5}} },
	} {
		p := machine.Examples()[0]
		gantry, gcode := *p.Gantry, *p.GCode
		p.Gantry, p.GCode = &gantry, &gcode
		change(&p)
		var e *machine.KeyError
		require.ErrorAs(t, p.Validate(), &e, key)
		require.Equal(t, key, e.Key)
		require.Len(t, p.Validate(), 1, key)
	}
}

func TestZeroProfileIsRefusedWhole(t *testing.T) {
	var errs machine.KeyErrors
	require.ErrorAs(t, machine.Profile{}.Validate(), &errs)
	require.Greater(t, len(errs), 3)
	require.Contains(t, errs.Error(), "\n")
}
