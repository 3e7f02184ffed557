package main

import (
	"fmt"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit"
	"furrow/emit/machine"
	"furrow/emit/pulse"
	"furrow/path"
	"furrow/path/hatch"
)

// laidDown is what one fill or outline lays down, for hatch --json.
type laidDown struct {
	Part string `json:"part"`
	pulse.Facts
}

// laid is a setting with how often it fills its area.
type laid struct {
	name   string
	set    path.Setting // as the file has it
	asked  path.Setting
	laser  machine.Laser // as the material sees it
	times  int
	markMM float64
}

func (l laid) facts() pulse.Facts { return pulse.Of(l.set, l.laser, l.times) }

// laid lists the settings of a build, outlines that differ from their fill
// included.
func (b *build) laid() []laid {
	var all []laid
	for i, f := range b.parts {
		spec := b.Fills[i].Spec
		asked := settingOf(spec, b.Machine)
		fill := laid{b.partName(i), f.Setting, asked, b.laser(i), fillings(f), f.MarkWidth}
		if f.Outline.When != hatch.Only {
			all = append(all, fill)
		}
		edge := laid{b.partName(i) + " outline", f.Outline.Setting, outlineSetting(spec, asked), fill.laser, f.Passes, f.MarkWidth}
		if f.Outline.When == hatch.Only || f.Outline.When != hatch.NoOutline && differ(edge.set, fill.set) {
			all = append(all, edge)
		}
	}
	return all
}

// fillings counts how often a fill goes over its area.
func fillings(f hatch.Part) int {
	switch {
	case f.Contours:
		return max(1, f.Passes)
	case f.Cross != 0:
		return 2 * max(1, f.Passes) * max(1, len(f.Angles))
	}
	return max(1, f.Passes) * max(1, len(f.Angles))
}

func differ(a, b path.Setting) bool {
	return a.SpeedMMPerS != b.SpeedMMPerS || a.Power != b.Power
}

// laser returns the source as the material sees it: out of focus where fill i
// says so.
func (b *build) laser(i int) machine.Laser {
	return pulse.Defocused(b.Machine.Laser, float64(value.Or(b.Fills[i].Spec.FocusOffset, 0)))
}

func (b *build) laidDown() []laidDown {
	var all []laidDown
	for _, l := range b.laid() {
		all = append(all, laidDown{l.name, l.facts()})
	}
	return all
}

// warnOfLaser says what the settings are odd in for the source, and for the
// scanner of a galvo.
func (b *build) warnOfLaser() {
	all := b.laid()
	var found []ofParts
	for _, l := range all {
		for _, w := range settingWarnings(b.Machine, l.asked, l.laser, l.markMM) {
			found = addPart(found, l.name, w)
		}
	}
	for _, f := range found {
		if len(f.names) < len(all) {
			f.text = strings.Join(f.names, ", ") + ": " + f.text
		}
		b.warn(warning{Message: f.text})
	}
	for _, w := range b.moves.DelayWarnings() {
		b.warn(warning{Message: w})
	}
}

// withinMachine refuses settings that a galvo does not have: hatch warns of
// them, and check refuses the file.
func (b *build) withinMachine() error {
	if !b.forGalvo() {
		return nil // Check has done it
	}
	for _, l := range b.laid() {
		if w := pulse.OutOfRange(l.set, b.Machine.Profile); len(w) > 0 {
			return fault.Workf("%s", w[0])
		}
	}
	return nil
}

// settingWarnings says what is odd in a setting that was asked for: what the
// file cannot hold, what leaves gaps between pulses or lines, and what a galvo does
// not have.
func settingWarnings(m *settings.Machine, asked path.Setting, l machine.Laser, markMM float64) []string {
	set := rounded(m, asked)
	all := append(m.RoundingNotes(asked), pulse.Warnings(set, l, markMM)...)
	if !m.IsGalvo() {
		return all // which a gantry does not have is refused
	}
	for _, w := range pulse.OutOfRange(set, m.Profile) {
		all = append(all, w+"; furrow check will refuse the file")
	}
	return all
}

// laserWords are the lines of the summary about pulses, dose and the field.
func (b *build) laserWords() [][2]string {
	var pulses, doses []ofParts
	for _, l := range b.laid() {
		f := l.facts()
		if f.PerMM > 0 {
			pulses = addPart(pulses, l.name, fmt.Sprintf("%s a mm, %s; %s mJ and %s J/cm2 each",
				words.Decimal(f.PerMM, 1), overlapWords(f.Overlap, 1/f.PerMM), words.Decimal(f.EnergyMJ, 3), words.Decimal(f.FluenceJPerCM2, 1)))
		}
		if f.DoseJPerCM2 > 0 {
			doses = addPart(doses, l.name, fmt.Sprintf("%s J/cm2 from %s W; lines %s",
				words.Decimal(f.DoseJPerCM2, 1), words.Decimal(f.MeanPowerW, 1), overlapWords(f.LineOverlap, l.set.SpacingMM)))
		}
	}
	lines := append(partLines("pulses", pulses), partLines("dose", doses)...)
	for _, note := range emit.LagNote(b.moves, b.Machine.Profile) {
		lines = append(lines, [2]string{"delays", note})
	}
	if c := correctionOf(b.Machine.Profile); c != nil {
		lines = append(lines, [2]string{"field", c.words()})
	}
	return lines
}

// overlapWords says by how much spots overlap that lie apart by step mm, or how
// much stays bare between them.
func overlapWords(overlap, step float64) string {
	if overlap >= 0 {
		return fmt.Sprintf("overlap %s %%", words.Decimal(100*overlap, 0))
	}
	spot := step / (1 - overlap)
	return fmt.Sprintf("leave %s mm bare between them", words.Decimal(step-spot, 3))
}

// ofParts is a line of the summary, or a warning, that is true of some parts.
type ofParts struct {
	text  string
	names []string
}

// addPart adds a part to the line that says the same, or a line of its own.
func addPart(all []ofParts, name, text string) []ofParts {
	for i := range all {
		if all[i].text == text {
			all[i].names = append(all[i].names, name)
			return all
		}
	}
	return append(all, ofParts{text, []string{name}})
}

// partLines names the parts of each line, unless one is true of all.
func partLines(head string, all []ofParts) [][2]string {
	var lines [][2]string
	for _, l := range all {
		if len(all) > 1 {
			l.text += " (" + strings.Join(l.names, ", ") + ")"
		}
		lines = append(lines, [2]string{head, l.text})
	}
	return lines
}
