package emit

// Profile is what one machine can do. The tags are the keys of a profile file
// and the comments it is written with; reading one is the command's business.
type Profile struct {
	Furrow int    `toml:"furrow" comment:"version of this file's form"`
	ID     string `toml:"id" comment:"short name for --machine: lower-case letters, digits and hyphens"`
	Name   string `toml:"name" comment:"what you call the machine"`
	Kind   string `toml:"kind" comment:"gantry (a head on belts) or galvo (two mirrors)"`

	Gantry *Gantry `toml:"gantry,omitempty"`
	Galvo  *Galvo  `toml:"galvo,omitempty"`
	Laser  Laser   `toml:"laser"`
	GCode  *GCode  `toml:"gcode,omitempty"`
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

// How the beam's power behaves while the head speeds up and slows down.
const (
	PowerSteady         = "steady"          // M3
	PowerSpeedFollowing = "speed-following" // M4
)

// Gantry is the motion of a head on belts or screws.
type Gantry struct {
	BedMM              [2]float64 `toml:"bed_mm" comment:"reach of the head in X and Y, mm (manual)"`
	Zero               string     `toml:"zero" comment:"by-hand: X0 Y0 is set on the blank; bed: X0 Y0 is fixed, see origin_mm"`
	OriginMM           [2]float64 `toml:"origin_mm,omitempty" comment:"with zero = bed: where X0 Y0 is, from the lower-left corner of the bed, mm"`
	MaxSpeedMMPerS     [2]float64 `toml:"max_speed_mm_s" comment:"greatest speed in X and Y, mm/s (controller setting)"`
	AccelMMPerS2       [2]float64 `toml:"accel_mm_s2" comment:"acceleration in X and Y, mm/s2 (controller setting)"`
	RapidMMPerS        float64    `toml:"rapid_mm_s" comment:"speed of a travel move (G0), mm/s (controller setting)"`
	CornerErrorMM      float64    `toml:"corner_error_mm" comment:"how far a corner may be cut; sets the speed through corners, mm (controller setting)"`
	OvertravelMarginMM float64    `toml:"overtravel_margin_mm" comment:"extra run-up and run-out beside each row, mm"`
	BeamOnLatencyUS    float64    `toml:"beam_on_latency_us" comment:"from the command to the beam being on, microseconds (measured)"`
	BeamOffLatencyUS   float64    `toml:"beam_off_latency_us" comment:"from the command to the beam being off, microseconds (measured)"`
}

// Galvo is the motion of a scanner with two mirrors.
type Galvo struct {
	FieldMM          [2]float64 `toml:"field_mm" comment:"what the lens reaches in X and Y, mm (manual)"`
	MaxSpeedMMPerS   float64    `toml:"max_speed_mm_s" comment:"greatest marking speed, mm/s"`
	JumpSpeedMMPerS  float64    `toml:"jump_speed_mm_s" comment:"speed of a jump, mm/s"`
	JumpDelayUS      float64    `toml:"jump_delay_us" comment:"settling wait after a long jump, microseconds"`
	ShortJumpDelayUS float64    `toml:"short_jump_delay_us" comment:"settling wait after a jump of no length, microseconds"`
	ShortJumpMM      float64    `toml:"short_jump_mm" comment:"length from which a jump needs the whole jump delay, mm"`
	MarkDelayUS      float64    `toml:"mark_delay_us" comment:"wait at the end of a chain of marks, microseconds"`
	CornerDelayUS    float64    `toml:"corner_delay_us" comment:"wait at a reversal inside a chain; less at a lesser turn, microseconds"`
	LaserOnDelayUS   float64    `toml:"laser_on_delay_us" comment:"gate opens this long after a mark is commanded, may be negative, microseconds"`
	LaserOffDelayUS  float64    `toml:"laser_off_delay_us" comment:"gate closes this long after a mark's commanded end, microseconds"`
}

// Laser is the source and its spot.
type Laser struct {
	WavelengthNM     float64     `toml:"wavelength_nm" comment:"wavelength, nm (plate on the source)"`
	RatedPowerW      float64     `toml:"rated_power_w" comment:"mean power at 100 percent, W"`
	SpotMM           [2]float64  `toml:"spot_mm" comment:"width of the spot in X and Y, mm (measured)"`
	FrequencyKHz     *[2]float64 `toml:"frequency_khz,omitempty" comment:"of a pulsed source: lowest and highest pulse frequency, kHz"`
	PulseNS          float64     `toml:"pulse_ns,omitempty" comment:"of a pulsed source: pulse length, ns"`
	MaxPulseEnergyMJ float64     `toml:"max_pulse_energy_mj,omitempty" comment:"of a pulsed source: most energy in one pulse, mJ"`
}

// Pulsed reports that the source works in pulses of a set frequency.
func (l Laser) Pulsed() bool { return l.FrequencyKHz != nil }

// GCode is what the controller of a gantry understands.
type GCode struct {
	PowerWordMax  float64 `toml:"power_word_max" comment:"S word at 100 percent power (controller setting)"`
	PowerMode     string  `toml:"power_mode" comment:"steady (M3), or speed-following (M4) where the controller scales power with speed"`
	LinkBytesPerS float64 `toml:"link_bytes_per_s,omitempty" comment:"what the serial link carries, bytes/s"`
	MovesPerS     float64 `toml:"moves_per_s,omitempty" comment:"what the controller's planner takes, moves/s"`
}
