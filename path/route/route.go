// Package route puts marks in the sequence and direction that cost the least
// beam-off movement, by the Cost that a machine gives, and says how far from
// the least any sequence could cost the result can be at most.
//
// Rows are cut into cells, runs of rows whose spans follow each other, each
// marked there and back. A greedy sequence of the cells is improved by exchanges
// of edges (Lin and Kernighan 1973), first with whole cells, which may change
// sides, then with pieces of them, then with single spans. Disturbances,
// counted, not timed, help it out of local minima; long sequences are disturbed
// in windows, on all CPUs, with the same result on any number.
//
// Travel by length, as so many times a lower bound (see BenchmarkSequence for
// the patterns; two shared cores):
//
//	pattern              strokes  quick         normal        best
//	b  discs              11,514  1.13  0.01 s  1.10  0.35 s  1.09   6.6 s
//	c  rings and letters  13,420  1.14  0.01 s  1.08  0.5 s   1.07    11 s
//	d  segments            5,000  1.08  0.04 s  1.03  0.13 s  1.02   1.2 s
//	D  segments           50,000  1.49  0.13 s  1.06  1.3 s   1.04  11.8 s
//	B  discs              49,646  1.17  0.03 s  1.13  1.4 s   1.12  14.7 s
//	1M discs           1,001,480        0.28 s
//
// On b the same search without cells ends at 1.36 instead of 1.09. Thirty
// iterations of the bound of a million strokes take half a minute and 1.3 GB.
package route

import (
	"context"
	"fmt"
	"slices"

	"furrow/path"
)

// Effort is how long to look for a cheaper sequence. It is counted in work
// done, never in time, so that the result is the same on any machine.
type Effort uint8

// The efforts.
const (
	BySize Effort = iota // Normal up to 200,000 spans and lines, of which closed ones count eightfold, Quick above
	Quick
	Normal
	Best
	None // everything as it is given, rows there and back
)

// normalLimit is the number of spans and lines up to which BySize is Normal. A closed
// line, which may be begun anywhere, takes about eight times as long to find a place for.
const (
	normalLimit = 200_000
	closedWeigh = 8
)

// Options is how to sequence. The zero value is a good choice.
type Options struct {
	Effort Effort
	Start  *path.Point // where the machine stands before the first stroke; nil: anywhere
	Return bool        // also count the way from the last stroke back to Start, or to the first stroke
	Bound  int         // iterations to spend on a lower bound; 0: none

	// Worth ends looking where it no longer pays: the last batch of looks, a look being
	// a price asked of the Cost, has saved less than Worth each. 0: it goes on to the
	// end of the effort. Looks, if set, is how many looks there may be at most, besides
	// those that make a first sequence.
	Worth float64
	Looks int

	// Reuse is a program that is no longer needed, whose memory the new one may take.
	Reuse path.Program

	// Progress, if set, is called now and then with the number of spans and
	// lines sequenced and of all, which count twice where there is a Bound to be
	// found as well. Calls do not overlap.
	Progress func(done, total int)
}

// Report says what a sequence costs, in the unit of the Cost.
type Report struct {
	Cost        float64 // travel of the sequence
	Bound       float64 // what any sequence of the same sweeps and lines costs at least; 0 when not asked for
	Iterations  int     // spent on Bound
	Sweeps      int     // straight runs over spans of a row, lone spans included
	Lines       int
	Interrupted bool // the context ended before the work did: the best sequence so far
}

// Sequence returns marks as strokes in the sequence in which to mark them. It
// keeps every constraint: lower phases first, OneWay rows along their direction
// only, each line ahead of its Before. Spans whose gap the cost sweeps share a
// sweep. Empty marks give an empty program.
//
// When ctx ends, the best sequence found so far is returned, without an error.
// Errors are about marks that do not hold together.
func Sequence(ctx context.Context, marks path.Marks, cost Cost, opt Options) (path.Program, Report, error) {
	if err := check(&marks); err != nil {
		return path.Program{}, Report{}, fmt.Errorf("marks: %w", err)
	}
	r := router{marks: &marks, cost: cost, opt: opt, effort: effort(&marks, opt.Effort), out: newOutput(&marks, cost)}
	if r.effort == None {
		r.asGiven(ctx)
	} else {
		r.searchAll(ctx)
	}
	r.report.Cost = r.ends(r.out)
	r.report.Interrupted = ctx.Err() != nil
	return r.out.program, r.report, nil
}

// searchAll looks for a cheap sequence, phase by phase.
func (r *router) searchAll(ctx context.Context) {
	all := r.begin()
	for i, phase := range all {
		r.phase(ctx, phase, i == len(all)-1)
	}
}

// begin makes ready for the phases it returns.
func (r *router) begin() []int {
	all := phases(r.marks)
	r.phases = len(all)
	r.progress = progress{report: r.opt.Progress, total: numStrokes(r.marks)}
	if r.opt.Bound > 0 {
		r.progress.total *= 2
	}
	return all
}

// phases returns the phases that marks has, in turn.
func phases(marks *path.Marks) []int {
	var all []int
	for i := range marks.Rows {
		all = append(all, marks.Rows[i].Phase)
	}
	for i := range marks.Lines {
		all = append(all, marks.Lines[i].Phase)
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// effort decides what BySize means for marks.
func effort(marks *path.Marks, e Effort) Effort {
	if e != BySize {
		return e
	}
	n := numStrokes(marks)
	for i := range marks.Lines {
		if marks.Lines[i].Closed {
			n += closedWeigh - 1
		}
	}
	if n > normalLimit {
		return Quick
	}
	return Normal
}

// numStrokes returns the number of spans and lines.
func numStrokes(marks *path.Marks) int {
	n := len(marks.Lines)
	for i := range marks.Rows {
		n += len(marks.Rows[i].Spans)
	}
	return n
}
