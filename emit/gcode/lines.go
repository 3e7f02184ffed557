package gcode

import (
	"errors"
	"fmt"

	"furrow/emit/gcode/ngc"
)

// CheckLines judges the user's own lines of a profile: each is right by the
// grammar and modal rules of RS-274, moves nothing, leaves units and modes as
// they are, and keeps the beam off. Those at the start neither wait nor stop, all
// of them name one work offset at most, and no air is left on. The error is a
// LineError.
func CheckLines(start, end []string) error {
	var o ownLines
	for _, s := range start {
		if err := o.check(s, true); err != nil {
			return &LineError{"start_lines", s, err}
		}
	}
	o.rules = ngc.Program{}
	for _, s := range end {
		if err := o.check(s, false); err != nil {
			return &LineError{"end_lines", s, err}
		}
	}
	if o.air != nil {
		return o.air
	}
	return nil
}

// ownLines is what the user's lines have set so far.
type ownLines struct {
	line  ngc.Line
	rules ngc.Program
	zero  int        // code of the work offset, times ten
	air   *LineError // about the line that has switched it on
}

func (o *ownLines) check(s string, start bool) error {
	l := &o.line
	err := checkLength(s)
	if _, closing := closes([]byte(s)); err == nil && closing {
		err = errors.New("the comment that closes a file")
	}
	if err == nil {
		err = l.Parse([]byte(s))
	}
	if err == nil {
		err = o.rules.Check(l)
	}
	if err == nil {
		err = ownLine(l)
	}
	if err == nil && start && len(l.Pauses()) > 0 {
		err = errors.New("a wait or a stop has no place before the work: a person may then change what the lines " +
			"before it have set")
	}
	if err == nil {
		err = o.play(s, start)
	}
	return err
}

// play keeps what a line does to the air and to X0 Y0.
func (o *ownLines) play(s string, start bool) error {
	for _, w := range o.line.Words {
		var code int
		switch w.Letter {
		case 'G':
			code, _ = w.GCode() // ownLine has judged it
			if code < 540 || code > 593 {
				continue
			}
			if o.zero != code && (o.zero != 0 || !start) {
				return fmt.Errorf("code G%g puts X0 Y0 elsewhere than where the work began", w.Value)
			}
			o.zero = code
		case 'M':
			code, _ = w.MCode()
			o.switchAir(code, s, start)
		}
	}
	return nil
}

func (o *ownLines) switchAir(code int, s string, start bool) {
	switch {
	case code == 9:
		o.air = nil
	case code != 7 && code != 8:
	case start:
		o.air = &LineError{"start_lines", s, errAirOn}
	default:
		o.air = &LineError{"end_lines", s, errAirOn}
	}
}

var errAirOn = errors.New("leaves the air on: write M9 in a line behind it")

// ownCodes returns the M codes of lines.
func ownCodes(lines []string) (codes []int) {
	var l ngc.Line
	for _, s := range lines {
		if l.Parse([]byte(s)) != nil {
			continue // CheckLines refuses it
		}
		for _, w := range l.Words {
			if code, err := w.MCode(); w.Letter == 'M' && err == nil {
				codes = append(codes, code)
			}
		}
	}
	return codes
}

func checkLength(s string) error {
	const number = len("N99999 ")
	if len(s) > maxLine-number {
		return fmt.Errorf("%d characters, which is more than %d", len(s), maxLine-number)
	}
	return nil
}

func ownLine(l *ngc.Line) error {
	if l.Number >= 0 || l.Deleted || l.Params() {
		return errors.New("line numbers, deleted lines and parameters do not belong in a line of your own")
	}
	for _, w := range l.Words {
		if err := ownWord(w); err != nil {
			return err
		}
	}
	return nil
}

func ownWord(w ngc.Word) error {
	switch w.Letter {
	case 'G':
		code, err := w.GCode()
		if err == nil && !harmlessG[code] {
			err = fmt.Errorf("code G%g would move the head or change what later lines mean", w.Value)
		}
		return err
	case 'M':
		code, err := w.MCode()
		if err == nil && !harmlessM[code] {
			err = fmt.Errorf("code M%d would enable the beam, end the program or take the overrides away", code)
		}
		return err
	case 'P':
		return nil
	case 'S':
		if w.Value == 0 {
			return nil
		}
		return fmt.Errorf("word S%g would set a power", w.Value)
	}
	return fmt.Errorf("a %c word would move the head or change what later lines mean", w.Letter)
}

// harmlessG are the codes, times ten, that a reader may pass over: a dwell, no
// compensation, work offsets, path control, no canned cycle.
var harmlessG = map[int]bool{
	40: true, 400: true, 490: true, 800: true, 610: true, 611: true, 640: true,
	540: true, 550: true, 560: true, 570: true, 580: true, 590: true, 591: true, 592: true, 593: true,
}

// harmlessM are stops, beam and air off, air on, and overrides left to the operator.
var harmlessM = map[int]bool{0: true, 1: true, 5: true, 7: true, 8: true, 9: true, 48: true}
