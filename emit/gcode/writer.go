package gcode

import (
	"bytes"
	"errors"
	"hash/crc32"
	"io"

	"furrow/emit"
	"furrow/emit/gcode/block"
	"furrow/emit/machine"
)

// bufferSize is how much is gathered before a write.
const bufferSize = 64 << 10

// writer turns moves into lines, and lines into a file.
type writer struct {
	w       io.Writer
	o       machine.GCode
	lines   *block.State
	buf     []byte
	err     error
	airOn   bool
	beamOff bool        // the beam is never armed
	pauses  int         // that the user's last lines make
	paused  []emit.Move // since the last movement
	flushed int         // lines
	crc     uint32      // of what has been flushed
}

func newWriter(w io.Writer, o machine.GCode) *writer {
	return &writer{w: w, o: o, lines: block.Start(o), pauses: len(emit.Pauses(o.EndLines, o)),
		buf: make([]byte, 0, bufferSize+512)}
}

// move writes one line. A straight move to where the head is writes none.
func (e *writer) move(mv *emit.Move) {
	if mv.Kind == emit.Wait || mv.Kind == emit.Hold {
		e.paused = append(e.paused, *mv)
		return
	}
	if len(e.paused) > 0 && e.lines.Goes(mv) {
		e.pause(e.paused)
		e.paused = e.paused[:0]
	}
	if e.beamOff && mv.Kind == emit.Mark {
		e.fail(errors.New("a mark in a file with the beam off"))
	}
	var err error
	if e.buf, err = e.lines.Move(e.buf, mv); err != nil {
		e.fail(err)
	}
	e.full()
}

// pause writes waits and stops, where the controller has words for them. A galvo's put the
// power to 0. On a gantry none comes behind a mark: an output in step with the motion would
// leave the beam on.
func (e *writer) pause(waits []emit.Move) {
	galvo := e.o.WaitUnit != ""
	for i := range waits {
		switch {
		case !galvo && (waits[i].Kind == emit.Hold || !e.o.Dwell):
			e.fail(ErrNoDwell)
			return
		case !galvo && e.lines.Lit():
			e.fail(errors.New("a wait behind a mark, with the beam on"))
			return
		}
		e.buf = e.lines.Pause(e.buf, &waits[i])
		e.full()
	}
}

// ErrNoDwell is returned for a wait or a stop before a movement that the profile has no
// word for.
var ErrNoDwell = errors.New("a wait or a stop inside the work, which the profile has no word for")

// lastPauses writes the waits and stops behind the last movement that no lines of the
// user's own make: a gantry's file has none.
func (e *writer) lastPauses() {
	n := len(e.paused) - e.pauses
	switch {
	case n <= 0:
	case e.o.WaitUnit == "":
		e.fail(errors.New("a wait or a stop that the profile's own lines do not make"))
	default:
		e.pause(e.paused[:n])
	}
}

// noPower sets an output that is the power to 0.
func (e *writer) noPower() {
	e.buf = e.lines.NoPower(e.buf)
	e.full()
}

// text writes a line of code as it stands.
func (e *writer) text(s string) {
	e.buf = e.lines.Text(e.buf, s)
	e.full()
}

// full writes what has been gathered when it is enough.
func (e *writer) full() {
	if len(e.buf) >= bufferSize {
		e.flush()
	}
}

func (e *writer) flush() {
	e.flushed += bytes.Count(e.buf, []byte{'\n'})
	e.crc = crc32.Update(e.crc, crc32.IEEETable, e.buf)
	if e.err == nil {
		_, e.err = e.w.Write(e.buf)
	}
	e.buf = e.buf[:0]
}

// fail keeps the first error.
func (e *writer) fail(err error) {
	if e.err == nil {
		e.err = err
	}
}
