package clock

import (
	"fmt"
	"time"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
)

// Timed is a move with where it began and when it runs.
type Timed struct {
	emit.Move
	From       path.Point
	Start, End time.Duration
}

// Run plays the moves once and returns what they amount to on the machine.
func Run(m emit.Moves, p machine.Profile) (Report, error) { return Each(m, p, nil) }

// Each is Run that also calls visit, unless nil, with each move in sequence.
// Moves read from a mark-vector list carry all that is needed; the profile may
// then be the zero value. With one, bounds are those of where the beam goes and
// not of where a corrected list sends it; lengths and times are as commanded.
func Each(m emit.Moves, p machine.Profile, visit func(Timed)) (Report, error) {
	switch {
	case m.ForGalvo():
		return runGalvo(m, p, visit)
	case p.IsGantry():
		return runGantry(m, p, visit)
	default:
		return Report{}, fmt.Errorf("machine %q: no clock for kind %q", p.ID, p.Kind)
	}
}
