package emit

import (
	"fmt"
	"iter"
	"slices"

	"furrow/emit/machine"
	"furrow/path"
)

// Piece is work that is done as a whole before the next, as a part of a load is.
type Piece struct {
	Moves Moves
	Note  string // what a file says before it, on a line of its own; empty for none
	Hold  bool   // the machine waits for the operator before it
}

// Note is what a file says before a move.
type Note struct {
	Move int // its index
	Text string
}

// Join returns pieces one after the other, on one machine. Each begins where the
// one before ended, with a beam-off move to where it was planned to begin. Settings
// that pieces share are one. Pieces of different machines, fields or units are an
// error; no pieces are no moves.
func Join(pieces []Piece) (Moves, error) {
	if len(pieces) == 0 {
		return Moves{}, nil
	}
	all := Moves{Header: pieces[0].Moves.Header}
	index := make([][]uint16, len(pieces))
	for i, p := range pieces {
		if p.Moves.Header != all.Header {
			return Moves{}, fmt.Errorf("piece %d is planned for another machine than the first", i+1)
		}
		var err error
		if index[i], err = all.take(p.Moves); err != nil {
			return Moves{}, err
		}
	}
	all.Play = joined(pieces, index)
	notes, err := notesOf(pieces)
	all.Notes = notes
	return all, err
}

// take adds the settings of p that m lacks, and returns where each of them stands.
func (m *Moves) take(p Moves) (index []uint16, err error) {
	for i, set := range p.Settings {
		var s machine.Scanner
		if i < len(p.Scanner) {
			s = p.Scanner[i]
		}
		n := slices.IndexFunc(m.Settings, func(have path.Setting) bool { return have == set })
		switch {
		case n < 0:
			n = len(m.Settings)
			m.Settings = append(slices.Clip(m.Settings), set)
			if i < len(p.Scanner) {
				m.Scanner = append(slices.Clip(m.Scanner), s)
			}
		case n < len(m.Scanner) && m.Scanner[n] != s:
			return nil, fmt.Errorf("setting %q has two sets of delays", set.Name)
		}
		index = append(index, uint16(n))
	}
	return index, nil
}

// joined plays the pieces.
func joined(pieces []Piece, index [][]uint16) iter.Seq2[Move, error] {
	return func(yield func(Move, error) bool) {
		var at path.Point
		for i, p := range pieces {
			for mv, err := range p.from(at) {
				if err == nil && int(mv.Setting) < len(index[i]) {
					mv.Setting = index[i][mv.Setting]
				}
				at = mv.To
				if !yield(mv, err) || err != nil {
					return
				}
			}
		}
	}
}

// from plays a piece that begins where the head stands. It was planned from 0,0.
func (p Piece) from(at path.Point) iter.Seq2[Move, error] {
	return func(yield func(Move, error) bool) {
		if p.Hold && !yield(Move{Kind: Hold, To: at}, nil) {
			return
		}
		first := true
		for mv, err := range p.Moves.All() {
			if first && err == nil && at != (path.Point{}) && mv.Kind != Travel && mv.Kind != Guide {
				if !yield(Move{Kind: Travel}, nil) {
					return
				}
			}
			first = false
			if !yield(mv, err) {
				return
			}
		}
	}
}

// notesOf counts the moves before each piece.
func notesOf(pieces []Piece) (notes []Note, err error) {
	n := 0
	var at path.Point
	for _, p := range pieces {
		if p.Note != "" {
			notes = append(notes, Note{Move: n, Text: p.Note})
		}
		for mv, err := range p.from(at) {
			if err != nil {
				return nil, err
			}
			n, at = n+1, mv.To
		}
	}
	return notes, nil
}
