package gcode

import (
	"errors"
	"fmt"

	"furrow/emit/gcode/ngc"
)

// CheckLines judges the user's own lines of a profile: each is right by the
// grammar and modal rules of RS-274, moves nothing, leaves units and modes as
// they are, and keeps the beam off. The error is a LineError.
func CheckLines(start, end []string) error {
	if err := checkLines("start_lines", start); err != nil {
		return err
	}
	return checkLines("end_lines", end)
}

func checkLines(key string, lines []string) error {
	var l ngc.Line
	var p ngc.Program
	for _, s := range lines {
		err := checkLength(s)
		if err == nil {
			err = l.Parse([]byte(s))
		}
		if err == nil {
			err = p.Check(&l)
		}
		if err == nil {
			err = ownLine(&l)
		}
		if err != nil {
			return &LineError{key, s, err}
		}
	}
	return nil
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
			err = fmt.Errorf("code M%d would enable the beam or end the program", code)
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

// harmlessM are stops, beam and air off, air on, and feed overrides.
var harmlessM = map[int]bool{0: true, 1: true, 5: true, 7: true, 8: true, 9: true, 48: true, 49: true}
