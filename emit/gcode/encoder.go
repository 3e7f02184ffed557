package gcode

import (
	"fmt"
	"io"

	"furrow/emit"
	"furrow/emit/machine"
)

// Encoder writes G-code files. The zero value gives millimetres, S from 0 to
// 1000, steady power and M2 at the end.
type Encoder struct {
	Profile  machine.GCode // what the controller takes
	Comments []string      // lines for people, at the head of the file: size, room needed, cautions
	BeamOff  bool          // never arm the beam; a mark is then an error
}

// Encode writes a file that plays m. A profile that cannot work is refused
// before the first byte. Moves that a gantry's file cannot hold (dots, waits,
// coordinates beyond 10 km) end it with an error in the midst; whoever hands
// out the file checks the moves first, with emit.Check. Of waits and stops those are
// taken that the user's own lines make, which emit.Plan adds, and waits before a
// movement where the profile has dwell.
func (o Encoder) Encode(w io.Writer, m emit.Moves) error {
	if err := CheckLines(o.Profile.StartLines, o.Profile.EndLines); err != nil {
		return err
	}
	e := newWriter(w, o.Profile)
	e.header(m.Header, o.Comments)
	e.prologue(o.BeamOff)
	n, notes := 0, m.Notes
	for mv, err := range m.All() {
		if err != nil {
			return err
		}
		for ; len(notes) > 0 && notes[0].Move <= n; notes = notes[1:] {
			e.comment(notes[0].Text)
		}
		n++
		e.air(int(mv.Setting) < len(m.Settings) && m.Settings[mv.Setting].Air)
		e.move(&mv)
		if e.err != nil {
			return e.err
		}
	}
	if e.lastPauses(); e.err != nil {
		return e.err
	}
	e.epilogue()
	e.flush()
	return e.err
}

func (e *writer) header(h emit.Header, comments []string) {
	if h.Profile != "" {
		e.comment(profileComment(h))
	}
	if h.Time > 0 {
		e.comment(timeComment(h.Time))
	}
	for _, s := range emit.BlankComments(h.Blanks) {
		e.comment(s)
	}
	for _, s := range comments {
		e.comment(s)
	}
}

func (e *writer) prologue(beamOff bool) {
	if e.o.Inch {
		e.text("G20 G17 G90 G94")
	} else {
		e.text("G21 G17 G90 G94")
	}
	if e.o.Blend {
		e.text("G64")
	}
	e.text("M5 S0")
	e.noPower()
	for _, s := range e.o.StartLines {
		e.text(s)
	}
	e.beamOff = beamOff
	if beamOff {
		return
	}
	if e.o.PowerMode == machine.PowerSpeedFollowing {
		e.text("M4 S0")
	} else {
		e.text("M3 S0")
	}
}

func (e *writer) epilogue() {
	e.noPower()
	e.text("M5 S0")
	e.air(false)
	for _, s := range e.o.EndLines {
		e.text(s)
	}
	e.flush()
	e.comment(closing(e.flushed+2, e.crc))
	e.text(endWord(e.o))
}

// endWord is what ends the program.
func endWord(o machine.GCode) string {
	if o.End == "" {
		return "M2"
	}
	return o.End
}

// air switches the air on or off where the controller has a word for it.
func (e *writer) air(on bool) {
	if on == e.airOn || e.o.Air == "" {
		return
	}
	e.airOn = on
	if on {
		e.text(e.o.Air)
	} else {
		e.text("M9")
	}
}

// LineError is a line of the user's own that a file may not hold.
type LineError struct {
	Key  string // start_lines or end_lines
	Line string
	Err  error
}

func (e *LineError) Error() string { return fmt.Sprintf("%s: %q: %v", e.Key, e.Line, e.Err) }

// Unwrap returns what is wrong with the line.
func (e *LineError) Unwrap() error { return e.Err }
