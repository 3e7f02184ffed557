package emit

import (
	"iter"

	"furrow/path"
)

// planGalvo jumps to the start of each stroke and marks along it. A stroke
// that starts where the last one ended continues its chain.
func planGalvo(prog path.Program) iter.Seq2[Move, error] {
	return func(yield func(Move, error) bool) {
		var at path.Point
		first, last := true, path.Stroke{}
		for i, s := range prog.Strokes {
			pts := prog.PointsOf(i)
			from := snap(pts[0], galvoStepsPerMM)
			if first || from != at || s.Setting != last.Setting {
				if !yield(Move{Kind: Travel, To: from, Setting: s.Setting}, nil) {
					return
				}
			}
			first, last, at = false, s, from
			set := prog.Settings[s.Setting]
			for _, p := range pts[1:] {
				to := snap(p, galvoStepsPerMM)
				if to == at {
					continue
				}
				mark := Move{Kind: Mark, To: to, Speed: set.SpeedMMPerS, Power: set.Power, Setting: s.Setting}
				if !yield(mark, nil) {
					return
				}
				at = to
			}
		}
	}
}
