// Package lens corrects the distortion of a galvo's field. A grid of crosses is
// marked and measured; the points make a smooth map from where the beam was
// sent to where it went, and a place is reached by sending the beam to the
// point that the map takes there.
//
//	samples, err := lens.ReadCSV(file)
//	c, err := lens.Fit(samples)
//	send, ok := c.Apply(want) // the inverse of the map, by Newton's method
//	want = c.Undo(send)       // the map
//
// The map is a tensor product of cubic splines with the not-a-knot condition at
// the ends (de Boor, A Practical Guide to Splines, 1978, ch. IV): exact for any
// distortion that is a cubic in X and in Y, as pincushion and barrel are in
// first approximation, and with no condition at the edge that a lens does not
// keep. The one-dimensional splines are gonum's.
package lens
