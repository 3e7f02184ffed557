package machine

import "furrow/emit/lens"

// Profile is what one machine can do. The tags are the keys of a profile file
// and the comments it is written with; reading one is the command's business.
type Profile struct {
	Furrow int    `toml:"furrow" comment:"file format version"`
	ID     string `toml:"id" comment:"short name, by which it is asked for: lower-case letters, digits and hyphens"`
	Name   string `toml:"name" hash:"-" comment:"what you call the machine"`
	Kind   string `toml:"kind" comment:"gantry (a head on belts) or galvo (two mirrors)"`

	Gantry *Gantry `toml:"gantry,omitempty"`
	Galvo  *Galvo  `toml:"galvo,omitempty"`
	Laser  Laser   `toml:"laser"`
	GCode  *GCode  `toml:"gcode,omitempty"`
	Link   *Link   `toml:"link,omitempty" hash:"-" comment:"how furrow send reaches the controller and speaks to it"`

	Measured []Measured `toml:"measured,omitempty" hash:"-" comment:"values that furrow tune fitted to measured runs"`
	Guessed  []string   `toml:"-" hash:"-"` // keys that the file leaves out, whose values are assumed
}

// The kinds of machine.
const (
	KindGantry = "gantry"
	KindGalvo  = "galvo"
)

// Where X0 Y0 of a gantry is.
const (
	ZeroByHand = "by-hand"
	ZeroBed    = "bed"
)

// What the P of a wait counts.
const (
	WaitSeconds      = "s"
	WaitMilliseconds = "ms"
)

// How the beam's power behaves while the head speeds up and slows down.
const (
	PowerSteady         = "steady"          // M3
	PowerSpeedFollowing = "speed-following" // M4
)

// What the head does where travel meets marking.
const (
	JunctionCorner = "corner" // looks ahead over it as over any other corner
	JunctionRest   = "rest"   // stops
)

// What a change of power does to the motion.
const (
	PowerOnTheFly = "on-the-fly" // nothing
	PowerStops    = "stops"      // stops the head
)

// Gantry is the motion of a head on belts or screws.
type Gantry struct {
	BedMM              [2]float64   `toml:"bed_mm" comment:"reach of the head in X and Y, mm (manual)"`
	Zero               string       `toml:"zero" comment:"by-hand: X0 Y0 is set on the blank; bed: X0 Y0 is fixed, see origin_mm"`
	OriginMM           [2]float64   `toml:"origin_mm,omitempty" comment:"with zero = bed: where X0 Y0 is, from the lower-left corner of the bed, mm (controller setting)"`
	MaxSpeedMMPerS     [2]float64   `toml:"max_speed_mm_s" comment:"greatest speed in X and Y, mm/s (controller setting)"`
	AccelMMPerS2       [2]float64   `toml:"accel_mm_s2" hash:"-" comment:"acceleration in X and Y, mm/s2 (controller setting)"`
	JerkMMPerS3        [2]float64   `toml:"jerk_mm_s3,omitempty" hash:"-" comment:"greatest change of acceleration in X and Y, mm/s3 (controller setting); leave out where the controller has none"`
	RapidMMPerS        float64      `toml:"rapid_mm_s" hash:"-" comment:"speed of a travel move (G0), mm/s (controller setting)"`
	AccelAlongPath     bool         `toml:"accel_along_path,omitempty" hash:"-" comment:"true: the acceleration holds along the path, not for each axis (by stopwatch: furrow help machines)"`
	TravelJunction     string       `toml:"travel_junction,omitempty" hash:"-" comment:"corner: the head passes from travel (G0) to feed (G1) as over any corner; rest: it stops there (by stopwatch: furrow help machines); left out: corner"`
	CornerErrorMM      float64      `toml:"corner_error_mm" hash:"-" comment:"how far a corner may be cut; sets the speed through corners, mm (controller setting)"`
	OvertravelMarginMM float64      `toml:"overtravel_margin_mm" comment:"extra run-up and run-out beside each row, mm (0.5 is a start; measured: until row ends are even)"`
	OvertravelMM       float64      `toml:"overtravel_mm,omitempty" comment:"run-up and run-out set by hand in place of the computed one, mm (measured)"`
	BeamOnLatencyUS    float64      `toml:"beam_on_latency_us" comment:"from the command to the beam being on, microseconds (measured: furrow help stagger)"`
	BeamOffLatencyUS   float64      `toml:"beam_off_latency_us" comment:"from the command to the beam being off, microseconds (measured: furrow help stagger)"`
	BacklashMM         [2]float64   `toml:"backlash_mm,omitempty" comment:"lost motion of X and Y at a reversal, mm (measured: furrow help stagger)"`
	Reversal           []Reversal   `toml:"reversal,omitempty" comment:"measured offset of rows marked backwards, by speed; takes the place of latency and backlash"`
	StepsPerMM         [2]float64   `toml:"steps_per_mm,omitempty" comment:"motor steps a millimetre in X and Y (controller setting)"`
	KeepOutMM          [][4]float64 `toml:"keep_out,omitempty" comment:"where the head must never go (clamps): left, bottom, right, top of each, mm from X0 Y0 (measured)"`
}

