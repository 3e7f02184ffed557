package work

import (
	"fmt"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit/pulse"
)

// farAbove is how many times the greatest dose of the recipes for a material is told: a
// slip in speed or power is a factor of ten and more. Our own choice.
const farAbove = 5

// tooClose is the overlap of lines, a fraction of the spot, above which rows are told to
// lie closer than they need: twenty on each place. Our own choice.
const tooClose = 0.95

// closeWarnings tell of rows that lie far closer than the beam is wide.
func (w *Work) closeWarnings() (all []Warning) {
	for _, l := range w.Laid() {
		if overlap := l.Facts().LineOverlap; overlap > tooClose {
			all = append(all, Warning{Message: fmt.Sprintf("%s: rows %s mm apart put %s lines on each place: check "+
				"the spacing", l.Name,
				words.Decimal(l.Set.SpacingMM, 4), words.Number(1/(1-overlap), 0))})
		}
	}
	return all
}

// doseWarnings tell of fills that lay down far more than any recipe for the material.
func (w *Work) doseWarnings() (all []Warning) {
	most, by := 0.0, ""
	for _, a := range w.Alike {
		if d := doseOf(a); d > most {
			most, by = d, a.Recipe.ID
		}
	}
	if most == 0 {
		return nil
	}
	for _, l := range w.Laid() {
		if d := l.Facts().DoseJPerCM2; d > farAbove*most {
			all = append(all, Warning{Message: fmt.Sprintf("%s lays down %s J/cm2, %s times the %s of recipe %s: "+
				"check speed, power and spacing", l.Name, words.Number(d, 0), words.Number(d/most, 0),
				words.Number(most, 0), by)})
		}
	}
	return all
}

// doseOf is what a recipe lays down on its machine, J/cm2.
func doseOf(a job.Alike) float64 {
	g := hatchGroup(job.RecipeFill(a.Recipe.Recipe), &a.Machine)
	return pulse.Of(g.Setting, pulse.Defocused(a.Machine.Laser, a.Recipe.FocusOffsetMM), Fillings(g)).DoseJPerCM2
}
