package play

import (
	"errors"
	"fmt"
	"time"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/path"
)

// Sample is what mirrors and gate are given at one moment.
type Sample struct {
	X, Y  float64 // mm from the middle of the field
	Power float64 // fraction of full, 0 where the gate is closed
	Gate  bool
}

// Options says how a list is sampled.
type Options struct {
	Rate int // samples a second
}

// The rates that can be asked for, samples a second: what converters do, with
// room on both sides.
const (
	LeastRate = 1000
	MostRate  = 5_000_000
)

// ErrNoList is returned for moves that are not a galvo's.
var ErrNoList = errors.New("only a galvo's list can be played as samples")

// longest bounds the time of what is sampled: beyond it, nanoseconds times the
// rate are no longer whole numbers that fit.
const longest = 400 * time.Hour

// blockLen is how many samples are handed out at once.
const blockLen = 8192

// Report is what was played.
type Report struct {
	Samples int64
	Cut     int           // gates closed early, since a jump started before the laser-off delay was over
	CutMost time.Duration // by how much at most
}

// Run hands out the samples of moves in blocks, which are used again. It stops at
// the first error of block.
func Run(m emit.Moves, p machine.Profile, o Options, block func([]Sample) error) (Report, error) {
	switch {
	case !m.ForGalvo():
		return Report{}, ErrNoList
	case o.Rate < LeastRate || o.Rate > MostRate:
		return Report{}, fmt.Errorf("%d samples a second are out of range: use %d to %d", o.Rate, LeastRate, MostRate)
	}
	s := sampler{m: m, rate: int64(o.Rate), block: block, buf: make([]Sample, 0, blockLen)}
	for _, sc := range m.Scanner {
		s.early = min(s.early, time.Duration(min(sc.OnUS, sc.OffUS))*time.Microsecond)
	}
	r, err := clock.Each(m, p, s.move)
	if err == nil && s.err == nil {
		s.finish(r.Total())
	}
	s.report.Samples = s.next
	return s.report, errors.Join(err, s.err)
}

// Count returns how many samples a list of a length has at a rate.
func Count(total time.Duration, rate int) int64 { return firstAt(total+1, int64(rate)) }

// firstAt returns the first sample that is not before t.
func firstAt(t time.Duration, rate int64) int64 {
	const second = int64(time.Second)
	whole, rest := int64(t)/second, int64(t)%second
	n := rest * rate
	return whole*rate + (n+second-1)/second
}

// leg is a way of the mirrors: from From at Start to To at End, where they stay.
type leg struct {
	from, to   path.Point
	start, end time.Duration
	jump       bool
}

// gate is a time in which it is open.
type gate struct {
	open, close time.Duration
	power       float64
}

// sampler lays samples along the legs. A gate may open before the mark that it
// belongs to starts, so legs wait until all gates over them are known.
type sampler struct {
	m     emit.Moves
	rate  int64
	early time.Duration // the earliest that a gate moves before a mark starts or ends, 0 or less
	block func([]Sample) error
	buf   []Sample
	err   error

	legs  []leg
	gates []gate
	lit   bool // marks are under way
	open  gate // theirs, which closes no earlier than all that is known
	off   time.Duration
	last  clock.Timed
	next  int64 // the next sample

	report Report
}

// move takes the next move of the list.
func (s *sampler) move(t clock.Timed) {
	if s.err != nil {
		return
	}
	if t.End > longest {
		s.err = fmt.Errorf("a list of more than %v cannot be played as samples", longest)
		return
	}
	s.gate(t)
	jump := t.Kind == emit.Travel || t.Kind == emit.Guide
	if jump {
		s.cut(t.Start)
	}
	s.legs = append(s.legs, leg{from: t.From, to: t.To, start: t.Start, end: t.End, jump: jump})
	s.until(t.Start + s.early)
	s.last = t
}

// gate opens and closes it as the move says.
func (s *sampler) gate(t clock.Timed) {
	sc := s.m.Scanner[t.Setting]
	if s.lit {
		goesOn := t.Kind == emit.Mark && s.last.Kind == emit.Mark && s.m.SameChain(s.last.Setting, t.Setting)
		if goesOn && t.Power == s.open.power {
			return
		}
		close := s.last.End + s.off
		if goesOn { // only the power changes, which follows the gate's delay
			close = t.Start + time.Duration(sc.OnUS)*time.Microsecond
		}
		s.close(close)
		if goesOn {
			s.lit, s.open = true, gate{open: close, power: t.Power}
			return
		}
	}
	if t.Kind == emit.Mark || t.Kind == emit.Dot {
		on, off := time.Duration(sc.OnUS)*time.Microsecond, time.Duration(sc.OffUS)*time.Microsecond
		if t.Kind == emit.Dot {
			on, off = 0, 0
		}
		s.lit, s.open, s.off = true, gate{open: t.Start + on, power: t.Power}, off
	}
}

// close ends the open gate.
func (s *sampler) close(at time.Duration) {
	s.open.close = at
	if at > s.open.open {
		s.gates = append(s.gates, s.open)
	}
	s.lit = false
}

// cut closes the last gate at the start of a jump.
func (s *sampler) cut(start time.Duration) {
	if n := len(s.gates); n > 0 && s.gates[n-1].close > start {
		g := &s.gates[n-1]
		s.report.Cut++
		s.report.CutMost = max(s.report.CutMost, g.close-start)
		g.close = max(g.open, start)
	}
}

// finish hands out the rest.
func (s *sampler) finish(total time.Duration) {
	if s.lit {
		s.close(s.last.End + s.off)
	}
	s.until(total + 1)
	if s.err == nil && len(s.buf) > 0 {
		s.err = s.block(s.buf)
	}
}
