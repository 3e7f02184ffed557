package main

import (
	"fmt"

	"furrow/emit/machine"
)

// cautionShort stands in the help. The wording of all cautions follows the
// usual practice of the user standards (IEC 60825-1, ANSI Z136.1) and leaves
// the decisions to the people and papers named.
const cautionShort = `Lasers of class 4 blind and burn. Guidance only: the machine's manual, local rules
and your laser safety officer come first.`

// cautionLines are the cautions for one machine, a line each.
func cautionLines(l machine.Laser) []string {
	return []string{
		fmt.Sprintf("Class 4 laser: enclosure closed, eyewear of the maker's optical density for %s nm,", thousands(int64(l.WavelengthNM))),
		"extraction on, no PVC or vinyl, clamps clear of the beam, never unattended.",
		"Guidance only: the machine's manual, local rules and your laser safety officer come first.",
	}
}

// cautions are those for the source and for the controller of a machine.
func (m *machineFile) cautions() []string {
	lines := cautionLines(m.Laser)
	if m.GCode != nil && m.GCode.PowerMode == machine.PowerSteady {
		lines = append(lines, "With M3 the beam stays on in a feed hold: stop with the machine's own stop.")
	}
	return lines
}
