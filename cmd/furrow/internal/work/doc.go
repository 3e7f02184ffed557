// Package work makes artwork into timed moves, each stage once and in one direction:
//
//	drawing, err := work.Read(file, resolved)      // artwork as it is
//	in := work.NewInput(resolved, drawing)         // all that the work is made from
//	w, err := work.Make(in)                        // strokes, moves, times, warnings
//
// Make is Fill, which ends with strokes in sequence, and Plan, which makes them moves
// of the machine. Strokes can be moved and turned and planned again, and few enough be
// put in sequence for other speeds, without hatching
// anew. Nothing here is changed after it is made: another way to do the work is Make
// with another Input.
package work
