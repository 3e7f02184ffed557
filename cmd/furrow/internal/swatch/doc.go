// Package swatch makes cards of trial patches: what is on them as data, where it lies,
// in which sequence it is marked, and what is to be read off. A card becomes a work.Work
// as any artwork does, so it is planned, proved, timed and written as every other file.
//
//	spec, err := swatch.Spec{Columns: columns, Rows: rows, ...}   // what is asked for
//	cards, err := swatch.Grid(spec)                               // patches in their places
//	w, err := cards[0].Work()                                     // strokes and moves
//
// A card's patches are told again in its file of patches (File), from which a recipe is
// made (Between) and the next, finer card (Finer).
package swatch
