// Package block makes the lines of an RS-274 file that moves become, which the
// standard calls blocks: their words, and which of them hold from the line before.
// The writer of files and the clock, which has to know how many bytes go over a link,
// both take them from here.
package block

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"furrow/emit"
	"furrow/emit/machine"
)

// State is what holds from the lines so far. Numbers are steps of the grid.
type State struct {
	controller machine.GCode
	grid       machine.Grid
	coord      int // decimals, as the next two
	feed       int
	power      int
	number     int  // of the line written last
	fresh      bool // the line has no word yet
	motion     byte // '0'..'3', or 0
	x, y       int64
	placed     bool // a move has been written, so that X and Y hold
	s, f       int64
	err        error // of the line at hand
}

// Start returns the state before the first line.
func Start(controller machine.GCode) *State {
	s := &State{controller: controller, grid: controller.Grid(), coord: 3, feed: 3,
		power: controller.PowerDecimals, f: -1}
	if controller.Inch {
		s.coord, s.feed = 5, 5
	}
	return s
}

// Goes reports that a move goes elsewhere than where the head is.
func (s *State) Goes(mv *emit.Move) bool {
	return mv.Turn != emit.Straight || s.grid.CoordSteps(mv.To.X) != float64(s.x) ||
		s.grid.CoordSteps(mv.To.Y) != float64(s.y)
}

// Lit reports that the last move was a mark, whose power holds.
func (s *State) Lit() bool { return s.s > 0 }

// Text appends a line of code as it stands.
func (s *State) Text(b []byte, code string) []byte {
	b = append(s.gap(s.begin(b)), code...)
	return s.end(b)
}

// Comment appends a line that is no code, and so has no number.
func (s *State) Comment(b []byte, text string) []byte { return s.end(append(b, text...)) }

// Move appends the line of a move, and none where that is straight and to where the
// head is. Before a mark that is the first move, and where an output sets the power, there
// is a line more.
func (s *State) Move(b []byte, mv *emit.Move) ([]byte, error) {
	s.err = nil
	x, y := s.steps(s.grid.CoordSteps(mv.To.X)), s.steps(s.grid.CoordSteps(mv.To.Y))
	if mv.Turn == emit.Straight && x == s.x && y == s.y {
		return b, s.err
	}
	if mv.Kind == emit.Mark && !s.placed {
		b = s.toZero(b)
	}
	word, power := s.does(mv)
	if s.controller.PowerByOutput() {
		b = s.output(b, power)
	}
	b = s.begin(b)
	b = s.modal(b, word)
	b = s.target(b, x, y, mv)
	if word != '0' {
		b = s.word(b, 'F', &s.f, s.steps(s.grid.SpeedSteps(mv.Speed)), s.feed)
	}
	if !s.controller.PowerByOutput() {
		b = s.word(b, 'S', &s.s, power, s.power)
	}
	return s.end(b), s.err
}

// toZero goes to X0 Y0, from where the first move counts, before a mark begins there:
// where the head is at the start of a file nobody knows.
func (s *State) toZero(b []byte) []byte {
	b = s.modal(s.begin(b), '0')
	b = s.target(b, 0, 0, &emit.Move{})
	return s.end(b)
}

// output appends a line that sets the power, in steps, where the next movement begins,
// unless it holds already.
func (s *State) output(b []byte, power int64) []byte {
	if power == s.s && !s.controller.RepeatWords {
		return b
	}
	s.s = power
	b = append(s.gap(s.begin(b)), s.controller.PowerWord...)
	return s.end(appendFixed(b, power, s.power))
}

// Pause appends the line of a wait, "G4 P1.5", or of a stop, with the power 0: RS-274 leaves
// the beam as it was while the machine stands. P is in seconds (RS274/NGC, NISTIR 6556,
// 3.5.4), or in what the profile says. The motion word of the lines before it holds behind it.
func (s *State) Pause(b []byte, mv *emit.Move) []byte {
	b = s.begin(b)
	switch {
	case mv.Kind == emit.Hold:
		b = append(s.gap(b), "M0"...)
	case s.controller.WaitUnit == machine.WaitMilliseconds:
		b = s.plain(append(s.gap(b), "G4"...), 'P', mv.WaitUS, 3)
	default:
		b = s.plain(append(s.gap(b), "G4"...), 'P', mv.WaitUS, 6)
	}
	if s.s > 0 {
		b = s.word(b, 'S', &s.s, 0, s.power)
	}
	return s.end(b)
}

// NoPower appends a line that sets the output to 0, and none where S is the power.
func (s *State) NoPower(b []byte) []byte {
	if !s.controller.PowerByOutput() {
		return b
	}
	s.s = -1 // whatever it is
	return s.output(b, 0)
}

