package heat

import "math"

// Mean is the rise of a plate taken as one lump, K.
type Mean struct {
	End, Highest float64
	AtS          float64 // when it is highest
	AbsorbedJ    float64
}

// MeanRise warms the plate by the absorbed fraction of the deposits, less what it
// loses meanwhile. endS is when the job ends, which may be after the last deposit.
func MeanRise(p Plate, all Deposits, absorbed, endS float64) Mean {
	var m Mean
	rate, heat := p.lossRate(), p.Heat()
	now, rise := 0.0, 0.0
	for d := range all {
		rise *= math.Exp(-rate * max(0, d.Start-now))
		rise = warmed(rise, d.EnergyJ*absorbed/heat, rate, d.End-d.Start)
		m.AbsorbedJ += d.EnergyJ * absorbed
		if now = max(now, d.End); rise > m.Highest {
			m.Highest, m.AtS = rise, now
		}
	}
	m.End = rise * math.Exp(-rate*max(0, endS-now))
	return m
}

// warmed returns a rise after heat that would raise it by more alone came evenly
// in so many seconds: the exact answer of dT/dt = more/seconds - rate·T.
func warmed(rise, more, rate, seconds float64) float64 {
	if x := rate * seconds; x > 1e-9 {
		return rise*math.Exp(-x) + more*-math.Expm1(-x)/x
	}
	return rise + more
}
