// Package data reads what makes the parts of an order differ: tables of values in
// CSV and XLSX files, counters, and placeholders in text.
//
//	table, err := data.Read("tags.csv", bytes, data.Options{})
//	parts, problems := data.Parts(table, counters, data.Rules{Unique: []string{"number"}})
//	text, err := data.ParseTemplate("{species} {number}")
//	words := text.Fill(parts[0].Values)
//
// What is wrong is collected: every problem of a file is told in one run, with its
// row and column. A value that may have been read wrongly is a problem.
package data
