package warmth

import (
	"iter"

	"furrow/emit/clock"
	"furrow/emit/heat"
	"furrow/path"
)

// numbered are the deposits of the strokes, each with the number of the stroke. The energy
// of a stroke lies evenly along it.
func (s strokes) numbered() iter.Seq2[int, heat.Deposit] {
	return func(yield func(int, heat.Deposit) bool) {
		for i, m := range s.marking {
			if !along(s.prog.PointsOf(i), m, func(d heat.Deposit) bool { return yield(i, d) }) {
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
		piece := heat.Deposit{From: pts[j-1], To: pts[j], Start: at, End: at + float64(took*share),
			EnergyJ: m.EnergyJ * share}
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
