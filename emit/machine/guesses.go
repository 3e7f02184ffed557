package machine

const (
	byTune     = "furrow tune --stopwatch"
	byStagger  = "furrow help stagger"
	byDelays   = "furrow swatch delays"
	byRowsEnds = "by rows whose ends are even"
)

// guesses are those of a kind of machine, what matters most first.
func guesses(kind string) []Guess {
	spot := Guess{Key: "laser.spot_mm", What: "spot", Default: both(0.1), Find: "furrow swatch width",
		at: func(p *Profile) []*float64 { return pair(&p.Laser.SpotMM) }}
	all := gantryGuesses()
	if kind == KindGalvo {
		spot.Default = both(0.05)
		all = galvoGuesses()
	}
	return append(append(all, spot), sourceGuesses()...)
}

// both is the same number for X and Y.
func both(v float64) func(Profile) []float64 { return number(v, v) }

func number(v ...float64) func(Profile) []float64 { return func(Profile) []float64 { return v } }

func pair(v *[2]float64) []*float64 { return []*float64{&v[0], &v[1]} }

func gantryGuesses() []Guess {
	g := func(key, what, find string, first func(Profile) []float64, at func(*Gantry) []*float64) Guess {
		return Guess{Key: "gantry." + key, What: what, Default: first, Find: find,
			at: func(p *Profile) []*float64 { return at(p.Gantry) }}
	}
	return []Guess{
		g("accel_mm_s2", "acceleration", byTune, both(1000),
			func(g *Gantry) []*float64 { return pair(&g.AccelMMPerS2) }).plausible(0.5, 3),
		g("corner_error_mm", "corner error", byTune, number(0.02),
			func(g *Gantry) []*float64 { return []*float64{&g.CornerErrorMM} }).plausible(0.5, 2.5),
		g("rapid_mm_s", "travel speed", "a travel move along the whole bed, by a watch", slowerAxis,
			func(g *Gantry) []*float64 { return []*float64{&g.RapidMMPerS} }).
			plausible(0.5, 1).by("the greatest speed of the slower axis"),
		{Key: "gantry.travel_junction", What: "stop where travel meets marking", Word: JunctionCorner,
			SlowWord: JunctionRest,
			Find:     byTune, word: func(p *Profile) *string { return &p.Gantry.TravelJunction }},
		g("overtravel_margin_mm", "overtravel margin", byRowsEnds, number(0.5),
			func(g *Gantry) []*float64 { return []*float64{&g.OvertravelMarginMM} }),
		g("beam_on_latency_us", "beam-on latency", byStagger, number(0),
			func(g *Gantry) []*float64 { return []*float64{&g.BeamOnLatencyUS} }),
		g("beam_off_latency_us", "beam-off latency", byStagger, number(0),
			func(g *Gantry) []*float64 { return []*float64{&g.BeamOffLatencyUS} }),
		{Key: "gantry.zero", What: "where X0 Y0 is", Word: ZeroByHand,
			Find: "by-hand where you set it on the blank, bed where it is fixed",
			word: func(p *Profile) *string { return &p.Gantry.Zero }},
	}
}

// slowerAxis is the speed of the slower axis.
func slowerAxis(p Profile) []float64 {
	return []float64{min(p.Gantry.MaxSpeedMMPerS[0], p.Gantry.MaxSpeedMMPerS[1])}
}

func galvoGuesses() []Guess {
	g := func(key, what, find string, first, slow, fast float64, at func(*Galvo) *float64) Guess {
		return Guess{Key: "galvo." + key, What: what, Default: number(first), Find: find,
			at: func(p *Profile) []*float64 { return []*float64{at(p.Galvo)} }}.plausible(slow, fast)
	}
	return []Guess{
		g("jump_delay_us", "jump delay", byTune, 250, 2, 0.4, func(g *Galvo) *float64 { return &g.JumpDelayUS }),
		g("mark_delay_us", "mark delay", byTune, 120, 2, 0.5, func(g *Galvo) *float64 { return &g.MarkDelayUS }),
		g("jump_speed_mm_s", "jump speed", byTune, 3000, 0.5, 2, func(g *Galvo) *float64 { return &g.JumpSpeedMMPerS }),
		g("corner_delay_us", "corner delay", byTune, 40, 2, 0.5, func(g *Galvo) *float64 { return &g.CornerDelayUS }),
		g("short_jump_delay_us", "short jump delay", byTune, 60, 2, 0.4,
			func(g *Galvo) *float64 { return &g.ShortJumpDelayUS }),
		g("short_jump_mm", "short jump", "short jumps of rising length, by their marks", 2, 0.5, 2,
			func(g *Galvo) *float64 { return &g.ShortJumpMM }),
		g("laser_on_delay_us", "laser-on delay", byDelays, 100, 1, 1, func(g *Galvo) *float64 {
			return &g.LaserOnDelayUS
		}),
		g("laser_off_delay_us", "laser-off delay", byDelays, 120, 1, 1,
			func(g *Galvo) *float64 { return &g.LaserOffDelayUS }),
	}
}

// sourceGuesses are of a pulsed source, and of what a controller takes for its power.
func sourceGuesses() []Guess {
	return []Guess{
		{Key: "laser.pulse_ns", What: "pulse length", Default: number(100), Find: "the source's data sheet",
			at: func(p *Profile) []*float64 { return []*float64{&p.Laser.PulseNS} }},
		{Key: "laser.max_pulse_energy_mj", What: "pulse energy", Default: fullPowerAtLowest,
			Find: "the source's data sheet",
			Rule: "rated power at the lowest frequency",
			at:   func(p *Profile) []*float64 { return []*float64{&p.Laser.MaxPulseEnergyMJ} }},
		{Key: "gcode.power_word_max", What: "power word at full power", Default: number(1000),
			Find: "the controller's setting: a wrong one marks with another power",
			at:   func(p *Profile) []*float64 { return []*float64{&p.GCode.PowerWordMax} }},
		{Key: "gcode.power_mode", What: "power while the speed changes", Word: PowerSteady,
			Find: "the controller's manual",
			word: func(p *Profile) *string { return &p.GCode.PowerMode }},
	}
}

// fullPowerAtLowest is the energy of a pulse at full power and the lowest frequency: W
// over kHz are mJ.
func fullPowerAtLowest(p Profile) []float64 {
	return []float64{p.Laser.RatedPowerW / p.Laser.FrequencyKHz[0]}
}
