package machine

import (
	"math"

	"furrow/path"
)

// Lead is where a sweep's commands lie beside its spans, so that the marks fall
// on them. The beam follows its commands late, and an axis that turns round
// takes up its lost motion first.
type Lead struct {
	On, Off float64    // from a span's ends to the commands, mm along the sweep; below 0 for before
	All     path.Point // added to every point of the sweep, mm
}

// Lead returns that of a sweep along dir (of unit length) at speed v, mm/s. A
// measured table of reversals takes the place of latencies and backlash.
func (g *Gantry) Lead(dir path.Point, v float64) Lead {
	if len(g.Reversal) > 0 {
		if Forward(dir) {
			return Lead{}
		}
		early := -g.reversalOffset(v)
		return Lead{On: early, Off: early}
	}
	l := Lead{On: -v * g.BeamOnLatencyUS * 1e-6, Off: -v * g.BeamOffLatencyUS * 1e-6}
	if dir.X < -Still {
		l.All.X = -g.BacklashMM[0]
	}
	if dir.Y < -Still {
		l.All.Y = -g.BacklashMM[1]
	}
	return l
}

// Still is the component of a direction below which its axis does not move.
const Still = 1e-6

// Forward reports that rows along dir are those by which a reversal comb is read:
// to the right, or upwards.
func Forward(dir path.Point) bool {
	return dir.X > Still || math.Abs(dir.X) <= Still && dir.Y > 0
}

// reversalOffset looks v up in the table, straight from entry to entry and no
// further than its ends.
func (g *Gantry) reversalOffset(v float64) float64 {
	last := g.Reversal[0]
	for _, r := range g.Reversal {
		if v <= r.SpeedMMPerS {
			if r == last {
				return r.OffsetMM
			}
			t := (v - last.SpeedMMPerS) / (r.SpeedMMPerS - last.SpeedMMPerS)
			return last.OffsetMM + float64(t*(r.OffsetMM-last.OffsetMM))
		}
		last = r
	}
	return last.OffsetMM
}

// Measured reports that the profile says how far rows marked backwards land
// from those marked forwards.
func (g *Gantry) Measured() bool {
	return len(g.Reversal) > 0 || g.BeamOnLatencyUS != 0 || g.BeamOffLatencyUS != 0 || g.BacklashMM != [2]float64{}
}

// WithoutLead returns the profile of a gantry with nothing that moves its gates, as the
// rows are planned that measure what should.
func (p Profile) WithoutLead() Profile {
	p = p.copied()
	g := p.Gantry
	g.Reversal, g.BeamOnLatencyUS, g.BeamOffLatencyUS, g.BacklashMM = nil, 0, 0, [2]float64{}
	return p
}
