// Package play turns a mark-vector list into what two mirrors and a gate are
// given, sample by sample: where the mirrors are sent, the power, and whether the
// gate is open.
//
// Time is that of the list's contract, as package clock tells it: a move runs from
// its start to its end at its speed, and the mirrors are sent nowhere else until the
// next one starts. The gate opens the laser-on delay after the commanded start of
// a mark that follows none, and closes the laser-off delay after its commanded end;
// in a jump it is closed whatever the delays say. Sample i is what holds at i over
// the rate.
//
//	err := play.Run(moves, profile, play.Options{Rate: 100_000}, func(s []play.Sample) error {
//		return w.Write(s)
//	})
package play
