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
	beamOff bool   // the beam is never armed
	pauses  int    // that the user's last lines make
	paused  int    // so far
	flushed int    // lines
	crc     uint32 // of what has been flushed
}

func newWriter(w io.Writer, o machine.GCode) *writer {
	return &writer{w: w, o: o, lines: block.Start(o), pauses: len(emit.Pauses(o.EndLines)), buf: make([]byte, 0, bufferSize+512)}
}

// move writes one line. A straight move to where the head is writes none.
func (e *writer) move(mv *emit.Move) {
	if mv.Kind == emit.Wait || mv.Kind == emit.Hold {
		e.pause()
		return
	}
	if e.beamOff && mv.Kind == emit.Mark {
		e.fail(errors.New("a mark in a file with the beam off"))
	}
	before := len(e.buf)
	var err error
	if e.buf, err = e.lines.Move(e.buf, mv); err != nil {
		e.fail(err)
	}
	if e.paused > 0 && len(e.buf) > before {
		e.fail(errors.New("a wait or a stop inside the work"))
	}
	e.full()
}

// pause takes a wait or a stop. A file holds none but those of the user's own lines
// behind the last movement.
func (e *writer) pause() {
	if e.paused++; e.paused > e.pauses {
		e.fail(errors.New("a wait or a stop that the profile's own lines do not make"))
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
