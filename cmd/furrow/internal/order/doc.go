// Package order makes everything that the bench and the customer need of a job: the
// loads, a file for each different one, the papers, and a record that a repeat order
// is made from.
//
//	o, err := order.Plan(in)             // parts in pockets, loads of them
//	load, err := o.Make(o.Loads[0])      // its moves, proved and timed
//	changes, err := o.Write(dir, ...)    // the folder, whole or not at all
//
// A part that looks like another is hatched once and laid out as often as it is
// needed.
package order
