package heat

import (
	"fmt"
	"iter"
	"math"
)

// Limit is a rise that no place of the plate is to pass, K, and what pauses may be.
type Limit struct {
	MostK    float64
	LongestS float64 // of one pause; 0: LongestPause
}

// LongestPause is the longest pause that Pauses asks for, s.
const LongestPause = 600.0

// Pause is a pause before a stroke.
type Pause struct {
	Before int // number of the stroke
	S      float64
}

// A pause lets the plate cool until the next stroke, which warms its own place above the
// rest, stays below this share of the limit. Our own choice: a pause every few rows is no
// help to a person, and a colder plate takes ever longer.
const (
	cooledTo    = 0.85
	leastTarget = 0.15 // of the limit: below that a stroke's own rise leaves no room
	pauseS      = 0.1  // pauses are whole multiples of it
)

// How fast the hottest place may get hotter from one stroke to the next, as a share of the
// limit, before any has been seen; and how much of what was seen counts a stroke later.
const (
	firstTrend = 0.03
	fades      = 0.9
)

// Pauses finds where to pause, and for how long, so that the plate stays below a limit,
// as seen between strokes: within one, its own place may pass the limit by what it adds,
// and whoever wants to know replays the job with its pauses. Each deposit comes with the number of the stroke that it
// begins where the job may be
// paused before it, else -1; their times are those without pauses. A stroke alone may pass
// the limit, and the plate may cool too slowly: both are a *LimitError.
func Pauses(p Plate, all iter.Seq2[int, Deposit], absorbed float64, l Limit, o Options) ([]Pause, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	if l.LongestS == 0 {
		l.LongestS = LongestPause
	}
	o, err := o.complete(p, func(yield func(Deposit) bool) {
		for _, d := range all {
			if !yield(d) {
				return
			}
		}
	})
	if err != nil {
		return nil, err
	}
	g := newGrid(p, o)
	w := pauser{runner: newRunner(g, o), limit: l,
		trend: firstTrend * l.MostK, fresh: true}
	for before, d := range all {
		if before >= 0 {
			if err := w.pause(before, d.Start); err != nil {
				return nil, err
			}
		}
		w.lay(d, absorbed)
	}
	return w.all, nil
}

// pauser is a runner that stops at times. Its own time stands still in a pause.
type pauser struct {
	runner
	limit Limit
	all   []Pause
	last  float64 // the hottest that any place was between the last two looks, K
	base  float64 // the hottest place at the last look
	own   float64 // the most that strokes between two looks have added to that
	trend float64 // by how much it may rise until the next
	fresh bool    // the next stroke is the first on a cool plate
	seen  int     // steps at the last look
}

// pause waits before a stroke that begins at a time, if the plate is about to pass the
// limit.
func (w *pauser) pause(before int, start float64) error {
	w.until(start)
	if w.n == w.seen {
		return nil // nothing has spread since
	}
	w.seen = w.n
	hot, now := w.high, w.grid.hottest()
	w.own = max(w.own, hot-w.base)
	if w.trend *= fades; !w.fresh {
		w.trend = max(w.trend, hot-w.last)
	}
	w.last, w.base, w.high, w.fresh = hot, now, 0, false
	if hot+w.trend <= w.limit.MostK {
		return nil
	}
	target := cooledTo*w.limit.MostK - w.own
	if target < leastTarget*w.limit.MostK {
		return &LimitError{
			Reason: fmt.Sprintf("a row or stroke alone warms its place by %.3g K, from a plate that is warm already",
				w.own),
			LeastK: w.own / (cooledTo - leastTarget),
		}
	}
	return w.cool(before, target)
}

// cool pauses until no place is warmer than a target, in steps that get longer.
func (w *pauser) cool(before int, target float64) error {
	took := 0.0
	wait := func(s float64) {
		w.grid.setStep(s)
		w.grid.spread()
		took += s
	}
	for step := w.o.StepS; w.grid.hottest() > target; step *= longer {
		if took > w.limit.LongestS {
			return &LimitError{Reason: fmt.Sprintf("the plate as a whole is %.3g K warm by then, and no place is to "+
				"be above %.3g K: %g minutes are not enough",
				w.grid.state(w.now).Mean, target, w.limit.LongestS/60)}
		}
		wait(min(step, 1))
	}
	whole := math.Ceil(took/pauseS-1e-9) * pauseS
	if rest := whole - took; rest > 0 {
		wait(rest)
	}
	w.grid.setStep(w.o.StepS)
	if whole > 0 { // else it has cooled by itself since the last stroke
		w.all = append(w.all, Pause{Before: before, S: whole})
	}
	w.base, w.fresh = w.grid.hottest(), true
	return nil
}

// hottest returns the rise of the warmest cell, K.
func (g *grid) hottest() float64 {
	most := 0.0
	for _, t := range g.t {
		if t > most {
			most = t
		}
	}
	return most
}

// LimitError is returned where no pause keeps the plate below a limit.
type LimitError struct {
	Reason string
	LeastK float64 // what was seen leaves room below this limit; 0 where that is not known
}

func (e *LimitError) Error() string { return e.Reason }
