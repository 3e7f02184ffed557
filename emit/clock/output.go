package clock

import (
	"math"

	"furrow/emit"
	"furrow/emit/machine"
)

// OutputStepS is the length of the pieces of time in which an Output counts, s.
const OutputStepS = 0.25

// Output counts what the beam puts out in each piece of the time, while Each visits
// the moves: its Add is the visitor.
type Output struct {
	Joules []float64 // of each OutputStepS from the start
	beam   beam
}

// NewOutput returns one that has seen no move.
func NewOutput(m emit.Moves, p machine.Profile) *Output {
	return &Output{beam: beam{profile: p, settings: m.Settings}}
}

// Add takes the next move. What it puts out is even in time.
func (o *Output) Add(t Timed) {
	if t.Kind != emit.Mark && t.Kind != emit.Dot {
		return
	}
	start, end, joules := t.Start.Seconds()/OutputStepS, t.End.Seconds()/OutputStepS, o.beam.energyJ(&t)
	first, last := int(start), max(int(start), int(math.Ceil(end))-1)
	for len(o.Joules) <= last {
		o.Joules = append(o.Joules, 0)
	}
	if first == last {
		o.Joules[first] += joules
		return
	}
	for i := first; i <= last; i++ {
		within := min(end, float64(i+1)) - max(start, float64(i))
		o.Joules[i] += joules * within / (end - start)
	}
}
