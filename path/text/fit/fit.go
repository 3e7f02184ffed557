// Package fit finds how a text goes into its room: as it is, on two lines, squeezed
// in width, or smaller. It knows no fonts, and asks for the width of a line.
package fit

import (
	"fmt"
	"math"
	"strings"
)

// Rules says what may be done to a text. The zero value lets it be as wide as it is.
type Rules struct {
	RoomMM float64 // the greatest width; 0 means any
	// Room returns the greatest width of so many lines at a size, where that is not the same
	// for all: no less at a smaller size. RoomMM counts as well.
	Room    func(lines int, size float64) float64
	Shrink  float64 // the least size, a fraction of full; 0 means 1, not at all
	Squeeze float64 // the least width, a fraction of what the size gives; 0 means 1
	Lines   int     // the most lines, 1 or 2; 0 means 1
}

// Text is a text as it fits.
type Text struct {
	Lines   []string
	WidthMM float64 // of the widest line, as it comes out
	Size    float64 // a fraction of full
	Squeeze float64 // a fraction
}

// Width returns how wide a line is at full size, mm.
type Width func(line string) (float64, error)

// RoomError says that a text does not fit, whatever the rules allow.
type RoomError struct {
	Text   string
	NeedMM float64 // at the least size and width
	RoomMM float64
}

func (e *RoomError) Error() string {
	return fmt.Sprintf("%q needs %.1f mm, even at the least size and width that are allowed, and has %.1f mm",
		e.Text, math.Ceil(e.NeedMM*10)/10, math.Floor(e.RoomMM*10)/10)
}

// Into fits a text: at full size if it can be, then as large as it can be, of that
// squeezed as little as it can be, and on one line rather than two. A text is broken
// at a space, where the longer line is the shortest.
func Into(text string, width Width, r Rules) (Text, error) {
	r, err := r.whole()
	if err != nil {
		return Text{}, err
	}
	one, err := width(text)
	if err != nil {
		return Text{}, err
	}
	best := r.fit([]string{text}, one)
	need := one
	if r.Lines == 2 && best.Size*best.Squeeze < 1 {
		lines, w, err := broken(text, width)
		if err != nil {
			return Text{}, err
		}
		if len(lines) == 2 { // each is narrower than both together
			best, need = r.fit(lines, w), w
		}
	}
	if best.Size < r.Shrink*(1-1e-9) {
		return Text{}, &RoomError{text, float64(need * r.Shrink * r.Squeeze), r.room(len(best.Lines), r.Shrink)}
	}
	return best, nil
}

// whole fills in what is left out.
func (r Rules) whole() (Rules, error) {
	for _, v := range []*float64{&r.Shrink, &r.Squeeze} {
		if *v == 0 {
			*v = 1
		}
		if !(*v > 0 && *v <= 1) {
			return r, fmt.Errorf("%g is not a fraction of full", *v)
		}
	}
	if r.RoomMM == 0 {
		r.RoomMM = math.Inf(1)
	}
	if !(r.RoomMM > 0) {
		return r, fmt.Errorf("a room of %g mm: it must be above 0", r.RoomMM)
	}
	if r.Lines < 0 || r.Lines > 2 {
		return r, fmt.Errorf("%d lines: use 1 or 2", r.Lines)
	}
	return r, nil
}

// room returns the greatest width of lines at a size.
func (r Rules) room(lines int, size float64) float64 {
	if r.Room == nil {
		return r.RoomMM
	}
	return max(0, min(r.RoomMM, r.Room(lines, size)))
}

// fit squeezes as far as is allowed, and then makes smaller, past the least size.
func (r Rules) fit(lines []string, width float64) Text {
	t := Text{Lines: lines, Size: 1, Squeeze: 1}
	if room := r.room(len(lines), 1); width > room {
		t.Squeeze = max(room/width, r.Squeeze)
		t.Size = r.size(len(lines), float64(width*t.Squeeze))
	}
	t.WidthMM = float64(width * t.Squeeze * t.Size)
	return t
}

// fine is to what share of its full size a text's size is found where the room changes with it.
const fine = 1e-4

// size returns the largest size at which lines of a width fit.
func (r Rules) size(lines int, width float64) float64 {
	if r.Room == nil || width <= r.room(lines, 1) {
		return min(1, r.room(lines, 1)/width)
	}
	fits, not := 0.0, 1.0
	if float64(width*r.Shrink) <= r.room(lines, r.Shrink) {
		fits = r.Shrink
	}
	for not-fits > fine {
		if half := (fits + not) / 2; float64(width*half) <= r.room(lines, half) {
			fits = half
		} else {
			not = half
		}
	}
	return fits
}

// broken returns the two lines whose wider one is the narrowest, and its width; one
// line where there is no space.
func broken(text string, width Width) (lines []string, least float64, err error) {
	least = math.Inf(1)
	for i := range len(text) {
		first, second := strings.TrimRight(text[:i], " "), strings.TrimLeft(text[i:], " ")
		if text[i] != ' ' || first == "" || second == "" {
			continue
		}
		a, err := width(first)
		if err != nil {
			return nil, 0, err
		}
		b, err := width(second)
		if err != nil {
			return nil, 0, err
		}
		if w := max(a, b); w < least {
			lines, least = []string{first, second}, w
		}
	}
	return lines, least, nil
}