// Reversal is one reading of a reversal comb: how far rows marked backwards
// land behind their place, along their own direction, at one speed.
type Reversal struct {
	SpeedMMPerS float64 `toml:"speed_mm_s" comment:"of the rows, mm/s (as marked on the card)"`
	OffsetMM    float64 `toml:"offset_mm" comment:"mm (measured); positive where a row marked backwards starts and ends too late"`
}

// Galvo is the motion of a scanner with two mirrors.
type Galvo struct {
	FieldMM          [2]float64 `toml:"field_mm" comment:"what the lens reaches in X and Y, mm (manual)"`
	MaxSpeedMMPerS   float64    `toml:"max_speed_mm_s" comment:"greatest marking speed, mm/s (manual)"`
	JumpSpeedMMPerS  float64    `toml:"jump_speed_mm_s" comment:"speed of a jump, mm/s (controller setting)"`
	JumpDelayUS      float64    `toml:"jump_delay_us" comment:"settling wait after a long jump, microseconds (controller setting)"`
	ShortJumpDelayUS float64    `toml:"short_jump_delay_us" comment:"settling wait after a jump of no length, microseconds (controller setting)"`
	ShortJumpMM      float64    `toml:"short_jump_mm" comment:"length from which a jump needs the whole jump delay, mm (controller setting)"`
	MarkDelayUS      float64    `toml:"mark_delay_us" comment:"wait at the end of a chain of marks, microseconds (controller setting)"`
	CornerDelayUS    float64    `toml:"corner_delay_us" comment:"wait at a reversal inside a chain; less at a lesser turn, microseconds (controller setting)"`
	LaserOnDelayUS   float64    `toml:"laser_on_delay_us" comment:"gate opens this long after a mark is commanded, may be negative, microseconds (controller setting)"`
	LaserOffDelayUS  float64    `toml:"laser_off_delay_us" comment:"gate closes this long after a mark's commanded end, microseconds (controller setting)"`
	TrackingLagUS    float64    `toml:"tracking_lag_us,omitempty" comment:"how far the mirrors trail the command (data sheet), microseconds; stands in for all six delays"`
	RunUpUS          float64    `toml:"run_up_us,omitempty" comment:"beam-off run at marking speed before and behind each row, microseconds (measured: until row ends are even); left out: none"`
	GapMM            float64    `toml:"gap_mm,omitempty" comment:"longest gap in a row that is crossed beam off at marking speed instead of by a jump, where quicker, mm (your choice); left out: none"`
	LongestDotMS     float64    `toml:"longest_dot_ms,omitempty" comment:"longest that a dot may burn in one place, ms (your choice); left out: 1000"`

	FieldScale         [2]float64    `toml:"field_scale,omitempty" comment:"factors on X and Y, to trim the field (measured: asked over got); left out: 1"`
	FieldRotateDegrees float64       `toml:"field_rotate_degrees,omitempty" comment:"turns the field, degrees counter-clockwise (measured)"`
	FieldOffsetMM      [2]float64    `toml:"field_offset_mm,omitempty" comment:"moves the field, mm (measured); scale, turn and offset act in this sequence"`
	CorrectionCSV      string        `toml:"correction_csv,omitempty" hash:"-" comment:"file of commanded and measured points, beside this one (marked and measured as a field grid)"`
	MeasuringErrorMM   float64       `toml:"measuring_error_mm,omitempty" hash:"-" comment:"how well those points were measured, mm (the scale of your rule or microscope)"`
	Samples            []lens.Sample `toml:"-"` // what CorrectionCSV holds
}

