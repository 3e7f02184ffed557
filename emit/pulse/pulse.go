// Package pulse says what a setting of a laser lays down: how pulses and lines
// overlap, the energy and fluence of a pulse, the dose over an area. It also
// holds the few formulas of beam optics that a shop needs.
//
// Diameters are 1/e² diameters (ISO 11146's D4σ, equal to it for a Gaussian
// beam); fluence and dose are means over the spot and the area. A Gaussian
// beam has twice the mean fluence in its middle.
package pulse

import (
	"math"

	"furrow/emit/machine"
	"furrow/path"
)

// Facts is what one setting lays down. What does not apply is 0: the first
// four for a continuous source, the two with lines where nothing is filled.
type Facts struct {
	PerMM float64 `json:"pulses_per_mm"`
	// of a pulse and the next, as a fraction of the spot; below 0 they part
	Overlap        float64 `json:"pulse_overlap"`
	EnergyMJ       float64 `json:"pulse_energy_mj"`
	FluenceJPerCM2 float64 `json:"pulse_fluence_j_cm2"`
	LineOverlap    float64 `json:"line_overlap"` // of a line and the next, likewise
	MeanPowerW     float64 `json:"mean_power_w"`
	DoseJPerCM2    float64 `json:"dose_j_cm2"`
	Limited        bool    `json:"power_limited"` // the pulses cannot carry the power asked for
}

// Of returns the facts of a setting. times is how often the area is filled:
// passes times directions. Where the spot is not round, its width across the rows and its
// length along them decide the overlaps, for the angle to X at which each is least; the
// smaller width for lines of no one angle.
func Of(s path.Setting, l machine.Laser, times int, degrees ...float64) Facts {
	along, across := spotOf(l, degrees)
	f := Facts{MeanPowerW: l.Watts(s.Power)}
	if most, ok := l.MaxEnergyMJ(s.PulseNS); ok && s.FrequencyHz > 0 {
		if limit := s.FrequencyHz * most * 1e-3; limit < f.MeanPowerW {
			f.MeanPowerW, f.Limited = limit, true
		}
		f.PerMM = s.FrequencyHz / s.SpeedMMPerS
		f.Overlap = 1 - 1/(f.PerMM*along)
		f.EnergyMJ = f.MeanPowerW / s.FrequencyHz * 1e3
		f.FluenceJPerCM2 = f.EnergyMJ * 1e-3 / (math.Pi / 4 * l.SpotMM[0] * l.SpotMM[1]) * mm2PerCM2
	}
	if s.SpacingMM > 0 {
		f.LineOverlap = 1 - s.SpacingMM/across
		f.DoseJPerCM2 = float64(times) * f.MeanPowerW / (s.SpeedMMPerS * s.SpacingMM) * mm2PerCM2
	}
	return f
}

const mm2PerCM2 = 100

// spotOf returns the least length of the spot along rows at these angles, and its least
// width across them, mm.
func spotOf(l machine.Laser, degrees []float64) (along, across float64) {
	if len(degrees) == 0 {
		least := min(l.SpotMM[0], l.SpotMM[1])
		return least, least
	}
	along, across = math.Inf(1), math.Inf(1)
	for _, d := range degrees {
		along, across = min(along, l.SpotAlong(d)), min(across, l.SpotAcross(d))
	}
	return along, across
}

// RayleighMM returns z = π·d²/(4·M²·λ), mm: the distance from the focus at
// which the spot has twice its area.
func RayleighMM(wavelengthNM, spotMM, m2 float64) float64 {
	return math.Pi * spotMM * spotMM / (4 * m2 * wavelengthNM * 1e-6)
}

// Defocused returns the source with its spot as wide as it is mm away from the
// focus: d(z) = d·√(1 + (z/zR)²), zR by RayleighMM (ISO 11146-1).
func Defocused(l machine.Laser, mm float64) machine.Laser {
	if mm == 0 {
		return l
	}
	for i, d := range l.SpotMM {
		z := mm / RayleighMM(l.WavelengthNM, d, max(1, l.M2))
		l.SpotMM[i] = d * math.Sqrt(1+z*z)
	}
	return l
}
