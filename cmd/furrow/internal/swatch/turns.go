package swatch

import (
	"cmp"
	"slices"
)

// turns returns the patches in the sequence in which they are marked: the coolest first,
// by the dose, and far from the last one. Of the coolest that are left, as many as fit
// side by side, the one comes next that lies farthest from the one before; but none waits
// for more than so many that are warmer.
func turns(all []Patch, dose func(Patch) float64, band int) []Patch {
	band = max(band, 1)
	type waiting struct {
		Patch
		rank int
		dose float64
	}
	var todo []waiting
	for _, p := range all {
		todo = append(todo, waiting{Patch: p, dose: dose(p)})
	}
	slices.SortStableFunc(todo, func(a, b waiting) int { return cmp.Compare(a.dose, b.dose) })
	for i := range todo {
		todo[i].rank = i
	}
	done := make([]Patch, 0, len(todo))
	for len(todo) > 0 {
		next, most := 0, -1.0
		for i, p := range todo[:min(band, len(todo))] {
			if len(done) == 0 || len(done)-todo[0].rank >= band {
				break
			}
			if d := p.Box.Centre().Dist(done[len(done)-1].Box.Centre()); d > most+1e-9 {
				next, most = i, d
			}
		}
		done = append(done, todo[next].Patch)
		todo = slices.Delete(todo, next, next+1)
	}
	return done
}
