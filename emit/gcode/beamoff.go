package gcode

import (
	"furrow/emit/gcode/block"
	"furrow/emit/machine"
)

// BeamOff returns the lines that turn the beam off, wherever a controller is in a file.
func BeamOff(controller machine.GCode) []byte {
	controller.LineNumbers = false
	s := block.Start(controller)
	return s.NoPower(s.Text(nil, "M5 S0"))
}
