package markvec

import (
	"fmt"
	"hash/crc32"
	"io"
	"math"
	"strconv"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
)

// Encoder writes mark-vector lists. Its zero value is ready to use.
type Encoder struct {
	Comments []string // lines for people, written below the head
}

// Encode writes m to w. Moves must have been planned for a galvo: an arc, a
// place off the grid's range or a mark whose speed or power is not that of its
// setting is an error. What has been written by then is not a valid list.
func (e Encoder) Encode(w io.Writer, m emit.Moves) error {
	enc := encoder{w: w, buf: make([]byte, 0, bufSize+maxLine), m: m, setting: -1}
	if err := enc.head(e.Comments); err != nil {
		return err
	}
	n, notes := 0, m.Notes
	for mv, err := range m.All() {
		if err != nil {
			return err
		}
		for ; len(notes) > 0 && notes[0].Move <= n; notes = notes[1:] {
			if err := enc.comment(notes[0].Text); err != nil {
				return err
			}
		}
		n++
		if err := enc.move(&mv); err != nil {
			return err
		}
	}
	return enc.end()
}

const bufSize = 1 << 16

type encoder struct {
	w                   io.Writer
	buf                 []byte
	m                   emit.Moves
	halfW, halfH        int64 // twice these: the field
	setting             int   // in force, or -1
	started             bool
	jumps, marks, moves int
	crc                 uint32
}

func (e *encoder) head(comments []string) error {
	w, h, corrected := round(e.m.Header.Field.X*machine.GalvoStepsPerMM),
		round(e.m.Header.Field.Y*machine.GalvoStepsPerMM), 0
	if w < 1 || h < 1 || w > maxNumber || h > maxNumber {
		return fmt.Errorf("field of %g x %g mm is out of range", e.m.Header.Field.X, e.m.Header.Field.Y)
	}
	if e.m.Header.Corrected {
		corrected = 1
	}
	e.halfW, e.halfH = w/2, h/2
	e.buf = fmt.Appendf(e.buf, "markvec 1\nfield %d %d\ncorrected %d\n", w, h, corrected)
	if e.m.Header.Bare {
		comments = append([]string{bareWord}, comments...)
	}
	if e.m.Header.Stepped {
		comments = append([]string{steppedWord}, comments...)
	}
	comments = append(emit.BlankComments(e.m.Header.Blanks), comments...)
	if e.m.Header.Profile != "" {
		comments = append([]string{profileWord + e.m.Header.Profile + " " + e.m.Header.Hash}, comments...)
	}
	for _, c := range comments {
		if err := e.comment(c); err != nil {
			return err
		}
	}
	return e.settings()
}

// comment writes one comment line. What the form does not have in it becomes an
// underscore.
func (e *encoder) comment(text string) error {
	e.buf = append(e.buf, '#', ' ')
	n := len(e.buf)
	for _, r := range text {
		if r < ' ' || r > '~' {
			r = '_'
		}
		e.buf = append(e.buf, byte(r))
	}
	if len(e.buf)-n > maxLine-3 {
		return fmt.Errorf("comment of %d characters is longer than %d", len(e.buf)-n, maxLine-3)
	}
	return e.newline()
}

func (e *encoder) settings() error {
	if len(e.m.Scanner) != len(e.m.Settings) {
		return fmt.Errorf("moves are not planned for a galvo: %d settings, %d with delays", len(e.m.Settings),
			len(e.m.Scanner))
	}
	for i, s := range e.m.Settings {
		v := values(s, e.m.Scanner[i])
		if key, ok := validSetting(v); !ok {
			return fmt.Errorf("setting %d: %s is out of range", i, key)
		}
		e.buf = strconv.AppendInt(append(e.buf, "setting "...), int64(i), 10)
		for j, k := range keys {
			e.buf = append(append(append(e.buf, ' '), k...), ' ')
			e.buf = strconv.AppendInt(e.buf, v[j], 10)
		}
		if err := e.newline(); err != nil {
			return err
		}
	}
	return nil
}

