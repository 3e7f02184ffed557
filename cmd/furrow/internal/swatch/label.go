package swatch

import (
	"strings"
	"unicode/utf8"

	"furrow/cmd/furrow/internal/fault"
	"furrow/path"
	"furrow/path/text/stroke"
)

// Label is a line of single-line lettering. At is the middle of its height, at the
// anchor of its width.
type Label struct {
	Text   string
	At     path.Point
	HighMM float64 // of a capital
	Anchor float64 // how much of the width lies left of At
	Turn   float64 // degrees counter-clockwise about At
}

// capital is the height of a capital as a part of the size of the lettering.
const capital = 2.0 / 3

// shape returns the lettering where it stands.
func (l Label) shape() (path.Shape, error) {
	s, err := stroke.SingleLine().Lay(l.Text, stroke.Line{Size: l.HighMM / capital, Anchor: l.Anchor})
	if err != nil {
		return path.Shape{}, fault.Usagef("%w", err).Hintf("name the material with --material in letters that it has")
	}
	m := path.Translate(l.At.X, l.At.Y).Mul(path.Rotate(l.Turn)).Mul(path.Translate(0, -l.HighMM/2))
	s.Path, s.Centre = s.Path.Transform(m), s.Centre.Transform(m)
	return s, nil
}

// width returns how wide a text is, mm, with capitals so high. A letter that cannot be
// drawn counts nothing: that is told where it is laid.
func width(text string, highMM float64) float64 {
	w, err := stroke.SingleLine().Width(text, stroke.Line{Size: highMM / capital})
	if err != nil {
		return 0
	}
	return w
}

// widest returns the width of the widest of some texts.
func widest(texts []string, highMM float64) (most float64) {
	for _, t := range texts {
		most = max(most, width(t, highMM))
	}
	return most
}

// wrapped sets words into lines no wider than width mm, two spaces apart; a word that is
// wider stands by itself.
func wrapped(items []string, highMM, room float64) (lines []string) {
	line := ""
	for _, item := range broken(items, highMM, room) {
		switch {
		case item == "":
		case line == "":
			line = item
		case width(line+"   "+item, highMM) <= room:
			line += "   " + item
		default:
			lines, line = append(lines, line), item
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// broken breaks items that are wider than the room at a space, and words that are at any
// letter.
func broken(items []string, highMM, room float64) (all []string) {
	for _, item := range items {
		for width(item, highMM) > room && utf8.RuneCountInString(item) > 1 {
			fits := longest(item, highMM, room)
			all = append(all, strings.TrimSpace(item[:fits]))
			item = strings.TrimSpace(item[fits:])
		}
		all = append(all, item)
	}
	return all
}

// longest returns how many bytes of a text fit a room, up to a space where there is one.
func longest(text string, highMM, room float64) int {
	fits, space := 0, 0
	for i, r := range text {
		end := i + utf8.RuneLen(r)
		if i > 0 && width(text[:end], highMM) > room {
			break
		}
		if fits = end; r == ' ' {
			space = end
		}
	}
	if space > 0 {
		return space
	}
	return fits
}

// lettersError is how far a straight piece may be from a curve of the lettering, mm.
const lettersError = 0.005
