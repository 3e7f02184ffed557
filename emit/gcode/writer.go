package gcode

import (
	"fmt"
	"io"
	"math"
	"strconv"

	"furrow/emit"
	"furrow/emit/machine"
)

// bufferSize is how much is gathered before a write.
const bufferSize = 64 << 10

// writer turns moves into lines. Its numbers are steps of the grid.
type writer struct {
	w       io.Writer
	o       machine.GCode
	grid    machine.Grid
	buf     []byte
	err     error
	n       int  // of the line written last
	fresh   bool // the line has no word yet
	airOn   bool
	beamOff bool // the beam is never armed
	pauses  pauseWriter

	coordDecimals, feedDecimals, powerDecimals int

	motion byte // '0'..'3', or 0
	x, y   int64
	placed bool // a move has been written, so that X and Y hold
	s, f   int64
}

func newWriter(w io.Writer, o machine.GCode) *writer {
	e := &writer{w: w, o: o, grid: o.Grid(), pauses: newPauseWriter(o), buf: make([]byte, 0, bufferSize+512)}
	e.coordDecimals, e.feedDecimals, e.powerDecimals = 3, 3, o.PowerDecimals
	if o.Inch {
		e.coordDecimals, e.feedDecimals = 5, 5
	}
	e.f = -1
	return e
}

// move writes one line. A straight move to where the head is writes none.
func (e *writer) move(mv emit.Move) {
	if mv.Kind == emit.Wait || mv.Kind == emit.Hold {
		if !e.pauses.take(e.placed) {
			e.fail("a wait or a stop that the profile's own lines do not make")
		}
		return
	}
	x, y := e.steps(e.grid.CoordSteps(mv.To.X)), e.steps(e.grid.CoordSteps(mv.To.Y))
	if mv.Turn == emit.Straight && x == e.x && y == e.y {
		return
	}
	if e.pauses.late > 0 {
		e.fail("a wait or a stop in the midst of the work")
	}
	word, power := e.does(&mv)
	e.begin()
	e.modal(word)
	e.target(x, y, mv)
	if word != '0' {
		e.number('F', &e.f, e.steps(e.grid.SpeedSteps(mv.Speed)), e.feedDecimals)
	}
	e.number('S', &e.s, power, e.powerDecimals)
	e.end()
}

// does returns the motion word of a move and its S, in steps.
func (e *writer) does(mv *emit.Move) (word byte, power int64) {
	switch mv.Kind {
	case emit.Travel:
		return '0', 0
	case emit.Gap:
		return '1', 0
	case emit.Mark:
		power = e.steps(e.grid.PowerSteps(mv.Power))
		if e.beamOff {
			e.fail("a mark in a file with the beam off")
		}
		if power <= 0 {
			e.fail("a mark to X%g Y%g has no power", mv.To.X, mv.To.Y)
		}
		return motionWord(mv.Turn), power
	}
	e.fail("a gantry's file cannot hold a move of kind %d", mv.Kind)
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

// target writes where the move goes, and an arc's centre from where the head is.
// An arc names both axes, so that a full circle has an axis word.
func (e *writer) target(x, y int64, mv emit.Move) {
	arc := mv.Turn != emit.Straight
	i, j := -e.x, -e.y
	e.axis('X', &e.x, x, arc)
	e.axis('Y', &e.y, y, arc)
	e.placed = true
	if arc {
		e.plain('I', i+e.steps(e.grid.CoordSteps(mv.Centre.X)), e.coordDecimals)
		e.plain('J', j+e.steps(e.grid.CoordSteps(mv.Centre.Y)), e.coordDecimals)
	}
}

func (e *writer) axis(letter byte, old *int64, v int64, always bool) {
	if v != *old || always || !e.placed || e.o.RepeatWords {
		*old = v
		e.plain(letter, v, e.coordDecimals)
	}
}

// maxSteps bounds every number of a file: 10 km in micrometres, more than any
// machine, less than would make a line too long.
const maxSteps = 1e10

// steps takes a number of the grid, refusing NaN, infinity and absurd sizes.
func (e *writer) steps(v float64) int64 {
	if !(math.Abs(v) < maxSteps) {
		e.fail("the number %g is beyond what a file can hold", v)
		return 0
	}
	return int64(v)
}

func (e *writer) modal(word byte) {
	if word == e.motion && !e.o.RepeatWords {
		return
	}
	e.motion = word
	e.gap()
	e.buf = append(e.buf, 'G', word)
}

// number writes a word unless it holds already.
func (e *writer) number(letter byte, old *int64, v int64, decimals int) {
	if v == *old && !e.o.RepeatWords {
		return
	}
	*old = v
	e.plain(letter, v, decimals)
}

func (e *writer) plain(letter byte, v int64, decimals int) {
	e.gap()
	e.buf = appendFixed(append(e.buf, letter), v, decimals)
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

var scales = [...]int64{1, 10, 100, 1000, 10_000, 100_000}

// gap writes the space between words.
func (e *writer) gap() {
	if e.fresh {
		e.fresh = false
		return
	}
	e.buf = append(e.buf, ' ')
}

// begin starts a line of code.
func (e *writer) begin() {
	e.fresh = true
	if !e.o.LineNumbers {
		return
	}
	if e.n++; e.n > maxLineNumber {
		e.n = 1
	}
	e.gap()
	e.buf = strconv.AppendInt(append(e.buf, 'N'), int64(e.n), 10)
}

// maxLineNumber is the greatest of five digits; numbers begin anew behind it,
// since they need not be unique.
const maxLineNumber = 99999

func (e *writer) end() {
	if e.o.CRLF {
		e.buf = append(e.buf, '\r')
	}
	e.buf = append(e.buf, '\n')
	if len(e.buf) >= bufferSize {
		e.flush()
	}
}

// text writes a line of code as it stands.
func (e *writer) text(s string) {
	e.begin()
	e.gap()
	e.buf = append(e.buf, s...)
	e.end()
}

func (e *writer) flush() {
	if e.err == nil {
		_, e.err = e.w.Write(e.buf)
	}
	e.buf = e.buf[:0]
}

// fail keeps the first error.
func (e *writer) fail(format string, args ...any) {
	if e.err == nil {
		e.err = fmt.Errorf(format, args...)
	}
}
