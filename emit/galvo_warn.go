package emit

import (
	"fmt"
	"furrow/emit/machine"
	"slices"
)

// DelayWarnings says which delays of the moves a scanner can't like: they are
// the same for all settings as a rule, and then said once.
func (m Moves) DelayWarnings() []string {
	var w []string
	if m.Header.Stepped {
		return nil // which are there to be seen
	}
	for _, s := range m.Scanner {
		for _, text := range s.Warnings() {
			if !slices.Contains(w, text) {
				w = append(w, text)
			}
		}
	}
	return w
}

// LagNote says which delays were derived from the profile's tracking lag, for
// each speed; it is empty where the profile gives the delays.
func LagNote(m Moves, p machine.Profile) []string {
	if !p.IsGalvo() || p.Galvo.TrackingLagUS == 0 {
		return nil
	}
	var notes []string
	for i, s := range m.Scanner {
		n := fmt.Sprintf("at %g mm/s, derived from a tracking lag of %g us: "+
			"laser on %d, off %d, mark %d, corner %d, jump %d (%d to %.3g mm) us",
			m.Settings[i].SpeedMMPerS, p.Galvo.TrackingLagUS, s.OnUS, s.OffUS, s.MarkUS, s.CornerUS,
			s.JumpUS, s.ShortJumpUS, float64(s.ShortJumpSteps)/machine.GalvoStepsPerMM)
		if !slices.Contains(notes, n) {
			notes = append(notes, n)
		}
	}
	return notes
}