// move writes the record of one move, and before it the setting where that
// changes.
func (e *encoder) move(mv *emit.Move) error {
	switch mv.Kind {
	case emit.Wait:
		return e.timed('W', mv.WaitUS)
	case emit.Hold:
		e.buf = append(e.buf, "hold"...)
		return e.newline()
	}
	if int(mv.Setting) != e.setting {
		if err := e.use(mv.Setting); err != nil {
			return err
		}
	}
	if !e.started && mv.Kind != emit.Travel && mv.Kind != emit.Guide {
		return fmt.Errorf("a list starts with a jump")
	}
	e.started = true
	if err := e.matchesSetting(mv); err != nil {
		return err
	}
	switch mv.Kind {
	case emit.Travel:
		e.jumps++
		return e.vector('J', mv.To)
	case emit.Mark:
		e.marks++
		return e.vector('M', mv.To)
	case emit.Gap:
		e.moves++
		return e.vector('D', mv.To)
	case emit.Guide:
		return e.vector('G', mv.To)
	case emit.Dot:
		return e.timed('P', mv.WaitUS)
	}
	return fmt.Errorf("unknown kind of move %d", mv.Kind)
}

func (e *encoder) use(n uint16) error {
	if int(n) >= len(e.m.Settings) {
		return fmt.Errorf("move uses setting %d of %d", n, len(e.m.Settings))
	}
	e.setting = int(n)
	e.buf = strconv.AppendInt(append(e.buf, "use "...), int64(n), 10)
	return e.newline()
}

// matchesSetting refuses a move that the file could not say: its speed and
// power stand in the setting.
func (e *encoder) matchesSetting(mv *emit.Move) error {
	s := &e.m.Settings[e.setting]
	switch {
	case mv.Turn != emit.Straight:
		return fmt.Errorf("a mark-vector list has no arcs")
	case (mv.Kind == emit.Mark || mv.Kind == emit.Gap) && mv.Speed != s.SpeedMMPerS:
		return fmt.Errorf("speed %g mm/s is not that of setting %d, %g", mv.Speed, e.setting, s.SpeedMMPerS)
	case (mv.Kind == emit.Mark || mv.Kind == emit.Dot) && mv.Power != s.Power:
		return fmt.Errorf("power %g is not that of setting %d, %g", mv.Power, e.setting, s.Power)
	}
	return nil
}

func (e *encoder) vector(op byte, p path.Point) error {
	x, y := p.X*machine.GalvoStepsPerMM, p.Y*machine.GalvoStepsPerMM
	if !(math.Abs(x) <= maxNumber && math.Abs(y) <= maxNumber) {
		return fmt.Errorf("place %g, %g mm is out of range", p.X, p.Y)
	}
	ix, iy := round(x), round(y)
	if ix > e.halfW || -ix > e.halfW || iy > e.halfH || -iy > e.halfH {
		return fmt.Errorf("place %g, %g mm is outside the field", p.X, p.Y)
	}
	e.buf = strconv.AppendInt(append(e.buf, op, ' '), ix, 10)
	e.buf = strconv.AppendInt(append(e.buf, ' '), iy, 10)
	return e.newline()
}

func (e *encoder) timed(op byte, us int64) error {
	if us < 0 || us > maxNumber {
		return fmt.Errorf("time of %d us is out of range", us)
	}
	e.buf = strconv.AppendInt(append(e.buf, op, ' '), us, 10)
	return e.newline()
}

// newline ends a record and hands a full buffer on.
func (e *encoder) newline() error {
	e.buf = append(e.buf, '\n')
	if len(e.buf) < bufSize {
		return nil
	}
	return e.flush()
}

func (e *encoder) flush() error {
	e.crc = crc32.Update(e.crc, crc32.IEEETable, e.buf)
	_, err := e.w.Write(e.buf)
	e.buf = e.buf[:0]
	return err
}

func (e *encoder) end() error {
	if err := e.flush(); err != nil {
		return err
	}
	_, err := fmt.Fprintf(e.w, "end %d %d %d %08x\n", e.jumps, e.marks, e.moves, e.crc)
	return err
}

// round returns the nearest whole number, halves away from zero as Plan does.
func round(v float64) int64 { return int64(math.Round(v)) }
