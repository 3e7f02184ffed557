package main

// cautionShort stands in the help. The wording of all cautions follows the
// usual practice of the user standards (IEC 60825-1, ANSI Z136.1) and leaves
// the decisions to the people and papers named.
const cautionShort = `Lasers of class 4 blind and burn. Guidance only: the machine's manual, local rules
and your laser safety officer come first.`
