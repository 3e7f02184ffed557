package settings

import (
	"fmt"
	"furrow/cmd/furrow/internal/words"
	"math"

	"furrow/emit/machine"
)

// Reach words the bed or field of a machine.
func Reach(p machine.Profile) string {
	if p.IsGantry() {
		return fmt.Sprintf("%g x %g mm bed", p.Gantry.BedMM[0], p.Gantry.BedMM[1])
	}
	return fmt.Sprintf("%g x %g mm field", p.Galvo.FieldMM[0], p.Galvo.FieldMM[1])
}

// Source words what a machine marks with.
func Source(l machine.Laser) string {
	return fmt.Sprintf("%s W, %s nm", words.Number(l.RatedPowerW, 2), words.Number(l.WavelengthNM, 1))
}

// Fastest returns the greatest speed of a machine in any direction, mm/s.
func Fastest(p machine.Profile) float64 {
	if p.IsGantry() {
		return math.Hypot(p.Gantry.MaxSpeedMMPerS[0], p.Gantry.MaxSpeedMMPerS[1])
	}
	return p.Galvo.MaxSpeedMMPerS
}

// TopSpeed returns the greatest marking speed of a machine in X, mm/s.
func TopSpeed(p machine.Profile) float64 {
	if p.IsGantry() {
		return p.Gantry.MaxSpeedMMPerS[0]
	}
	return p.Galvo.MaxSpeedMMPerS
}

// PerMinuteHint says what a speed is that may be meant in mm/min, or "".
func PerMinuteHint(speed, most float64) string {
	if speed/60 > most {
		return ""
	}
	return fmt.Sprintf("speeds are in mm/s: %g mm/min is %.4g mm/s", speed, speed/60)
}
