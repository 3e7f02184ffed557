// Package figures holds the facts of moves that a file's maker and its checker both
// tell: the two must agree to the last digit.
package figures
