package warmth

import (
	"furrow/emit/clock"
	"furrow/emit/heat"
	"furrow/path"
)

// deposits are those of strokes that are marked at their times. The energy of a
// stroke lies evenly along it.
func deposits(p *path.Program, marking []path.Marking) heat.Deposits {
	return func(yield func(heat.Deposit) bool) {
		for i, m := range marking {
			if !along(p.PointsOf(i), m, yield) {
				return
			}
		}
	}
}

// along yields the pieces of one stroke.
func along(pts []path.Point, m path.Marking, yield func(heat.Deposit) bool) bool {
	length := 0.0
	for j := 1; j < len(pts); j++ {
		length += pts[j-1].Dist(pts[j])
	}
	d := heat.Deposit{Start: m.Start.Seconds(), End: m.End.Seconds(), EnergyJ: m.EnergyJ}
	if length == 0 {
		if len(pts) > 0 {
			d.From, d.To = pts[0], pts[0]
		}
		return yield(d)
	}
	took, at := d.End-d.Start, d.Start
	for j := 1; j < len(pts); j++ {
		share := pts[j-1].Dist(pts[j]) / length
		piece := heat.Deposit{From: pts[j-1], To: pts[j], Start: at, End: at + float64(took*share), EnergyJ: m.EnergyJ * share}
		if at = piece.End; !yield(piece) {
			return false
		}
	}
	return true
}

// anywhere are the deposits of a beam's output, without their places, for the mean; the last
// ends with the job.
func anywhere(output []float64, endS float64) heat.Deposits {
	return func(yield func(heat.Deposit) bool) {
		for i, joules := range output {
			start := float64(i) * clock.OutputStepS
			if !yield(heat.Deposit{Start: start, End: min(start+clock.OutputStepS, endS), EnergyJ: joules}) {
				return
			}
		}
	}
}
