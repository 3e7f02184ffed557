package emit

import (
	"fmt"
	"slices"
)

// DelayWarnings says which delays of the moves a scanner can't like: they are
// the same for all settings as a rule, and then said once.
func (m Moves) DelayWarnings() []string {
	var w []string
	for _, s := range m.Scanner {
		for _, text := range s.warnings() {
			if !slices.Contains(w, text) {
				w = append(w, text)
			}
		}
	}
	return w
}

func (s Scanner) warnings() []string {
	var w []string
	if s.OffUS < s.OnUS {
		w = append(w, fmt.Sprintf("laser-off delay of %d us is below the laser-on delay of %d us: every mark is shorter than drawn, and short ones vanish", s.OffUS, s.OnUS))
	}
	if s.MarkUS < s.OffUS-s.OnUS {
		w = append(w, fmt.Sprintf("mark delay of %d us is below laser-off less laser-on delay, %d us: the next jump starts while the beam is on, and ends of marks bend", s.MarkUS, s.OffUS-s.OnUS))
	}
	if s.ShortJumpUS > s.JumpUS {
		w = append(w, fmt.Sprintf("a short jump waits longer, %d us, than a long one, %d us", s.ShortJumpUS, s.JumpUS))
	}
	return w
}

// LagNote says which delays were derived from the profile's tracking lag, for
// each speed; it is empty where the profile gives the delays.
func LagNote(m Moves, p Profile) []string {
	if p.Galvo == nil || p.Galvo.TrackingLagUS == 0 {
		return nil
	}
	var notes []string
	for i, s := range m.Scanner {
		n := fmt.Sprintf("at %g mm/s, derived from a tracking lag of %g us: laser on %d, off %d, mark %d, corner %d, jump %d (%d to %.3g mm) us",
			m.Settings[i].SpeedMMPerS, p.Galvo.TrackingLagUS, s.OnUS, s.OffUS, s.MarkUS, s.CornerUS,
			s.JumpUS, s.ShortJumpUS, float64(s.ShortJumpSteps)/GalvoStepsPerMM)
		if !slices.Contains(notes, n) {
			notes = append(notes, n)
		}
	}
	return notes
}
