package machine

import (
	"fmt"
	"math"
	"strconv"

	"furrow/path"
)

// Rounded returns a setting as the machine's file says it: on the grid of its
// format and, for a pulsed source, with the source's own pulse length where the
// setting names none. What would round to nothing is left, for Plan to refuse.
func (p Profile) Rounded(s path.Setting) path.Setting {
	if !p.TakesList() {
		return p.Controller().Grid().Settings([]path.Setting{s})[0]
	}
	if s.FrequencyHz == 0 {
		s.PulseNS = 0
	} else if s.PulseNS == 0 {
		s.PulseNS = p.Laser.PulseNS
	}
	s.SpeedMMPerS, s.FrequencyHz, s.PulseNS = nearest(s.SpeedMMPerS, 1), nearest(s.FrequencyHz, 1),
		nearest(s.PulseNS, 1)
	s.Power = nearest(s.Power, 10000)
	return s
}

// nearest rounds v to whole steps, unless that is none at all.
func nearest(v, stepsInOne float64) float64 {
	if r := math.Round(v * stepsInOne); r != 0 {
		return r / stepsInOne
	}
	return v
}

// The share of the value asked for from which its rounding is told: for a list
// as good as all, for an S word a hundredth, since a controller that takes S
// from 0 to 255 rounds nearly every percentage.
const (
	worthTellingInList = 1e-9
	worthTellingInS    = 0.01
)

// RoundingNotes says where the file cannot hold what a setting asks for, and
// what it holds in its place.
func (p Profile) RoundingNotes(asked path.Setting) []string {
	got := p.Rounded(asked)
	var notes []string
	note := func(from, to, least float64, what, unit, grid string) {
		if from > 0 && math.Abs(to/from-1) > least {
			notes = append(notes, fmt.Sprintf("%s %s %s becomes %s %s: the file holds %s",
				what, brief(from), unit, brief(to), unit, grid))
		}
	}
	if !p.TakesList() {
		g := p.Controller()
		note(100*asked.Power, 100*got.Power, worthTellingInS, "power", "percent",
			fmt.Sprintf("%s from 0 to %g with %d decimals", g.powerName(), g.FullS(), g.PowerDecimals))
		return notes
	}
	note(asked.SpeedMMPerS, got.SpeedMMPerS, worthTellingInList, "speed", "mm/s", "whole mm/s")
	note(100*asked.Power, 100*got.Power, worthTellingInList, "power", "percent", "hundredths of a percent")
	note(asked.FrequencyHz/1e3, got.FrequencyHz/1e3, worthTellingInList, "frequency", "kHz", "whole Hz")
	note(asked.PulseNS, got.PulseNS, worthTellingInList, "pulse length", "ns", "whole ns")
	return notes
}

func brief(v float64) string { return strconv.FormatFloat(v, 'g', 7, 64) }
