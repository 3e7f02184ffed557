package machine

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"time"

	"furrow/emit/lens"
)

// KeyError is a value of a profile that cannot be right. Key is its path in
// the TOML file, as in "gantry.bed_mm", so that a reader can add the line.
type KeyError struct {
	Key     string
	Problem string
	Hint    string // what to do; may be empty
}

func (e *KeyError) Error() string { return e.Key + ": " + e.Problem }

// KeyErrors is everything wrong with a profile, in the sequence of its keys.
type KeyErrors []*KeyError

func (e KeyErrors) Error() string {
	lines := make([]string, len(e))
	for i, k := range e {
		lines[i] = k.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap gives errors.As each error.
func (e KeyErrors) Unwrap() []error {
	errs := make([]error, len(e))
	for i, k := range e {
		errs[i] = k
	}
	return errs
}

// Validate returns nil, or a KeyErrors with all that is wrong.
func (p Profile) Validate() error {
	v := &validator{}
	if p.Furrow != 1 {
		v.fail("furrow", "this program reads version 1, not %d", p.Furrow)
	}
	v.check(ValidID(p.ID), "id", "%q is not made of lower-case letters, digits and hyphens", p.ID)
	v.check(p.Name != "" && len(p.Name) <= 200, "name", "must be 1 to 200 bytes long")
	v.oneOf("kind", p.Kind, KindGantry, KindGalvo)
	v.sections(p)
	v.laser(p.Laser, p.GCode != nil)
	if p.Link != nil {
		v.link(p)
	}
	v.measured(p)
	if len(v.errs) == 0 {
		return nil
	}
	return v.errs
}

type validator struct{ errs KeyErrors }

func (v *validator) fail(key, format string, args ...any) {
	v.errs = append(v.errs, &KeyError{Key: key, Problem: fmt.Sprintf(format, args...)})
}

func (v *validator) missing(key, problem string) {
	v.errs = append(v.errs, &KeyError{key, problem, "write out a built-in profile of that kind to start from"})
}

func (v *validator) check(ok bool, key, format string, args ...any) {
	if !ok {
		v.fail(key, format, args...)
	}
}

// measured judges what furrow tune writes of its fit.
func (v *validator) measured(p Profile) {
	for i, m := range p.Measured {
		key := fmt.Sprintf("measured[%d]", i)
		of := slices.IndexFunc(guesses(p.Kind), func(g Guess) bool { return g.Key == m.Key })
		v.check(of >= 0, key+".key", "%q is no key that a fit tells", m.Key)
		_, err := time.Parse(time.DateOnly, m.Date)
		v.check(err == nil, key+".date", "%q is not a day, as 2026-12-01", m.Date)
		v.within(key+".plus_minus_percent", m.Percent, 0, 99)
	}
}

// within refuses what is outside lo..hi, NaN included.
func (v *validator) within(key string, x, lo, hi float64) {
	v.check(x >= lo && x <= hi, key, "%g is outside %g to %g", x, lo, hi)
}

func (v *validator) both(key string, x [2]float64, lo, hi float64) {
	for _, c := range x {
		if !(c >= lo && c <= hi) {
			v.within(key, c, lo, hi)
			return
		}
	}
}

// optionalBoth also takes 0 for both, which stands for a key left out.
func (v *validator) optionalBoth(key string, x [2]float64, lo, hi float64) {
	if x != [2]float64{} {
		v.both(key, x, lo, hi)
	}
}

func (v *validator) optional(key string, x, lo, hi float64) {
	if x != 0 {
		v.within(key, x, lo, hi)
	}
}

func (v *validator) oneOf(key, got string, allowed ...string) {
	v.check(slices.Contains(allowed, got), key, "%q is none of %s", got, anyOf(allowed))
}

// anyOf lists words; an empty one stands for a key left out.
func anyOf(words []string) string {
	named := slices.DeleteFunc(slices.Clone(words), func(w string) bool { return w == "" })
	list := strings.Join(named, ", ")
	if len(named) < len(words) {
		list += "; leave the key out for none of them"
	}
	return list
}

func ValidID(id string) bool {
	if id == "" || len(id) > 64 {
		return false
	}
	for _, c := range []byte(id) {
		if !(c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '-') {
			return false
		}
	}
	return true
}

func (v *validator) sections(p Profile) {
	gantry := p.Kind == KindGantry
	v.check(gantry || p.Gantry == nil, "gantry", "stands in the profile of a machine of kind %q", p.Kind)
	v.check(!gantry || p.Galvo == nil, "galvo", "stands in the profile of a machine of kind %q", p.Kind)
	switch {
	case gantry && p.Gantry == nil:
		v.missing("gantry", "a gantry needs this section")
	case gantry:
		v.gantry(*p.Gantry)
	case p.Kind == KindGalvo && p.Galvo == nil:
		v.missing("galvo", "a galvo needs this section")
	case p.Kind == KindGalvo:
		v.galvo(*p.Galvo)
	}
	switch {
	case gantry && p.GCode == nil:
		v.missing("gcode", "a gantry needs this section")
	case p.GCode != nil:
		v.gcode(*p.GCode)
		v.waitUnit(*p.GCode, gantry)
	}
	if p.GCode != nil && p.Kind == KindGalvo {
		v.galvoCode(*p.GCode)
	}
}

// waitUnit judges the unit of waits: a gantry's file holds none but the user's own, in
// the unit of RS-274.
func (v *validator) waitUnit(g GCode, gantry bool) {
	if gantry {
		v.check(g.WaitUnit == "", "gcode.wait_unit", "is for a galvo")
		return
	}
	v.oneOf("gcode.wait_unit", g.WaitUnit, WaitSeconds, WaitMilliseconds)
}

// galvoCode refuses what the moves of a galvo do not have, and what its clock knows
// nothing of.
func (v *validator) galvoCode(g GCode) {
	v.check(!g.Arcs, "gcode.arcs", "a galvo's marks are straight pieces")
	v.check(!g.Inch, "gcode.inch", "a galvo's file is in millimetres")
	v.check(!g.PowerByOutput(), "gcode.power_word", "a wait needs the power to go with the line: S alone does so")
	for key, set := range map[string]bool{
		"link_bytes_per_s": g.LinkBytesPerS != 0, "moves_per_s": g.MovesPerS != 0,
		"shortest_move_ms": g.ShortestMoveMS != 0,
		"power_change":     g.PowerChange != "",
	} {
		v.check(!set, "gcode."+key, "limits a gantry's planner; a galvo's time is that of its delays")
	}
}

// The bounds below are wider than any marker in use: they catch a wrong unit,
// such as mm/min given as mm/s, and keep arithmetic far from overflow.
const (
	maxBedMM     = 10_000
	maxMMPerS    = 50_000
	maxMMPerS2   = 1e6
	maxMMPerS3   = 1e9
	maxLatencyUS = 1e5
)

func (v *validator) gantry(g Gantry) {
	v.both("gantry.bed_mm", g.BedMM, 1, maxBedMM)
	v.oneOf("gantry.zero", g.Zero, ZeroByHand, ZeroBed)
	v.both("gantry.origin_mm", g.OriginMM, -maxBedMM, maxBedMM)
	v.check(g.Zero == ZeroBed || g.OriginMM == [2]float64{}, "gantry.origin_mm", "only goes with zero = %q", ZeroBed)
	v.both("gantry.max_speed_mm_s", g.MaxSpeedMMPerS, 0.1, maxMMPerS)
	v.both("gantry.accel_mm_s2", g.AccelMMPerS2, 1, maxMMPerS2)
	v.optionalBoth("gantry.jerk_mm_s3", g.JerkMMPerS3, 1, maxMMPerS3)
	v.within("gantry.rapid_mm_s", g.RapidMMPerS, 0.1, maxMMPerS)
	same := g.AccelMMPerS2[0] == g.AccelMMPerS2[1] && g.JerkMMPerS3[0] == g.JerkMMPerS3[1]
	v.check(!g.AccelAlongPath || same, "gantry.accel_along_path",
		"holds along the path: accel_mm_s2 and jerk_mm_s3 need the same number for X and Y")
	v.oneOf("gantry.travel_junction", g.TravelJunction, "", JunctionCorner, JunctionRest)
	v.within("gantry.corner_error_mm", g.CornerErrorMM, 0, 10)
	v.within("gantry.overtravel_margin_mm", g.OvertravelMarginMM, 0, 1000)
	v.optional("gantry.overtravel_mm", g.OvertravelMM, 0.001, 1000)
	v.within("gantry.beam_on_latency_us", g.BeamOnLatencyUS, -maxLatencyUS, maxLatencyUS)
	v.within("gantry.beam_off_latency_us", g.BeamOffLatencyUS, -maxLatencyUS, maxLatencyUS)
	v.both("gantry.backlash_mm", g.BacklashMM, 0, 10)
	v.optionalBoth("gantry.steps_per_mm", g.StepsPerMM, 0.1, 1e6)
	v.reversal(g.Reversal)
	v.keepOut(g.KeepOutMM)
}

func (v *validator) reversal(table []Reversal) {
	last := 0.0
	for i, r := range table {
		key := fmt.Sprintf("gantry.reversal[%d]", i)
		v.within(key+".speed_mm_s", r.SpeedMMPerS, 0.1, maxMMPerS)
		v.within(key+".offset_mm", r.OffsetMM, -10, 10)
		v.check(r.SpeedMMPerS > last, key+".speed_mm_s", "speeds must rise from one entry to the next")
		last = r.SpeedMMPerS
	}
}

func (v *validator) keepOut(boxes []Clamp) {
	for i, b := range boxes {
		key := fmt.Sprintf("gantry.keep_out[%d]", i)
		for _, x := range b {
			v.within(key, x, -maxBedMM, maxBedMM)
		}
		v.check(b.Ordered(), key, "must be left, bottom, right, top, with left < right and bottom < top")
	}
}

func (v *validator) gcode(g GCode) {
	v.within("gcode.power_word_max", g.PowerWordMax, 1, 1e6)
	v.within("gcode.power_decimals", float64(g.PowerDecimals), 0, 3)
	v.check(g.PowerWordMax < 1 || g.PowerWordMax*math.Pow(10, float64(g.PowerDecimals)) >= 100, "gcode.power_decimals",
		"%s from 0 to %g with %d decimals cannot tell one percent from the next", g.powerName(), g.PowerWordMax,
		g.PowerDecimals)
	v.oneOf("gcode.power_change", g.PowerChange, "", PowerOnTheFly, PowerStops)
	v.powerWord(g)
	v.optional("gcode.shortest_move_ms", g.ShortestMoveMS, 0.001, 1000)
	v.oneOf("gcode.power_mode", g.PowerMode, PowerSteady, PowerSpeedFollowing)
	v.optional("gcode.link_bytes_per_s", g.LinkBytesPerS, 1, 1e9)
	v.optional("gcode.moves_per_s", g.MovesPerS, 1, 1e9)
	v.within("gcode.lookahead_moves", float64(g.LookaheadMoves), 0, 1e6)
	v.oneOf("gcode.air", g.Air, "", "M7", "M8")
	v.oneOf("gcode.end", g.End, "", "M2", "M30")
	v.oneOf("gcode.comments", g.Comments, "", CommentsParentheses, CommentsSemicolon, CommentsNone)
}

// outputWord is an output in step with the motion: M67 with its number, and Q, which
// takes the value.
var outputWord = regexp.MustCompile(`^M67 E[0-9]{1,2} Q$`)

func (v *validator) powerWord(g GCode) {
	if !g.PowerByOutput() {
		return
	}
	v.check(outputWord.MatchString(g.PowerWord), "gcode.power_word", "%q is neither S nor an output as M67 E0 Q",
		g.PowerWord)
	v.check(g.PowerMode != PowerSpeedFollowing, "gcode.power_mode", "power by %s does not follow the speed: say %s",
		g.PowerWord, PowerSteady)
}

func (v *validator) galvo(g Galvo) {
	v.both("galvo.field_mm", g.FieldMM, 1, 2000)
	v.within("galvo.max_speed_mm_s", g.MaxSpeedMMPerS, 0.1, 1e6)
	v.within("galvo.jump_speed_mm_s", g.JumpSpeedMMPerS, 0.1, 1e6)
	v.within("galvo.jump_delay_us", g.JumpDelayUS, 0, maxLatencyUS)
	v.within("galvo.short_jump_delay_us", g.ShortJumpDelayUS, 0, maxLatencyUS)
	v.check(g.ShortJumpDelayUS <= g.JumpDelayUS, "galvo.short_jump_delay_us", "is longer than jump_delay_us")
	v.within("galvo.short_jump_mm", g.ShortJumpMM, 0, 2000)
	v.within("galvo.mark_delay_us", g.MarkDelayUS, 0, maxLatencyUS)
	v.within("galvo.corner_delay_us", g.CornerDelayUS, 0, maxLatencyUS)
	v.within("galvo.laser_on_delay_us", g.LaserOnDelayUS, -maxLatencyUS, maxLatencyUS)
	v.within("galvo.laser_off_delay_us", g.LaserOffDelayUS, 0, maxLatencyUS)
	v.optional("galvo.tracking_lag_us", g.TrackingLagUS, 1, maxLatencyUS)
	v.check(g.TrackingLagUS == 0 || g.delays() == Scanner{}, "galvo.tracking_lag_us",
		"stands in for the delays: give it or them, not both")
	v.within("galvo.run_up_us", g.RunUpUS, 0, maxLatencyUS)
	v.within("galvo.gap_mm", g.GapMM, 0, 2000)
	v.optional("galvo.longest_dot_ms", g.LongestDotMS, 0.001, 1e6)
	v.optionalBoth("galvo.field_scale", g.FieldScale, 0.5, 2)
	v.within("galvo.field_rotate_degrees", g.FieldRotateDegrees, -360, 360)
	v.both("galvo.field_offset_mm", g.FieldOffsetMM, -2000, 2000)
	v.within("galvo.measuring_error_mm", g.MeasuringErrorMM, 0, 10)
	if len(g.Samples) > 0 {
		_, err := lens.Fit(g.Samples)
		v.check(err == nil, "galvo.correction_csv", "%v", err)
	}
}

func (v *validator) laser(l Laser, code bool) {
	v.within("laser.wavelength_nm", l.WavelengthNM, 100, 20_000)
	v.within("laser.rated_power_w", l.RatedPowerW, 0.001, 10_000)
	v.both("laser.spot_mm", l.SpotMM, 0.001, 10)
	v.optional("laser.focus_height_mm", l.FocusHeightMM, 0.1, 2000)
	v.optional("laser.m2", l.M2, 1, 100)
	if l.Pulsed() {
		v.both("laser.frequency_khz", *l.FrequencyKHz, 0.001, 1e5)
		v.check(l.FrequencyKHz[0] <= l.FrequencyKHz[1], "laser.frequency_khz", "the lowest is above the highest")
		v.within("laser.pulse_ns", l.PulseNS, 1, 1e7)
		v.within("laser.max_pulse_energy_mj", l.MaxPulseEnergyMJ, 1e-6, 1e5)
		v.check(!code, "laser.frequency_khz", "G-code has no word for a pulse frequency: leave it out, and set it "+
			"at the controller")
	} else {
		v.check(l.PulseNS == 0, "laser.pulse_ns", "needs frequency_khz too")
		v.check(l.MaxPulseEnergyMJ == 0, "laser.max_pulse_energy_mj", "needs frequency_khz too")
	}
	v.within("laser.floor_percent", l.FloorPercent, 0, 99)
	v.within("laser.locate_max_percent", l.LocateMaxPercent, 0, 10)
	v.powerCurve(l.PowerCurve)
	v.pulseTable(l)
}

func (v *validator) pulseTable(l Laser) {
	v.check(l.Pulsed() || len(l.PulseTable) == 0, "laser.pulse_table", "needs frequency_khz too")
	last := 0.0
	for i, c := range l.PulseTable {
		key := fmt.Sprintf("laser.pulse_table[%d]", i)
		v.within(key, c[0], 1, 1e7)
		v.within(key, c[1], 0.001, 1e5)
		v.check(c[0] > last, key, "pulse lengths must rise from one pair to the next")
		last = c[0]
	}
	v.check(len(l.PulseTable) == 0 || l.HasPulse(l.PulseNS), "laser.pulse_ns", "%g ns does not stand in pulse_table",
		l.PulseNS)
}

func (v *validator) powerCurve(curve [][2]float64) {
	last := [2]float64{-1, -1}
	for i, c := range curve {
		key := fmt.Sprintf("laser.power_curve[%d]", i)
		v.within(key, c[0], 0, 100)
		v.within(key, c[1], 0, 10_000)
		v.check(c[0] > last[0] && c[1] > last[1], key, "percent and W must both rise from one pair to the next")
		last = c
	}
	v.check(len(curve) != 1, "laser.power_curve", "needs two pairs or more")
}
