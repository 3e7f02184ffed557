// Package heat estimates how warm a plate gets while it is marked, from where and
// when the moves lay down their energy.
//
//	plate := heat.Plate{Rect: blank, ThicknessMM: 1, Material: material}
//	rise := heat.MeanRise(plate, deposits, 0.3)     // the plate as one lump
//	m, err := heat.Run(plate, deposits, 0.3, heat.Options{}) // over the plate
//
// Temperatures are rises above the room's, in kelvin. The plate is thin: as warm
// below as above, which Plate.Thin judges. It loses heat to the air, and to what it
// lies on, in proportion to its rise. Its edges lose none, which they do not count
// for in a thin plate. What happens under one pulse of a pulsed source, or in the
// width of one mark, is another matter: a cell of the map is wider than a mark, and
// a step of time longer than a pulse.
//
// The map is the heat equation in two dimensions, by finite volumes: each step
// takes the energy laid down in it, and then spreads it implicitly along X and
// along Y, one after the other (locally one-dimensional backward Euler; Yanenko
// 1971, from memory). The scheme keeps energy to rounding, whatever the step, and
// makes no place warmer than its neighbours and its own heat explain. What a step
// and a cell hide is of first and second order, and its tests halve both.
package heat
