package machine

import "furrow/emit/lens"

// Profile is what one machine can do. The tags are the keys of a profile file
// and the comments it is written with; reading one is the command's business.
type Profile struct {
	Furrow int    `toml:"furrow"`
	ID     string `toml:"id"`
	Name   string `toml:"name" hash:"-"`
	Kind   string `toml:"kind"`

	Gantry *Gantry `toml:"gantry,omitempty"`
	Galvo  *Galvo  `toml:"galvo,omitempty"`
	Laser  Laser   `toml:"laser"`
	GCode  *GCode  `toml:"gcode,omitempty"`
	Link   *Link   `toml:"link,omitempty" hash:"-"`

	Measured []Measured `toml:"measured,omitempty" hash:"-"`
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
	BedMM              [2]float64 `toml:"bed_mm"`
	Zero               string     `toml:"zero"`
	OriginMM           [2]float64 `toml:"origin_mm,omitempty"`
	MaxSpeedMMPerS     [2]float64 `toml:"max_speed_mm_s"`
	AccelMMPerS2       [2]float64 `toml:"accel_mm_s2" hash:"-"`
	JerkMMPerS3        [2]float64 `toml:"jerk_mm_s3,omitempty" hash:"-"`
	RapidMMPerS        float64    `toml:"rapid_mm_s" hash:"-"`
	AccelAlongPath     bool       `toml:"accel_along_path,omitempty" hash:"-"`
	TravelJunction     string     `toml:"travel_junction,omitempty" hash:"-"`
	CornerErrorMM      float64    `toml:"corner_error_mm" hash:"-"`
	OvertravelMarginMM float64    `toml:"overtravel_margin_mm"`
	OvertravelMM       float64    `toml:"overtravel_mm,omitempty"`
	BeamOnLatencyUS    float64    `toml:"beam_on_latency_us"`
	BeamOffLatencyUS   float64    `toml:"beam_off_latency_us"`
	BacklashMM         [2]float64 `toml:"backlash_mm,omitempty"`
	Reversal           []Reversal `toml:"reversal,omitempty"`
	StepsPerMM         [2]float64 `toml:"steps_per_mm,omitempty"`
	KeepOutMM          []Clamp    `toml:"keep_out,omitempty"`
}

// Reversal is one reading of a reversal comb: how far rows marked backwards
// land behind their place, along their own direction, at one speed.
type Reversal struct {
	SpeedMMPerS float64 `toml:"speed_mm_s"`
	OffsetMM    float64 `toml:"offset_mm"`
}

// Galvo is the motion of a scanner with two mirrors.
type Galvo struct {
	FieldMM          [2]float64 `toml:"field_mm"`
	MaxSpeedMMPerS   float64    `toml:"max_speed_mm_s"`
	JumpSpeedMMPerS  float64    `toml:"jump_speed_mm_s"`
	JumpDelayUS      float64    `toml:"jump_delay_us"`
	ShortJumpDelayUS float64    `toml:"short_jump_delay_us"`
	ShortJumpMM      float64    `toml:"short_jump_mm"`
	MarkDelayUS      float64    `toml:"mark_delay_us"`
	CornerDelayUS    float64    `toml:"corner_delay_us"`
	LaserOnDelayUS   float64    `toml:"laser_on_delay_us"`
	LaserOffDelayUS  float64    `toml:"laser_off_delay_us"`
	TrackingLagUS    float64    `toml:"tracking_lag_us,omitempty"`
	RunUpUS          float64    `toml:"run_up_us,omitempty"`
	GapMM            float64    `toml:"gap_mm,omitempty"`
	LongestDotMS     float64    `toml:"longest_dot_ms,omitempty"`

	FieldScale         [2]float64    `toml:"field_scale,omitempty"`
	FieldRotateDegrees float64       `toml:"field_rotate_degrees,omitempty"`
	FieldOffsetMM      [2]float64    `toml:"field_offset_mm,omitempty"`
	CorrectionCSV      string        `toml:"correction_csv,omitempty" hash:"-"`
	MeasuringErrorMM   float64       `toml:"measuring_error_mm,omitempty" hash:"-"`
	Samples            []lens.Sample `toml:"-"` // what CorrectionCSV holds
}

// Laser is the source and its spot.
type Laser struct {
	WavelengthNM     float64      `toml:"wavelength_nm"`
	RatedPowerW      float64      `toml:"rated_power_w"`
	SpotMM           [2]float64   `toml:"spot_mm"`
	FocusHeightMM    float64      `toml:"focus_height_mm,omitempty" hash:"-"`
	M2               float64      `toml:"m2,omitempty"`
	FrequencyKHz     *[2]float64  `toml:"frequency_khz,omitempty"`
	PulseNS          float64      `toml:"pulse_ns,omitempty"`
	MaxPulseEnergyMJ float64      `toml:"max_pulse_energy_mj,omitempty"`
	PulseTable       [][2]float64 `toml:"pulse_table,omitempty"`
	FloorPercent     float64      `toml:"floor_percent,omitempty"`
	PowerCurve       [][2]float64 `toml:"power_curve,omitempty"`
	LocateMaxPercent float64      `toml:"locate_max_percent,omitempty"`
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
	PowerWordMax   float64  `toml:"power_word_max"`
	PowerDecimals  int      `toml:"power_decimals,omitempty"`
	PowerWord      string   `toml:"power_word,omitempty"`
	PowerChange    string   `toml:"power_change,omitempty"`
	PowerMode      string   `toml:"power_mode"`
	LinkBytesPerS  float64  `toml:"link_bytes_per_s,omitempty" hash:"-"`
	MovesPerS      float64  `toml:"moves_per_s,omitempty" hash:"-"`
	ShortestMoveMS float64  `toml:"shortest_move_ms,omitempty" hash:"-"`
	LookaheadMoves int      `toml:"lookahead_moves,omitempty" hash:"-"`
	Arcs           bool     `toml:"arcs,omitempty"`
	Inch           bool     `toml:"inch,omitempty"`
	Air            string   `toml:"air,omitempty"`
	Dwell          bool     `toml:"dwell,omitempty" hash:"-"`
	Blend          bool     `toml:"blend,omitempty"`
	End            string   `toml:"end,omitempty"`
	Comments       string   `toml:"comments,omitempty"`
	LineNumbers    bool     `toml:"line_numbers,omitempty"`
	CRLF           bool     `toml:"crlf,omitempty"`
	WaitUnit       string   `toml:"wait_unit,omitempty"`
	RepeatWords    bool     `toml:"repeat_words,omitempty"`
	StartLines     []string `toml:"start_lines,omitempty"`
	EndLines       []string `toml:"end_lines,omitempty"`
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

// Corrects reports that the profile of a galvo corrects its field: by a measured grid, or
// by a scale, a turn or an offset.
func (p Profile) Corrects() bool {
	g := p.Galvo
	return g != nil && (len(g.Samples) > 0 || g.FieldScale != [2]float64{} || g.FieldRotateDegrees != 0 ||
		g.FieldOffsetMM != [2]float64{})
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
