package warmth

import (
	"errors"
	"fmt"
	"iter"
	"math"
	"time"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit"
	"furrow/emit/heat"
	"furrow/path"
)

// Rests finds where to pause a work, and for how long, so that no place of its blank
// gets warmer than a rise, by the most that the blank may take in. Their strokes are those
// of the work's program.
func Rests(w work.Work, mostK float64) ([]path.Rest, error) {
	e := Of(w)
	if e == nil {
		return nil, Unknown(w.Resolved)
	}
	s, err := strokesOf(w)
	if err != nil {
		return nil, err
	}
	before, err := pausable(w)
	if err != nil {
		return nil, err
	}
	o := heat.Options{EndS: w.Clock.Total().Seconds()}
	found, err := heat.Pauses(e.plate, s.paused(before), e.Most, heat.Limit{MostK: mostK}, o)
	var hot *heat.LimitError
	if errors.As(err, &hot) {
		more := "more"
		if hot.LeastK > 0 {
			more = fmt.Sprintf("%.0f K or more", math.Ceil(hot.LeastK))
		}
		return nil, fault.Workf("no pauses keep the blank at +%s K: %w", Kelvin(mostK), hot).
			Hintf("allow %s, mark with less power or more quickly, or let it lie on metal (lies_on in [blank])", more)
	}
	var rests []path.Rest
	for _, p := range found {
		rests = append(rests, path.Rest{Before: p.Before, For: words.Seconds(math.Round(p.S*10) / 10)})
	}
	return rests, err
}

// paused are the deposits, each with the stroke of the program that a pause may stand
// before, where one may; else -1.
func (s strokes) paused(before []int) iter.Seq2[int, heat.Deposit] {
	return func(yield func(int, heat.Deposit) bool) {
		last := -1
		for i, d := range s.numbered() {
			at := -1
			if i != last {
				at = before[i]
			}
			if last = i; !yield(at, d) {
				return
			}
		}
	}
}

// pausable tells, for each stroke that the machine marks, the stroke of the program
// before which it may be paused: one that begins a run of its own, away from where the
// last one ended. -1 where it may not.
func pausable(w work.Work) ([]int, error) {
	of, err := emit.Origins(w.Program, w.Machine.Profile)
	if err != nil {
		return nil, err
	}
	const apart = 0.01 // mm, some steps of the grid
	before := make([]int, len(of))
	for k, i := range of {
		before[k] = -1
		if k == 0 || i == of[k-1] {
			continue
		}
		s, p := w.Program.Strokes[i], w.Program.Strokes[i-1]
		last, next := w.Program.PointsOf(i-1), w.Program.PointsOf(i)
		if (s.Sweep == 0 || s.Sweep != p.Sweep) && last[len(last)-1].Dist(next[0]) >= apart {
			before[k] = i
		}
	}
	return before, nil
}

// Rested sums pauses.
func Rested(rests []path.Rest) (sum time.Duration) {
	for _, r := range rests {
		sum += r.For
	}
	return sum
}
