package main

import (
	"fmt"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit"
	"furrow/emit/pulse"
	"strings"
)

// laidDown is what one fill or outline lays down, for hatch --json.
type laidDown struct {
	Group string `json:"group"`
	pulse.Facts
}

func (b made) laidDown() []laidDown {
	var all []laidDown
	for _, l := range b.Laid() {
		all = append(all, laidDown{l.Name, l.Facts()})
	}
	return all
}

// laserWords are the lines of the summary about pulses, dose and the field.
func (b made) laserWords() [][2]string {
	var pulses, doses []words.Shared
	for _, l := range b.Laid() {
		f := l.Facts()
		if f.PerMM > 0 {
			pulses = words.Share(pulses, l.Name, fmt.Sprintf("%s a mm, %s; %s mJ and %s J/cm2 each",
				words.Number(f.PerMM, 1), strings.TrimPrefix(overlapWords("pulses", f.Overlap, 1/f.PerMM), "pulses "),
				words.Number(f.EnergyMJ, 3),
				words.Number(f.FluenceJPerCM2, 1)))
		}
		if f.DoseJPerCM2 > 0 {
			doses = words.Share(doses, l.Name, fmt.Sprintf("%s J/cm2 from %s W; %s",
				words.Number(f.DoseJPerCM2, 1), words.Number(f.MeanPowerW, 1),
				overlapWords("lines", f.LineOverlap, l.Set.SpacingMM)))
		}
	}
	lines := append(groupLines("pulses", pulses), groupLines("dose", doses)...)
	for _, note := range emit.LagNote(b.Moves, b.Machine.Profile) {
		lines = append(lines, [2]string{"delays", note})
	}
	if c := correctionOf(b.Machine.Profile); c != nil {
		lines = append(lines, [2]string{"field", c.words()})
	}
	return lines
}

// overlapWords says by how much lines or pulses overlap that lie apart by step mm, or
// how wide the gaps between them are.
func overlapWords(what string, overlap, step float64) string {
	if overlap >= 0 {
		return fmt.Sprintf("%s overlap %s %%", what, words.Number(100*overlap, 0))
	}
	spot := step / (1 - overlap)
	return fmt.Sprintf("gaps of %s mm between %s", words.Number(step-spot, 3), what)
}

// groupLines names the groups of each line, unless one is true of all.
func groupLines(head string, all []words.Shared) [][2]string {
	var lines [][2]string
	for _, l := range all {
		if len(all) > 1 {
			l.Text += " (" + strings.Join(l.Names, ", ") + ")"
		}
		lines = append(lines, [2]string{head, l.Text})
	}
	return lines
}
