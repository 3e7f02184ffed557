// Package personal gives each part of an order its own words and codes:
//
//	setter, parts, problems, err := personal.Prepare(input, content) // tells all that is wrong with any
//	part, _ := setter.Set(parts[0])
//	input.Drawing = part.Drawing                                      // and work is made of it as of any other
//	err = part.ReadBack(work.Strokes)                                 // its codes, from their marks
package personal
