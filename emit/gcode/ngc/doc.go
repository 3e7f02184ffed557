// Package ngc reads lines of the RS274/NGC language and judges them by its
// grammar and modal rules, as Kramer, Proctor and Messina set them down in "The
// NIST RS274/NGC Interpreter, Version 3", NISTIR 6556, 2000. It takes the
// strict part of the grammar: numbers, not expressions.
//
//	line        = ["/"] [line_number] {segment}
//	line_number = "N" 1*5digit
//	segment     = word | comment | "#" 1*4digit "=" real_number
//	word        = letter real_number
//	real_number = ["+" | "-"] (digit {digit} ["." {digit}] | "." digit {digit})
//	comment     = "(" {printable character but parentheses} ")"
//
// Spaces, tabs and case do not count outside comments.
//
// One extension is known, which controllers of this language have for outputs that
// change in step with the motion: "M67 E1 Q0.5" sets output 1 to 0.5 where the next
// movement begins.
package ngc
