// Package tune fits the motion values of a machine profile to measured times, by least
// squares over the clock itself, and makes the runs that tell those values apart best.
//
//	r, err := tune.Fit(profile, runs)   // runs: moves with a time by a watch
//	r.Profile                           // the same machine with the values that fit
//
// A value is looked for by its logarithm, since a watch errs by a share of the time. A
// value that the runs cannot tell stays near what the profile has: to that end each
// one has a wide prior (see spread), which a run that tells it outweighs by far.
package tune
