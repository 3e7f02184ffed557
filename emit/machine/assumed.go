package machine

import (
	"slices"
	"strings"
)

// Guess is a value of a profile that no plate or manual tells, and that may be left
// out. It then has a default by kind, and is assumed wherever a time rests on it.
// Defaults and ranges are common practice, no source.
type Guess struct {
	Key      string                  // "gantry.accel_mm_s2"
	What     string                  // "acceleration"
	Default  func(Profile) []float64 // for X and Y, or one
	Rule     string                  // says how a default comes from other values of the profile
	Word     string                  // the default of a value that is a word, in place of numbers
	SlowWord string                  // of a word: that of a machine that takes longer
	Slow     float64                 // factors on the value at the ends of what is plausible: a machine
	Fast     float64                 // that takes longest, and the quickest; 0 where no time rests on it
	Find     string                  // how it is found
	at       func(*Profile) []*float64
	word     func(*Profile) *string
}

func (g Guess) by(rule string) Guess {
	g.Rule = rule
	return g
}

func (g Guess) plausible(slow, fast float64) Guess {
	g.Slow, g.Fast = slow, fast
	return g
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
	p.Guessed = nil
	for _, g := range p.guesses() {
		if has(g.Key) {
			continue
		}
		p = p.copied()
		if g.word != nil {
			*g.word(&p) = g.Word
		} else {
			first := g.Default(p)
			for i, v := range g.at(&p) {
				*v = first[i]
			}
		}
		p.Guessed = append(p.Guessed, g.Key)
	}
	return p
}

// guesses are those that the profile has a place for: a lag stands in for all delays,
// and a source that is not pulsed has no pulses.
func (p Profile) guesses() []Guess {
	lag := p.Galvo != nil && p.Galvo.TrackingLagUS > 0
	return slices.DeleteFunc(guesses(p.Kind), func(g Guess) bool {
		section, key, _ := strings.Cut(g.Key, ".")
		switch section {
		case "gantry":
			return p.Gantry == nil
		case "galvo":
			return p.Galvo == nil || lag && (strings.HasSuffix(key, "_us") || key == "short_jump_mm")
		case "gcode":
			return p.GCode == nil
		}
		return strings.Contains(key, "pulse") && (!p.Laser.Pulsed() || p.Laser.FrequencyKHz[0] == 0)
	})
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
	if p.GCode != nil {
		g := *p.GCode
		p.GCode = &g
	}
	return p
}

// invented returns an example, of which nothing was ever measured.
func (p Profile) invented() Profile {
	for _, g := range p.guesses() {
		p.Guessed = append(p.Guessed, g.Key)
	}
	return p
}

// Assumed lists what nobody measured, what matters most first.
func (p Profile) Assumed() []Guess {
	return slices.DeleteFunc(p.guesses(), func(g Guess) bool { return !slices.Contains(p.Guessed, g.Key) })
}

// Moves reports that times rest on the value.
func (g Guess) Moves() bool { return g.Slow != g.Fast || g.SlowWord != "" }

// Text returns the word that the profile takes for it, where it is one.
func (g Guess) Text(p Profile) (string, bool) {
	if g.word == nil {
		return "", false
	}
	return *g.word(&p), true
}

// Value returns the numbers that the profile takes for it; none for a word.
func (g Guess) Value(p Profile) (all []float64) {
	if g.word != nil {
		return nil
	}
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
	for _, g := range p.guesses() {
		if g.SlowWord != "" && slices.Contains(p.Guessed, g.Key) {
			*g.word(&slow), ok = g.SlowWord, true
		}
		if g.Slow == g.Fast {
			continue
		}
		s, f := 1.0, 1.0
		if slices.Contains(p.Guessed, g.Key) {
			s, f = g.Slow, g.Fast
		} else if i := slices.IndexFunc(p.Measured, func(m Measured) bool { return m.Key == g.Key }); i >= 0 {
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
		if g.Key == key && g.at != nil {
			for i, v := range g.at(&p) {
				*v = values[min(i, len(values)-1)]
			}
		}
	}
	return p
}
