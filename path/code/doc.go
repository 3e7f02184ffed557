// Package code makes machine-readable codes of text, lays them into a rectangle
// as shapes, and reads them back from a picture:
//
//	symbol, err := code.Encode(code.DataMatrix, "0417")
//	placed, err := symbol.Place(code.Room{Rect: r, SpacingMM: 0.05, MarkWidthMM: 0.06})
//	text, err := code.Read(code.DataMatrix, picture)
//
// Symbols and readers are those of two libraries, whose types stay in here and
// whose panics become errors.
package code
