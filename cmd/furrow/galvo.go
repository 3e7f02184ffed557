package main

import (
	"fmt"
	"strings"

	"furrow/emit"
	"furrow/emit/markvec"
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
	set    path.Setting
	times  int
	markMM float64
}

// laid lists the settings of a build, outlines that differ from their fill
// included.
func (b *build) laid() []laid {
	var all []laid
	for i, f := range b.fills {
		fill := laid{b.partName(i), f.Setting, f.Passes * len(f.Angles), f.MarkWidth}
		if f.Cross != 0 && !f.Contours {
			fill.times *= 2
		}
		if f.Contours {
			fill.times = f.Passes
		}
		if f.Outline.When != hatch.Only {
			all = append(all, fill)
		}
		edge := laid{b.partName(i) + " outline", f.Outline.Setting, f.Passes, f.MarkWidth}
		if f.Outline.When == hatch.Only || f.Outline.When != hatch.NoOutline && differ(edge.set, fill.set) {
			all = append(all, edge)
		}
	}
	return all
}

func differ(a, b path.Setting) bool {
	return a.SpeedMMPerS != b.SpeedMMPerS || a.Power != b.Power
}

func (b *build) laidDown() []laidDown {
	var all []laidDown
	for _, l := range b.laid() {
		all = append(all, laidDown{l.name, pulse.Of(l.set, b.laser(), l.times)})
	}
	return all
}

// warnOfLaser says what the settings are odd in for the source, and for the
// scanner of a galvo.
func (b *build) warnOfLaser() {
	for _, l := range b.laid() {
		for _, w := range pulse.Warnings(l.set, b.laser(), l.markMM) {
			if len(b.fills) > 1 {
				w = l.name + ": " + w
			}
			b.warn(warning{Message: w})
		}
	}
	if b.moves.ForGalvo() {
		for _, w := range append(emit.ScanWarnings(b.moves, b.machine.Profile), b.moves.DelayWarnings()...) {
			b.warn(warning{Message: w})
		}
	}
}

// laserWords are the lines of the summary about pulses, dose and the field.
func (b *build) laserWords() [][2]string {
	var lines [][2]string
	for _, l := range b.laid() {
		f := pulse.Of(l.set, b.laser(), l.times)
		of := ""
		if len(b.fills) > 1 {
			of = " (" + l.name + ")"
		}
		if f.PerMM > 0 {
			lines = append(lines, [2]string{"pulses", fmt.Sprintf("%s a mm, overlap %s %%; %s mJ and %s J/cm2 each%s",
				decimal(f.PerMM, 1), decimal(100*f.Overlap, 0), decimal(f.EnergyMJ, 3), decimal(f.FluenceJPerCM2, 1), of)})
		}
		if f.DoseJPerCM2 > 0 {
			lines = append(lines, [2]string{"dose", fmt.Sprintf("%s J/cm2 from %s W; lines overlap %s %%%s",
				decimal(f.DoseJPerCM2, 1), decimal(f.MeanPowerW, 1), decimal(100*f.LineOverlap, 0), of)})
		}
	}
	for _, note := range emit.LagNote(b.moves, b.machine.Profile) {
		lines = append(lines, [2]string{"delays", note})
	}
	if words := fieldWords(b.machine.Profile); words != "" {
		lines = append(lines, [2]string{"field", words})
	}
	return lines
}

// fieldWords says how the field is corrected.
func fieldWords(p emit.Profile) string {
	r, ok := p.Residual()
	if !ok {
		return ""
	}
	s := fmt.Sprintf("corrected by %d points; residual %s mm, at most %s mm (at %g, %g mm)", len(p.Galvo.Samples),
		decimal(r.RMSMM, 4), decimal(r.WorstMM, 4), r.Worst.Commanded.X, r.Worst.Commanded.Y)
	if e := p.Galvo.MeasuringErrorMM; e > 0 {
		return s + fmt.Sprintf("; measured to %g mm", e)
	}
	return s + "; the profile names no measuring_error_mm"
}

// auditList lists what a mark-vector list should not hold, line by line, and
// what the machine, if it is known, cannot do.
func (c *checked) auditList() error {
	problems, err := markvec.Problems(section(c.file), auditLimit)
	if err != nil {
		return workf("%s: %w", c.name, err)
	}
	var lines []string
	for _, p := range problems {
		lines = append(lines, p.Error())
	}
	if c.machine != nil {
		lines = append(lines, emit.ScanWarnings(c.moves, c.machine.Profile)...)
		for _, s := range c.moves.Settings {
			lines = append(lines, pulse.OutOfRange(s, c.machine.Laser)...)
		}
	}
	if len(lines) == 0 {
		return nil
	}
	return workf("%s: %s", c.name, strings.Join(lines, "\n"))
}
