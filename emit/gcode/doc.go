// Package gcode writes and reads the files of gantry machines: the words of
// RS274/NGC (NISTIR 6556) that a marker needs, and no others.
//
// A file sets units and modes, switches the beam off with M5 S0 and arms it
// with M3 S0 (steady power) or M4 S0 (power follows speed) before any mark. Only
// a moving G1, G2 or G3 carries S above 0. RS-274 leaves the spindle as it was
// in a traverse, so S is 0 whenever a G0 runs. F is in units a minute:
//
//	G21 G17 G90 G94
//	M5 S0
//	M3 S0
//	G0 Y0.05
//	G1 X0 F9000
//	X60 S350
//	X71.75 S0
//	G0 Y0.15
//	...
//	M5 S0
//	M2
package gcode
