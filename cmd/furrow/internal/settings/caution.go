package settings

import (
	"fmt"

	"furrow/cmd/furrow/internal/words"
	"furrow/emit/machine"
)

// Caution is what a screen says of the danger, with the page that says the rest.
const Caution = "class 4 laser: eyewear, enclosure, extraction; the manual and local rules come first (furrow help " +
	"safety)"

// CautionLines are the cautions for one machine, a line each.
func CautionLines(l machine.Laser) []string {
	return []string{
		fmt.Sprintf("Class 4 laser: enclosure closed, eyewear of the maker's optical density for %s nm,",
			words.Thousands(int64(l.WavelengthNM))),
		"extraction on, no PVC or vinyl, clamps clear of the beam, never unattended.",
		"Guidance only: the machine's manual, local rules and your laser safety officer come first.",
	}
}

// Cautions are those for the source and for the controller of a machine.
func (m *Machine) Cautions() []string {
	lines := CautionLines(m.Laser)
	if m.GCode != nil && m.GCode.PowerMode == machine.PowerSteady {
		lines = append(lines, "With M3 the beam stays on in a feed hold: stop with the machine's own stop.")
	}
	return lines
}
