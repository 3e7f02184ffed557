package machine

import (
	"slices"
	"strings"
)

// Guess is a value of a profile that no plate or manual tells, and that may be left
// out. It then has a default by kind, and is assumed wherever a time rests on it.
// Defaults and ranges are common practice, no source.
type Guess struct {
	Key     string    // "gantry.accel_mm_s2"
	What    string    // "acceleration"
	Default []float64 // for X and Y, or one
	Slow    float64   // factors on the value at the ends of what is plausible: a machine
	Fast    float64   // that takes longest, and the quickest; 1 where no time rests on it
	Find    string    // how it is found
	at      func(*Profile) []*float64
}

func pair(v *[2]float64) []*float64 { return []*float64{&v[0], &v[1]} }

const byTune = "furrow tune --stopwatch"

// guesses are those of a kind of machine, what matters most first.
func guesses(kind string) []Guess {
	spot := Guess{"laser.spot_mm", "spot", []float64{0.1, 0.1}, 1, 1, "furrow swatch width",
		func(p *Profile) []*float64 { return pair(&p.Laser.SpotMM) }}
	if kind == KindGalvo {
		spot.Default = []float64{0.05, 0.05}
		return append(galvoGuesses, spot)
	}
	return append(gantryGuesses, spot)
}

var gantryGuesses = []Guess{
	{"gantry.accel_mm_s2", "acceleration", []float64{1000, 1000}, 0.5, 3, byTune,
		func(p *Profile) []*float64 { return pair(&p.Gantry.AccelMMPerS2) }},
	{"gantry.corner_error_mm", "corner error", []float64{0.02}, 0.5, 2.5, byTune,
		func(p *Profile) []*float64 { return []*float64{&p.Gantry.CornerErrorMM} }},
	{"gantry.rapid_mm_s", "travel speed", nil, 0.5, 1, "a travel move along the whole bed, by a watch",
		func(p *Profile) []*float64 { return []*float64{&p.Gantry.RapidMMPerS} }},
	{"gantry.overtravel_margin_mm", "overtravel margin", []float64{0.5}, 1, 1, "by rows whose ends are even",
		func(p *Profile) []*float64 { return []*float64{&p.Gantry.OvertravelMarginMM} }},
	{"gantry.beam_on_latency_us", "beam-on latency", []float64{0}, 1, 1, "furrow help stagger",
		func(p *Profile) []*float64 { return []*float64{&p.Gantry.BeamOnLatencyUS} }},
	{"gantry.beam_off_latency_us", "beam-off latency", []float64{0}, 1, 1, "furrow help stagger",
		func(p *Profile) []*float64 { return []*float64{&p.Gantry.BeamOffLatencyUS} }},
}

var galvoGuesses = []Guess{
	{"galvo.jump_delay_us", "jump delay", []float64{250}, 2, 0.4, byTune,
		func(p *Profile) []*float64 { return []*float64{&p.Galvo.JumpDelayUS} }},
	{"galvo.mark_delay_us", "mark delay", []float64{120}, 2, 0.5, byTune,
		func(p *Profile) []*float64 { return []*float64{&p.Galvo.MarkDelayUS} }},
	{"galvo.jump_speed_mm_s", "jump speed", []float64{3000}, 0.5, 2, byTune,
		func(p *Profile) []*float64 { return []*float64{&p.Galvo.JumpSpeedMMPerS} }},
	{"galvo.corner_delay_us", "corner delay", []float64{40}, 2, 0.5, byTune,
		func(p *Profile) []*float64 { return []*float64{&p.Galvo.CornerDelayUS} }},
	{"galvo.short_jump_delay_us", "short jump delay", []float64{60}, 2, 0.4, byTune,
		func(p *Profile) []*float64 { return []*float64{&p.Galvo.ShortJumpDelayUS} }},
	{"galvo.short_jump_mm", "short jump", []float64{2}, 1, 1, "short jumps of rising length, by their marks",
		func(p *Profile) []*float64 { return []*float64{&p.Galvo.ShortJumpMM} }},
	{"galvo.laser_on_delay_us", "laser-on delay", []float64{100}, 1, 1, "furrow swatch delays",
		func(p *Profile) []*float64 { return []*float64{&p.Galvo.LaserOnDelayUS} }},
	{"galvo.laser_off_delay_us", "laser-off delay", []float64{120}, 1, 1, "furrow swatch delays",
		func(p *Profile) []*float64 { return []*float64{&p.Galvo.LaserOffDelayUS} }},
}

