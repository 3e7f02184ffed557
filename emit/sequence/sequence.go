// Package sequence chooses the sequence of a job: what the search finds, or plain rows
// there and back where the clock says that these are quicker.
package sequence

import (
	"context"
	"errors"
	"time"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/route"
)

// Options is how to look for a sequence.
type Options struct {
	Effort   route.Effort
	Quantity int                   // how often the job is done: looking may cost as much as it saves in all; 0: once
	Bound    int                   // as in route.Options
	Progress func(done, total int) // as in route.Options

	// Check, if set, is given plain rows before anything is looked for. What it finds
	// is refused, but for keep-outs, which another sequence may stay clear of.
	Check func(path.Program) error
}

// Report says how long a sequence takes, by the clock.
type Report struct {
	route.Report
	Time    time.Duration
	Plain   time.Duration // of plain rows; 0 where they are no choice, since they meet a keep-out
	Default time.Duration // of what the default effort finds; 0 but with route.Best
}

// Saved returns by how much the sequence is quicker than plain rows.
func (r Report) Saved() time.Duration { return max(0, r.Plain-r.Time) }

// Gained returns by how much it is quicker than that of the default effort.
func (r Report) Gained() time.Duration { return max(0, r.Default-r.Time) }

// leastGain is what a sequence has to save to be written in place of plain rows, as part
// of their time: as much as the cost that the search goes by is true to. Rows in their
// turn warm the material evenly, which no saving below that is worth.
const leastGain = 0.002

// Of returns the quickest of the sequences of marks on a machine that plain rows, the
// default effort and the effort asked for give. What Check refuses is returned too, with
// the error.
func Of(ctx context.Context, marks path.Marks, p machine.Profile, opt Options) (path.Program, Report, error) {
	c := chooser{marks: marks, profile: p, cost: clock.Cost(p, marks.Settings), opt: opt}
	plain, err := c.plain(ctx)
	if err != nil || opt.Effort == route.None {
		plain.report.Plain = plain.report.Time
		return plain.program, plain.report, err
	}
	if opt.Check != nil {
		if err := opt.Check(plain.program); err != nil {
			if !meetsKeepOutOnly(err) {
				return plain.program, plain.report, err
			}
			plain.report.Time = 0
		}
	}
	c.used = plain.program // made again where it is needed, to hold one at a time
	found, err := c.search(ctx)
	if err != nil {
		return path.Program{}, Report{}, err
	}
	chosen := plain.report.against(found.report)
	if chosen.Time != found.report.Time {
		c.used = found.program
		found.program, _, err = route.Sequence(ctx, c.marks, c.cost, c.options(route.None))
	}
	return found.program, chosen, err
}

// against returns the report of what is written: of the sequence found, or of plain rows.
func (r Report) against(found Report) Report {
	quicker := func(t time.Duration) bool { return r.Time == 0 || t < r.Time-time.Duration(leastGain*float64(r.Time)) }
	chosen := found
	if !quicker(found.Time) {
		chosen.Report, chosen.Time = r.Report, r.Time
		chosen.Bound, chosen.Iterations, chosen.Interrupted = found.Bound, found.Iterations, found.Interrupted
	}
	if found.Default > 0 && !quicker(found.Default) {
		chosen.Default = r.Time
	}
	chosen.Plain = r.Time
	return chosen
}

// meetsKeepOutOnly reports that what is wrong depends on the sequence.
func meetsKeepOutOnly(err error) bool {
	var keepOut *emit.KeepOutError
	var bed *emit.BedError
	return errors.As(err, &keepOut) && !errors.As(err, &bed)
}

// chooser tries sequences of marks.
type chooser struct {
	marks   path.Marks
	profile machine.Profile
	cost    route.Cost
	opt     Options
	used    path.Program // that is no longer needed: the next takes its memory
}

// candidate is a sequence that has been timed.
type candidate struct {
	program path.Program
	report  Report
}

// plain returns plain rows, with a bound only where nothing else is asked for.
func (c *chooser) plain(ctx context.Context) (candidate, error) {
	opt := c.options(route.None)
	if c.opt.Effort == route.None {
		opt.Bound = c.opt.Bound
	}
	return c.try(ctx, opt)
}

// search returns what is found with the effort asked for, or with the default one where
// that has luck.
func (c *chooser) search(ctx context.Context) (candidate, error) {
	opt := c.options(c.opt.Effort)
	opt.Bound, opt.Progress = c.opt.Bound, c.opt.Progress
	if c.opt.Effort != route.Best {
		return c.try(ctx, opt)
	}
	first, err := c.try(ctx, c.options(route.BySize))
	if err != nil {
		return candidate{}, err
	}
	found, err := c.try(ctx, opt)
	if err == nil && first.report.Time < found.report.Time {
		first.report.Bound, first.report.Iterations = found.report.Bound, found.report.Iterations
		first.report.Interrupted = found.report.Interrupted
		found = first
	}
	found.report.Default = first.report.Time
	return found, err
}

// secondsPerLook is what a look costs, by which it is judged whether another one pays:
// on the machines that this was written on, rounded. Time itself is never measured, so
// that the result is the same everywhere.
const secondsPerLook = 100e-9

// mostLooks is how many a job may take that is done once and has up to manyStrokes: at the
// half microsecond that a gantry's ways take, less than half a second. Larger jobs may take
// more in proportion.
const (
	mostLooks   = 900_000
	manyStrokes = 20_000
)

// options returns those of an effort. Looking has to pay but at the best.
func (c *chooser) options(effort route.Effort) route.Options {
	opt := route.Options{Effort: effort, Start: &path.Point{}, Reuse: c.used}
	c.used = path.Program{}
	if effort == route.Best {
		return opt
	}
	times := max(1, c.opt.Quantity)
	opt.Worth = secondsPerLook / float64(times)
	opt.Looks = times * mostLooks * max(manyStrokes, strokes(&c.marks)) / manyStrokes
	return opt
}

// strokes counts spans and lines.
func strokes(m *path.Marks) int {
	n := len(m.Lines)
	for i := range m.Rows {
		n += len(m.Rows[i].Spans)
	}
	return n
}

// try returns the sequence of an effort, timed.
func (c *chooser) try(ctx context.Context, opt route.Options) (candidate, error) {
	prog, found, err := route.Sequence(ctx, c.marks, c.cost, opt)
	if err != nil {
		return candidate{}, err
	}
	moves, err := emit.Plan(prog, c.profile)
	if err != nil {
		return candidate{}, err
	}
	r, err := clock.Run(moves, c.profile)
	return candidate{prog, Report{Report: found, Time: r.Total()}}, err
}
