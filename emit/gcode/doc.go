// Package gcode writes and reads the files of gantry machines: the words of
// RS274/NGC (NISTIR 6556) that a marker needs, and no others.
//
// A file sets units and modes, switches the beam off with M5 S0 and arms it, behind
// the user's own lines, with M3 S0 (steady power) or M4 S0 (power follows speed; that
// M4 means this is a convention of some controllers, not of RS274/NGC) before any mark.
// Only a moving G1, G2 or G3 carries S above 0. RS-274 leaves the
// spindle as it was in a traverse, so S is 0 whenever a G0 runs. F is in units a
// minute. A closing comment proves the file whole: the number of its lines, and the
// CRC-32 (IEEE 802.3) of every byte before that comment's line. Only the end word
// follows it:
//
//	(profile example-co2 0123456789ab)
//	(furrow 0.1.0)
//	G21 G17 G90 G94
//	M5 S0
//	M3 S0
//	G0 Y0.05
//	G1 X0 F9000
//	X60 S350
//	X71.75 S0
//	G0 Y0.15
//	...
//	M5 S0
//	(whole 2716 lines crc 1a2b3c4d)
//	M2
//
// Where the profile's power_word is an output in step with the motion, the power stands
// on a line of its own before the movement that it begins with, "M67 E0 Q0.35", and S is
// 0 throughout. The output is set to 0 behind the first M5 and before the last. Every rule
// about S then holds for it.
//
// # The rules
//
// Read and Audit refuse a file that breaks one of these. Numbers in the third column
// are paragraphs of NISTIR 6556, those of 3.5 to 3.7 from memory; "ours" is a reason of
// our own, given below. The last column is the test that breaks the rule. Rules marked
// * only apply where the machine's profile is known.
//
//	text         no line longer than a buffer of 64 KB         3.3          TestRules
//	line-length  no line longer than 70 characters             ours 1       TestRules
//	grammar      words, numbers, comments and their bytes      3.3, App. E  TestRules
//	words        which words may share a line, and F for G1    3.4, 3.5.2   TestRules
//	vocabulary   no words, parameters or deleted lines but     ours 2       TestRules
//	comment      "; ..." is ASCII, and only where named *      3.3.4, ours 3 TestRules
//	modes        unit, plane, G90 and G94 before any move      3.5.6-19, ours 4 TestRules
//	units        one unit, that of the profile *               3.5.7        TestRules
//	start        M5 and S0 in lines before a move, wait or M3   3.6.2, ours 4 TestRules
//	position     the first move names X and Y, and is no mark; 3.5.1, ours 4 TestRules
//	             none goes further than 100 m from zero
//	arm          M3 and M4 carry S0                            3.6.2, ours 5 TestRules
//	power-mode   M3 or M4, as the profile says *               ours 6       TestRules
//	power        one power, no more than full *                3.7.2        TestRules
//	traverse     S is 0 whenever a G0 runs                     3.5.1, 3.6.2 TestRules
//	unarmed      no S above 0 in a move after M5               ours 7       TestRules
//	standstill   no S above 0 in a line that moves nothing     ours 8       TestRules
//	arc          only where the profile has them *, on circle  3.5.3        TestRules
//	zero         one work offset, named before the first move  3.5.13       TestRules
//	override     no M49                                        3.6.5, ours 9 TestRules
//	air          off at the end; the profile's word *          3.6.4, ours 10 TestRules
//	end          S0, M5 and M2 or M30, as the profile says *   3.6.1        TestRules
//	after-end    nothing                                       3.6.1, ours 11 TestRules
//	whole        lines and check sum of the closing comment    ours 12      TestRulesOfTheWhole
//	maker        a file of ours names its profile and closes   ours 12      TestRulesOfTheWhole
//	settings     no more than 65,536 pairs of feed and power   ours 13      TestTooManySettings
//
// Our own reasons: 1 small controllers cut lines at their buffer. 2 what a marker does
// not have, its controller may take for something else: the words are G0 G1 G2 G3 G4
// G17 G20 G21 G40 G49 G54 to G59.3 G61 G61.1 G64 G80 G90 G94, M0 to M5, M7 to M9, M30,
// M48, M60, F I J N P S X Y, and M67 with E and Q. 3 many controllers take a bare CR as the end of a line, so
// that what follows it in a comment is run. 4 a controller begins as the last file left
// it, beam and all. 5 the beam would come on while the head stands still. 6 steady power
// burns where the head slows down, and power that follows speed leaves marks pale on a
// controller that does not scale it. 7 whoever wrote it meant a mark. 8 the beam burns in
// one place. 9 the operator could not slow the machine down. 10 M7 and M8 may be other
// than air. 11 a controller that restarts would run it. 12 a line that was lost, doubled
// or changed may still be right by every other rule. 13 the numbers of settings have
// sixteen bits.
package gcode
