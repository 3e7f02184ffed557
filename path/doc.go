// Package path holds the plain values that the stages of furrow hand to each
// other. The chain of types, each made from the one before, with no way back:
//
//	artwork ──path/svg──▶ Artwork ──path/hatch──▶ Marks ──path/route──▶ Program ──emit.Plan──▶ emit.Moves ─┬─ emit/clock    time
//	(SVG)                 curves in mm,           rows of spans          strokes in                         ├─ emit/gcode    RS-274
//	                      paint order             and outlines           sequence                           └─ emit/markvec  list
//	                                                                        │
//	                                                                        └──raster/density  PNG
//
// Lengths are millimetres, X to the right and Y up; powers are fractions 0..1;
// times are seconds. No value here is changed after it is made, and the zero
// value of each type is its empty value.
package path
