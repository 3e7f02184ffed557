package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"time"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit/clock"
	"furrow/path"
	"furrow/path/route"

	"github.com/schollz/progressbar/v3"
	"github.com/spf13/pflag"
)

var efforts = map[string]route.Effort{"quick": route.Quick, "normal": route.Normal, "best": route.Best, "none": route.None}

// sequenceFlags registers what is said of the search for a short way.
func (r *request) sequenceFlags(fs *pflag.FlagSet) {
	value.Word(fs, &r.Effort, job.EffortWords, "effort",
		"how long to look for a shorter way: `HOW` is none (row after row), quick, normal or best (default normal, quick above 200,000 spans)")
	value.Flag(fs, &r.bound, "bound",
		"also prove how near the travel is to the least possible, in `N` rounds (without N, as many as fit the size)").NoOptDefVal = bySize
}

// rounds is how many times the bound on travel is improved; 0 goes by the size.
type rounds int

const bySize = "auto"

func (r *rounds) Set(s string) error {
	if s == bySize {
		*r = 0
		return nil
	}
	var n value.Count
	err := n.Set(s)
	*r = rounds(n)
	return err
}

// For returns the rounds for so many marks: by size, those that take ten seconds
// or so, but enough to be worth it.
func (r rounds) For(marks int) int {
	const least, most, perMark = 30, value.MaxCount, 10_000_000
	if r > 0 {
		return int(r)
	}
	return max(least, min(most, perMark/max(1, marks)))
}

// sequence puts the marks in the sequence of least travel. An interrupt ends
// the search early, not the work.
func (b *build) sequence(a *app, marks path.Marks) error {
	var cost route.Cost = route.Length{}
	if b.Machine != nil {
		cost = clock.Cost(b.Machine.Profile, marks.Settings)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	bar := a.progress("sequence")
	defer bar.end()
	opt := route.Options{Effort: efforts[value.Or(b.Job.Effort, "")], Progress: bar.at}
	if b.Machine != nil {
		opt.Start = &path.Point{} // where the file begins and the clock starts: at zero, or mid-field
	}
	if b.bound != nil {
		opt.Bound = b.bound.For(b.hatched.Spans + len(marks.Lines))
	}
	var err error
	b.program, b.routed, err = route.Sequence(ctx, marks, cost, opt)
	if b.routed.Interrupted {
		b.warn(warning{Message: "interrupted: the sequence is the best found so far, every mark is in it"})
	}
	return err
}

// progress is a bar on a terminal for work that takes over a second. Elsewhere
// it shows nothing.
type progress struct {
	a     *app
	name  string
	start time.Time
	bar   *progressbar.ProgressBar
}

func (a *app) progress(name string) *progress {
	return &progress{a: a, name: name, start: time.Now()}
}

func (p *progress) at(done, total int) {
	if p.bar == nil {
		if !fault.Terminal(p.a.stderr) || time.Since(p.start) < time.Second {
			return
		}
		p.bar = progressbar.NewOptions(total, progressbar.OptionSetWriter(p.a.stderr),
			progressbar.OptionSetDescription(p.name), progressbar.OptionClearOnFinish(),
			progressbar.OptionThrottle(100*time.Millisecond))
	}
	if p.bar.GetMax() != total {
		p.bar.ChangeMax(total)
	}
	p.bar.Set(done) // an error is one of the terminal's, which is no reason to stop
}

func (p *progress) end() {
	if p.bar != nil {
		p.bar.Finish()
		fmt.Fprint(p.a.stderr, "\r")
	}
}