// Measured says how well a value is known that was fitted to measured runs.
type Measured struct {
	Key     string  `toml:"key" comment:"of the profile"`
	Date    string  `toml:"date" comment:"of the fit"`
	Percent float64 `toml:"plus_minus_percent" comment:"how far the value may be off, by the runs it was fitted to"`
}

// Complete returns the profile with what its file leaves out in place: has says
// which keys stand there.
func (p Profile) Complete(has func(key string) bool) Profile {
	lag := p.Galvo != nil && p.Galvo.TrackingLagUS > 0
	p.Guessed = nil
	for _, g := range guesses(p.Kind) {
		section, _, _ := strings.Cut(g.Key, ".")
		switch {
		case has(g.Key), !p.holds(section), lag && strings.HasSuffix(g.Key, "_us"), lag && g.Key == "galvo.short_jump_mm":
			continue
		}
		p = p.copied()
		for i, v := range g.at(&p) {
			if g.Default == nil {
				*v = min(p.Gantry.MaxSpeedMMPerS[0], p.Gantry.MaxSpeedMMPerS[1])
			} else {
				*v = g.Default[i]
			}
		}
		p.Guessed = append(p.Guessed, g.Key)
	}
	return p
}

// holds reports that the profile has a section.
func (p Profile) holds(section string) bool {
	return section == "laser" || section == "gantry" && p.Gantry != nil || section == "galvo" && p.Galvo != nil
}

// copied returns the profile with sections of its own.
func (p Profile) copied() Profile {
	if p.Gantry != nil {
		g := *p.Gantry
		p.Gantry = &g
	}
	if p.Galvo != nil {
		g := *p.Galvo
		p.Galvo = &g
	}
	return p
}

// invented returns an example, of which nothing was ever measured.
func (p Profile) invented() Profile {
	for _, g := range guesses(p.Kind) {
		p.Guessed = append(p.Guessed, g.Key)
	}
	return p
}

// Assumed lists what nobody measured, what matters most first.
func (p Profile) Assumed() []Guess {
	return slices.DeleteFunc(slices.Clone(guesses(p.Kind)), func(g Guess) bool { return !slices.Contains(p.Guessed, g.Key) })
}

// Moves reports that times rest on the value.
func (g Guess) Moves() bool { return g.Slow != g.Fast }

// Value returns what the profile takes for it.
func (g Guess) Value(p Profile) (all []float64) {
	p = p.copied()
	for _, v := range g.at(&p) {
		all = append(all, *v)
	}
	return all
}

// Ends returns the slowest and the quickest machine that the profile may stand for, by
// what is assumed and by how well the rest was measured; ok is false where nothing is
// known of that.
func (p Profile) Ends() (slow, fast Profile, ok bool) {
	slow, fast = p.copied(), p.copied()
	for _, g := range guesses(p.Kind) {
		s, f := 1.0, 1.0
		if slices.Contains(p.Guessed, g.Key) {
			s, f = g.Slow, g.Fast
		} else if i := slices.IndexFunc(p.Measured, func(m Measured) bool { return m.Key == g.Key }); i >= 0 && g.Moves() {
			s, f = 1-p.Measured[i].Percent/100, 1+p.Measured[i].Percent/100
			if g.Slow > 1 {
				s, f = f, s
			}
		}
		if s == f {
			continue
		}
		ok = true
		scale(g.at(&slow), s)
		scale(g.at(&fast), f)
	}
	if p.Gantry != nil && p.Gantry.TravelJunction == "" && slices.Contains(p.Guessed, "gantry.accel_mm_s2") {
		slow.Gantry.TravelJunction = JunctionRest
	}
	return slow, fast, ok
}

func scale(all []*float64, by float64) {
	for _, v := range all {
		*v *= by
	}
}

// With returns the profile with other numbers for a key that may be guessed.
func (p Profile) With(key string, values ...float64) Profile {
	p = p.copied()
	for _, g := range guesses(p.Kind) {
		if g.Key == key {
			for i, v := range g.at(&p) {
				*v = values[min(i, len(values)-1)]
			}
		}
	}
	return p
}

// Guesses lists every key that may be left out for a kind of machine.
func Guesses(kind string) []Guess { return guesses(kind) }
