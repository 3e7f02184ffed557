// Package warmth tells how warm the blank of a work gets, as far as its size, its
// thickness and its material are known: a rise for people, a map for pictures and a
// hint whether a thin plate may bow. All of it is an estimate.
package warmth
