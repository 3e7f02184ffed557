package machine

import (
	"fmt"
	"math"
	"time"

	"furrow/path"
)

// GalvoStepsPerMM is the grid of a mark-vector list: a step is 0.1 µm.
const GalvoStepsPerMM = 10000

// Scanner is how a galvo moves and gates its beam in one setting, in the whole
// numbers of the file, so that the time follows from the file alone.
type Scanner struct {
	JumpMMPerS     int64
	OnUS           int64 // the gate opens this long after the start of a mark; may be negative
	OffUS          int64 // and closes this long after its end
	JumpUS         int64 // wait after a jump
	ShortJumpUS    int64 // wait after a jump of no length
	ShortJumpSteps int64 // length from which a jump needs the whole JumpUS
	MarkUS         int64 // wait at the end of a chain
	CornerUS       int64 // wait at a reversal inside a chain
}

// JumpWait returns the wait after a jump of the given length in steps.
func (s Scanner) JumpWait(steps float64) time.Duration {
	us := float64(s.JumpUS)
	if full := float64(s.ShortJumpSteps); steps < full {
		us = float64(s.ShortJumpUS) + float64((us-float64(s.ShortJumpUS))*steps)/full
	}
	return time.Duration(math.Round(us * 1000))
}

// cosCorner is the cosine of 15 degrees, the turn from which a corner waits.
var cosCorner = math.Cos(15 * math.Pi / 180)

// CornerWait returns the wait between two records of a chain that turn by an
// angle with the given cosine: none below 15 degrees, all of it at a reversal.
func (s Scanner) CornerWait(cos float64) time.Duration {
	if cos > cosCorner {
		return 0
	}
	return time.Duration(math.Round(float64(s.CornerUS) * 500 * (1 - cos)))
}

// GateCloses reports that the gate has closed behind one mark before it opens
// for the next, with a gap between them that is crossed at a speed of mm/s.
func (s Scanner) GateCloses(gapMM, mmPerS float64) bool {
	return gapMM > float64(s.OffUS-s.OnUS)*1e-6*mmPerS
}

// Scanners returns the scanner's side of each setting.
func (p Profile) Scanners(settings []path.Setting) []Scanner {
	scanners := make([]Scanner, len(settings))
	for i, s := range settings {
		if i > 0 && s.SpeedMMPerS == settings[i-1].SpeedMMPerS {
			scanners[i] = scanners[i-1] // nothing else decides it, and deriving it takes time
		} else {
			scanners[i] = p.Scanner(s)
		}
	}
	return scanners
}

// CheckListSettings refuses settings that a list cannot hold.
func CheckListSettings(settings []path.Setting) error {
	for _, s := range settings {
		if err := checkGalvoSetting(s); err != nil {
			return fmt.Errorf("setting %q: %w", s.Name, err)
		}
	}
	return nil
}

// mostInFile is the greatest number a mark-vector list holds: nine digits.
const mostInFile = 999999999

func checkGalvoSetting(s path.Setting) error {
	switch {
	case !(s.SpeedMMPerS >= 1 && s.SpeedMMPerS <= mostInFile):
		return fmt.Errorf("speed %g mm/s: a mark-vector list holds whole mm/s from 1 up", s.SpeedMMPerS)
	case !(s.Power >= 0 && s.Power <= 1):
		return fmt.Errorf("power %g is not a fraction of full", s.Power)
	case s.Power != 0 && s.Power < 0.0001:
		return fmt.Errorf("power %g percent: a mark-vector list holds hundredths of a percent from 0.01 up",
			100*s.Power)
	case s.FrequencyHz != 0 && !(s.FrequencyHz >= 1 && s.FrequencyHz <= mostInFile):
		return fmt.Errorf("frequency %g Hz: a mark-vector list holds whole Hz from 1 up", s.FrequencyHz)
	case s.FrequencyHz > 0 && !(s.PulseNS >= 1 && s.PulseNS <= mostInFile):
		return fmt.Errorf("a pulsed source needs a pulse length of 1 ns or more, in the setting or the profile")
	}
	return nil
}

// Scanner returns the delays and the jump speed for a setting, rounded to the
// file's units: the profile's, or those that follow from its tracking lag.
func (p Profile) Scanner(s path.Setting) Scanner {
	g, c := p.Galvo, Scanner{}
	if g.TrackingLagUS > 0 {
		c = g.lagDelays(s.SpeedMMPerS, min(p.Laser.SpotMM[0], p.Laser.SpotMM[1]))
	} else {
		c = g.delays()
	}
	c.JumpMMPerS = max(1, whole(g.JumpSpeedMMPerS))
	return c
}

func (g Galvo) delays() Scanner {
	return Scanner{
		OnUS: whole(g.LaserOnDelayUS), OffUS: whole(g.LaserOffDelayUS),
		JumpUS: whole(g.JumpDelayUS), ShortJumpUS: whole(g.ShortJumpDelayUS),
		ShortJumpSteps: whole(g.ShortJumpMM * GalvoStepsPerMM),
		MarkUS:         whole(g.MarkDelayUS), CornerUS: whole(g.CornerDelayUS),
	}
}

func whole(v float64) int64 { return int64(math.Round(v)) }

// Warnings says which delays a scanner cannot like.
func (s Scanner) Warnings() []string {
	var w []string
	if s.OffUS < s.OnUS {
		w = append(w, fmt.Sprintf("laser-off delay of %d us is below the laser-on delay of %d us: "+
			"every mark is shorter than drawn, and short ones vanish", s.OffUS, s.OnUS))
	}
	if s.MarkUS < s.OffUS-s.OnUS {
		w = append(w, fmt.Sprintf("mark delay of %d us is below laser-off less laser-on delay, %d us: "+
			"the next jump starts while the beam is on, and ends of marks bend", s.MarkUS, s.OffUS-s.OnUS))
	}
	if s.ShortJumpUS > s.JumpUS {
		w = append(w, fmt.Sprintf("a short jump waits longer, %d us, than a long one, %d us", s.ShortJumpUS, s.JumpUS))
	}
	return w
}