// Laser is the source and its spot.
type Laser struct {
	WavelengthNM     float64      `toml:"wavelength_nm" comment:"wavelength, nm (plate on the source)"`
	RatedPowerW      float64      `toml:"rated_power_w" comment:"mean power at 100 percent, W (plate on the source)"`
	SpotMM           [2]float64   `toml:"spot_mm" comment:"width of the spot in X and Y, mm (measured)"`
	FocusHeightMM    float64      `toml:"focus_height_mm,omitempty" hash:"-" comment:"from the lens, or from what you set by, to material in focus, mm (measured: furrow swatch focus)"`
	M2               float64      `toml:"m2,omitempty" comment:"beam quality M2, which says how soon the spot widens out of focus (data sheet); left out: 1"`
	FrequencyKHz     *[2]float64  `toml:"frequency_khz,omitempty" comment:"of a pulsed source: lowest and highest pulse frequency, kHz (data sheet)"`
	PulseNS          float64      `toml:"pulse_ns,omitempty" comment:"of a pulsed source: pulse length, ns (data sheet)"`
	MaxPulseEnergyMJ float64      `toml:"max_pulse_energy_mj,omitempty" comment:"of a pulsed source: most energy in one pulse, mJ (data sheet)"`
	PulseTable       [][2]float64 `toml:"pulse_table,omitempty" comment:"of a source with adjustable pulse length: pairs of pulse length, ns, and the lowest frequency, kHz, at which it gives full power (manual)"`
	FloorPercent     float64      `toml:"floor_percent,omitempty" comment:"the source does not fire below this percent (measured)"`
	PowerCurve       [][2]float64 `toml:"power_curve,omitempty" comment:"pairs of percent and W, rising (measured with a power meter); without it power is in proportion to percent"`
	LocateMaxPercent float64      `toml:"locate_max_percent,omitempty" comment:"most percent a locating trace may use (your choice); 0 keeps it beam off"`
}

// Pulsed reports that the source works in pulses of a set frequency.
func (l Laser) Pulsed() bool { return l.FrequencyKHz != nil }

// Comment styles of a G-code file.
const (
	CommentsParentheses = "parentheses"
	CommentsSemicolon   = "semicolon"
	CommentsNone        = "none"
)

