package tune

import (
	"math"
	"slices"

	"furrow/emit"
	"furrow/emit/machine"
)

// timer tells how long a run takes on a machine.
type timer struct {
	measuredS float64
	seconds   func(machine.Profile) (float64, error)
	back      int // so many runs before it stands one of the same file, if it is not 0
}

// mostHeld is how many moves of a file are held: 16 MB of them.
const mostHeld = 1 << 18

// held returns the runs with the moves of each file in memory, where those are few, as in all
// that a watch tells: they are played some hundred times, and a file takes as long to read as to time.
func held(runs []Run) []Run {
	runs = slices.Clone(runs)
	for i := range runs {
		if first := firstOf(runs, i); first < i {
			runs[i].Moves = runs[first].Moves
		} else if moves, ok := few(runs[i].Moves); ok {
			runs[i].Moves.Play = func(yield func(emit.Move, error) bool) {
				for _, mv := range moves {
					if !yield(mv, nil) {
						return
					}
				}
			}
		}
	}
	return runs
}

// few collects moves, if there are no more than are held and none fails.
func few(m emit.Moves) (all []emit.Move, ok bool) {
	for mv, err := range m.All() {
		if err != nil || len(all) == mostHeld {
			return nil, false
		}
		all = append(all, mv)
	}
	return all, true
}

// firstOf is the first of the runs that is of the same file as run i.
func firstOf(runs []Run, i int) int {
	if runs[i].File == "" {
		return i
	}
	return slices.IndexFunc(runs, func(r Run) bool { return r.File == runs[i].File })
}

// timersOf returns those of runs. A galvo's time is even in its delays and in the inverse
// of its jump speed, so that a few readings of the clock tell it for all of them; a run of
// a million records would else be played some hundred times. A gantry's is not.
func timersOf(p machine.Profile, runs []Run) (all []timer, err error) {
	for i, r := range runs {
		t := timer{measuredS: r.MeasuredS, back: i - firstOf(runs, i),
			seconds: func(p machine.Profile) (float64, error) { return seconds(r, p) }}
		if t.back == 0 && p.IsGalvo() && p.Galvo.TrackingLagUS == 0 {
			if t.seconds, err = evenly(r, p); err != nil {
				return nil, err
			}
		}
		all = append(all, t)
	}
	return all, nil
}

// term is what a knob adds to the time of a run, for each unit of its value, or of the
// inverse of a speed.
type term struct {
	knob knob
	by   float64
}

func (t term) of(p machine.Profile) float64 {
	v := t.knob.get(p)
	if t.knob.key == "galvo.jump_speed_mm_s" {
		return 1 / v
	}
	return v
}

// evenly finds the terms of a run by doubling one knob after the other.
func evenly(r Run, p machine.Profile) (func(machine.Profile) (float64, error), error) {
	first, err := seconds(r, p)
	if err != nil {
		return nil, err
	}
	var terms []term
	rest := first
	for _, k := range knobs(p) {
		t := term{knob: k}
		other := t.knob.set(p, farther(k, p))
		then, err := seconds(r, other)
		if err != nil {
			return nil, err
		}
		t.by = (then - first) / (t.of(other) - t.of(p))
		rest -= t.by * t.of(p)
		terms = append(terms, t)
	}
	return func(p machine.Profile) (float64, error) {
		sum := rest
		for _, t := range terms {
			sum += t.by * t.of(p)
		}
		return math.Max(sum, math.SmallestNonzeroFloat64), nil
	}, nil
}

// farther is another value of a knob, far enough that whole microseconds do not count: a
// short jump's delay is no longer than a long one's.
func farther(k knob, p machine.Profile) float64 {
	v := math.Round(k.get(p))
	if k.key == "galvo.short_jump_delay_us" {
		return math.Max(1, math.Round(v/4))
	}
	return 4 * v
}
