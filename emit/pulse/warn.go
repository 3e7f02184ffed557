package pulse

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"furrow/emit/machine"
	"furrow/path"
)

// Warnings says in what a setting is odd for its source: pulses or lines that
// part, and pulses that cannot carry the power asked for. What the machine does
// not have at all is OutOfRange. markMM is the measured width of a mark, or 0 to take the
// spot for it, and degrees are the angles of the rows, as in Of.
func Warnings(s path.Setting, l machine.Laser, markMM float64, degrees ...float64) []string {
	var w []string
	f := Of(s, l, 1, degrees...)
	along, across := spotOf(l, degrees)
	if f.PerMM > 0 && f.Overlap < 0 {
		w = append(w, fmt.Sprintf("pulses do not touch: at %s mm/s and %s kHz they are %s mm apart, and the spot is "+
			"%s mm wide",
			num(s.SpeedMMPerS), num(s.FrequencyHz/1e3), num(1/f.PerMM), num(along)))
	}
	name := "a mark"
	if markMM == 0 {
		name, markMM = "the spot", across
	}
	if s.SpacingMM > markMM {
		w = append(w, fmt.Sprintf("lines do not touch: they are %s mm apart, and %s is %s mm wide",
			num(s.SpacingMM), name, num(markMM)))
	}
	if f.Limited {
		w = append(w, fmt.Sprintf("mean power is %s W and not the %s W asked for: "+
			"at %s kHz a pulse carries no more than %s mJ",
			num(f.MeanPowerW), num(l.Watts(s.Power)), num(s.FrequencyHz/1e3), num(f.EnergyMJ)))
	}
	return w
}

// Lack is a value of a setting that a machine does not have, and which one it does.
type Lack struct {
	Key  string // "frequency", "pulse", "power" or "speed", as in a setting of a mark-vector list
	Text string
	Use  string // what it has: "30kHz to 100kHz"; "" where it has none
}

func (l Lack) String() string { return l.Text }

// OutOfRange says which values of a setting a galvo does not have: frequency and
// pulse length that its source does not make, a power at which it does not fire,
// a speed that its scanner cannot follow.
func OutOfRange(s path.Setting, p machine.Profile) []Lack {
	l, all := p.Laser, pulsesOutOfRange(s, p.Laser)
	if s.Power > 0 && s.Power < l.FloorPercent/100 {
		all = append(all, Lack{Key: "power", Use: num(l.FloorPercent) + " or more",
			Text: fmt.Sprintf("power %s %% is below the source's least, %s %%", num(100*s.Power), num(l.FloorPercent))})
	}
	if p.IsGalvo() && s.SpeedMMPerS > p.Galvo.MaxSpeedMMPerS {
		all = append(all, Lack{Key: "speed", Use: num(p.Galvo.MaxSpeedMMPerS) + " or less",
			Text: fmt.Sprintf("speed %s mm/s is above the scanner's most, %s mm/s", num(s.SpeedMMPerS),
				num(p.Galvo.MaxSpeedMMPerS))})
	}
	return all
}

func pulsesOutOfRange(s path.Setting, l machine.Laser) (all []Lack) {
	if !l.Pulsed() {
		if s.FrequencyHz > 0 {
			return []Lack{{Key: "frequency", Text: fmt.Sprintf("frequency %s kHz is set, and the source is continuous",
				num(s.FrequencyHz/1e3))}}
		}
		return nil
	}
	r := *l.FrequencyKHz
	if f := s.FrequencyHz / 1e3; !(f >= r[0] && f <= r[1]) {
		all = append(all, Lack{Key: "frequency", Use: num(r[0]) + "kHz to " + num(r[1]) + "kHz",
			Text: fmt.Sprintf("frequency %s kHz is outside the source's range, %s to %s kHz", num(f), num(r[0]), num(r[1]))})
	}
	if s.PulseNS > 0 && !l.HasPulse(s.PulseNS) {
		all = append(all, Lack{Key: "pulse", Use: Lengths(l),
			Text: fmt.Sprintf("pulse length %s ns is none of the source's: %s", num(s.PulseNS), Lengths(l))})
	}
	return all
}

// Lengths lists the pulse lengths of a source, for people.
func Lengths(l machine.Laser) string {
	if len(l.PulseTable) == 0 {
		return num(l.PulseNS) + " ns"
	}
	var s []string
	for _, c := range l.PulseTable {
		s = append(s, num(c[0]))
	}
	return strings.Join(s, ", ") + " ns"
}

// num writes a number with at most four digits behind the point.
func num(v float64) string {
	return strconv.FormatFloat(math.Round(v*1e4)/1e4, 'f', -1, 64)
}