// GCode is what a controller understands: that of a gantry, or of a galvo that takes
// G-code in place of a mark-vector list. The zero value stands
// for what any RS-274 controller takes: parentheses, millimetres, straight
// moves, S from 0 to 1000, steady power, M2.
type GCode struct {
	PowerWordMax   float64  `toml:"power_word_max" comment:"power word at 100 percent power (controller setting)"`
	PowerDecimals  int      `toml:"power_decimals,omitempty" comment:"decimals of the power word, 0 to 3 (controller manual)"`
	PowerWord      string   `toml:"power_word,omitempty" comment:"word that sets the power: S, or an output in step with the motion such as M67 E0 Q (controller manual); left out: S"`
	PowerChange    string   `toml:"power_change,omitempty" comment:"on-the-fly, or stops where every change of power stops the head (by stopwatch: furrow help machines); left out: on-the-fly"`
	PowerMode      string   `toml:"power_mode" comment:"steady (M3), or speed-following (M4) where the controller scales power with speed: a convention of some controllers, not of RS274/NGC"`
	LinkBytesPerS  float64  `toml:"link_bytes_per_s,omitempty" hash:"-" comment:"what the serial link carries, bytes/s (a tenth of its baud)"`
	MovesPerS      float64  `toml:"moves_per_s,omitempty" hash:"-" comment:"what the controller's planner takes, moves/s (controller manual)"`
	ShortestMoveMS float64  `toml:"shortest_move_ms,omitempty" hash:"-" comment:"least time of one move, ms, where the planner gives each one a cycle (by stopwatch: furrow help machines); left out: none"`
	LookaheadMoves int      `toml:"lookahead_moves,omitempty" hash:"-" comment:"how many moves the controller's planner sees ahead (controller manual)"`
	Arcs           bool     `toml:"arcs,omitempty" comment:"true: the controller takes arcs (G2, G3 with I and J)"`
	Inch           bool     `toml:"inch,omitempty" comment:"true: write inches (G20)"`
	Air            string   `toml:"air,omitempty" comment:"word that turns air on, M7 or M8; M9 turns it off"`
	Dwell          bool     `toml:"dwell,omitempty" hash:"-" comment:"true: the controller waits at G4 P, in seconds as RS274/NGC says, so that a file may pause to let a blank cool (by stopwatch)"`
	Blend          bool     `toml:"blend,omitempty" comment:"true: ask for continuous motion (G64)"`
	End            string   `toml:"end,omitempty" comment:"word that ends the program, M2 or M30"`
	Comments       string   `toml:"comments,omitempty" comment:"parentheses, semicolon or none"`
	LineNumbers    bool     `toml:"line_numbers,omitempty" comment:"true: number the lines (N)"`
	CRLF           bool     `toml:"crlf,omitempty" comment:"true: end lines with CR LF"`
	WaitUnit       string   `toml:"wait_unit,omitempty" comment:"of a galvo: what the P of a wait (G4) counts, s or ms (controller manual); RS-274 has s"`
	RepeatWords    bool     `toml:"repeat_words,omitempty" comment:"true: write every word on every line"`
	StartLines     []string `toml:"start_lines,omitempty" comment:"your own lines behind M5 S0, before the beam is armed; none may turn it on, wait or stop"`
	EndLines       []string `toml:"end_lines,omitempty" comment:"your own lines before the end; none may turn the beam on or leave the air on"`
}

// Residual says how well the points of the profile's correction grid agree;
// ok is false without a grid.
func (p Profile) Residual() (r lens.Residual, ok bool) {
	if p.Galvo == nil || len(p.Galvo.Samples) == 0 {
		return r, false
	}
	c, err := lens.Fit(p.Galvo.Samples)
	if err != nil {
		return r, false
	}
	return c.Residual(), true
}

// Waits reports that a file may hold waits.
func (g GCode) Waits() bool { return g.Dwell || g.WaitUnit != "" }

// IsGantry reports that the machine moves a head on belts or screws: in a valid profile
// the section says so, and kind with it.
func (p Profile) IsGantry() bool { return p.Gantry != nil }

// IsGalvo reports that the machine steers its beam with two mirrors.
func (p Profile) IsGalvo() bool { return p.Galvo != nil }

// TakesList reports that the machine's file is a mark-vector list, and not G-code.
func (p Profile) TakesList() bool { return p.IsGalvo() && p.GCode == nil }

// Controller returns what the machine's controller understands: the gcode section,
// or its zero value.
func (p Profile) Controller() GCode {
	if p.GCode == nil {
		return GCode{}
	}
	return *p.GCode
}
