// Package path holds the plain values that the stages of furrow hand to each
// other. The chain of types, each made from the one before, with no way back:
//
//	artwork ──path/svg──▶ Artwork ──path/hatch──▶ Marks ──path/route──▶ Program ──emit.Plan──▶ emit.Moves ─┬─ emit/clock    time
//	(SVG)                 curves in mm,           rows of spans          strokes in                         ├─ emit/gcode    RS-274
//	                      paint order             and outlines           sequence                           └─ emit/markvec  list
//	                                                                        │
//	                                                                        └──raster/density  PNG
//
// From the bytes of an SVG to a checked file for a controller, in memory:
//
//	func convert(artwork io.Reader, m machine.Profile, file io.Writer) error {
//		doc, err := svg.Read(artwork, svg.Options{})
//		if err != nil {
//			return err
//		}
//		fill := path.Setting{SpeedMMPerS: 150, Power: 0.35, SpacingMM: 0.1}
//		marks, _, err := hatch.Fill(doc.Artwork, hatch.Settings{Groups: []hatch.Group{{Setting: fill}}})
//		if err != nil {
//			return err
//		}
//		cost := clock.Cost(m, marks.Settings)
//		program, _, err := route.Sequence(context.Background(), marks, cost, route.Options{})
//		if err != nil {
//			return err
//		}
//		moves, err := emit.Plan(program, m)
//		if err != nil {
//			return err
//		}
//		if err := emit.Check(moves, m); err != nil {
//			return err
//		}
//		return gcode.Encoder{Profile: m.Controller()}.Encode(file, moves)
//	}
//
// Lengths are millimetres, X to the right and Y up; powers are fractions 0..1;
// times are seconds. No value here is changed after it is made, and the zero
// value of each type is its empty value.
package path