// ErrNoPower says that a mark has no power in the file's numbers.
var ErrNoPower = errors.New("has no power")

// does returns the motion word of a move and its power, in steps.
func (s *State) does(mv *emit.Move) (word byte, power int64) {
	switch mv.Kind {
	case emit.Travel:
		return '0', 0
	case emit.Gap:
		return '1', 0
	case emit.Mark:
		power = s.steps(s.grid.PowerSteps(mv.Power))
		if power <= 0 {
			s.fail(fmt.Errorf("a mark to X%g Y%g %w", mv.To.X, mv.To.Y, ErrNoPower))
		}
		return motionWord(mv.Turn), power
	}
	s.fail(fmt.Errorf("a gantry's file cannot hold a move of kind %d", mv.Kind))
	return '0', 0
}

func motionWord(t emit.Turn) byte {
	switch t {
	case emit.Clockwise:
		return '2'
	case emit.CounterClockwise:
		return '3'
	default:
		return '1'
	}
}

// target appends where the move goes, and an arc's centre from where the head is.
// An arc names both axes, so that a full circle has an axis word.
func (s *State) target(b []byte, x, y int64, mv *emit.Move) []byte {
	arc := mv.Turn != emit.Straight
	i, j := -s.x, -s.y
	always := arc || !s.placed
	b = s.axis(b, 'X', &s.x, x, always)
	b = s.axis(b, 'Y', &s.y, y, always)
	s.placed = true
	if arc {
		b = s.plain(b, 'I', i+s.steps(s.grid.CoordSteps(mv.Centre.X)), s.coord)
		b = s.plain(b, 'J', j+s.steps(s.grid.CoordSteps(mv.Centre.Y)), s.coord)
	}
	return b
}

func (s *State) axis(b []byte, letter byte, old *int64, v int64, always bool) []byte {
	if always {
		*old = v
		return s.plain(b, letter, v, s.coord)
	}
	return s.word(b, letter, old, v, s.coord)
}

// word appends a word unless it holds already.
func (s *State) word(b []byte, letter byte, old *int64, v int64, decimals int) []byte {
	if v == *old && !s.controller.RepeatWords {
		return b
	}
	*old = v
	return s.plain(b, letter, v, decimals)
}

func (s *State) modal(b []byte, word byte) []byte {
	if word == s.motion && !s.controller.RepeatWords {
		return b
	}
	s.motion = word
	return append(s.gap(b), 'G', word)
}

func (s *State) plain(b []byte, letter byte, v int64, decimals int) []byte {
	return appendFixed(append(s.gap(b), letter), v, decimals)
}

// maxSteps bounds every number of a file: 10 km in micrometres, more than any
// machine, less than would make a line too long.
const maxSteps = 1e10

// steps takes a number of the grid, refusing NaN, infinity and absurd sizes.
func (s *State) steps(v float64) int64 {
	if !(math.Abs(v) < maxSteps) {
		s.fail(fmt.Errorf("the number %g is beyond what a file can hold", v))
		return 0
	}
	return int64(v)
}

// fail keeps the first error.
func (s *State) fail(err error) {
	if s.err == nil {
		s.err = err
	}
}

// gap appends the space between words.
func (s *State) gap(b []byte) []byte {
	if s.fresh {
		s.fresh = false
		return b
	}
	return append(b, ' ')
}

// begin starts a line of code, with its number where lines have one.
func (s *State) begin(b []byte) []byte {
	s.fresh = true
	if !s.controller.LineNumbers {
		return b
	}
	if s.number++; s.number > maxNumber {
		s.number = 1
	}
	return strconv.AppendInt(append(s.gap(b), 'N'), int64(s.number), 10)
}

// maxNumber is the greatest of five digits; numbers begin anew behind it, since they
// need not be unique.
const maxNumber = 99999

func (s *State) end(b []byte) []byte {
	if s.controller.CRLF {
		b = append(b, '\r')
	}
	return append(b, '\n')
}

// appendFixed appends v as a number with so many decimals, without the zeros at
// its end. Zero has no sign, since v is an integer.
func appendFixed(b []byte, v int64, decimals int) []byte {
	if v < 0 {
		b = append(b, '-')
		v = -v
	}
	scale := scales[decimals]
	whole, part := v/scale, v%scale
	b = strconv.AppendInt(b, whole, 10)
	if part == 0 {
		return b
	}
	b = append(b, '.')
	for part > 0 {
		scale /= 10
		b = append(b, byte('0'+part/scale))
		part %= scale
	}
	return b
}

var scales = [...]int64{1, 10, 100, 1000, 10_000, 100_000, 1_000_000}
