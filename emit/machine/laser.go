package machine

import (
	"math"
	"slices"

	"furrow/path"
)

// Watts returns the mean power at a fraction of full, by the measured curve
// where there is one, which is followed straight from pair to pair and, below
// its first one, to 0 W at 0 percent.
func (l Laser) Watts(fraction float64) float64 {
	if len(l.PowerCurve) == 0 {
		return fraction * l.RatedPowerW
	}
	percent, last := 100*fraction, [2]float64{}
	for _, c := range l.PowerCurve {
		if percent <= c[0] {
			if c[0] == last[0] {
				return c[1]
			}
			return last[1] + float64((c[1]-last[1])*(percent-last[0]))/(c[0]-last[0])
		}
		last = c
	}
	return last[1]
}

// SpotAcross returns the width of the spot across rows at an angle to X, mm: of the line
// that it marks along them.
func (l Laser) SpotAcross(degrees float64) float64 {
	sin, cos := path.SinCos(degrees)
	return math.Hypot(l.SpotMM[0]*sin, l.SpotMM[1]*cos)
}

// SpotAlong returns the length of the spot in the direction of rows at an angle to X, mm.
func (l Laser) SpotAlong(degrees float64) float64 {
	sin, cos := path.SinCos(degrees)
	return 1 / math.Hypot(cos/l.SpotMM[0], sin/l.SpotMM[1])
}

// MaxEnergyMJ returns the most energy of one pulse of a length, mJ, and false
// for a source that has no pulses. With a table of pulse lengths it is the rated
// power over the lowest full-power frequency of that length; a length that is
// not in the table has the most energy of the source.
func (l Laser) MaxEnergyMJ(pulseNS float64) (float64, bool) {
	if !l.Pulsed() {
		return 0, false
	}
	if i := l.pulseIndex(pulseNS); i >= 0 {
		return min(l.MaxPulseEnergyMJ, l.RatedPowerW/l.PulseTable[i][1]), true
	}
	return l.MaxPulseEnergyMJ, true
}

// pulseIndex returns the row of the pulse table for a pulse length, or -1.
func (l Laser) pulseIndex(pulseNS float64) int {
	return slices.IndexFunc(l.PulseTable, func(c [2]float64) bool { return c[0] == pulseNS })
}

// HasPulse reports that the source can make pulses of a length.
func (l Laser) HasPulse(pulseNS float64) bool {
	if len(l.PulseTable) == 0 {
		return pulseNS == l.PulseNS
	}
	return l.pulseIndex(pulseNS) >= 0
}
