package emit

import (
	"iter"
	"slices"

	"furrow/emit/machine"
	"furrow/path"
)

// Piece is work that is done as a whole before the next, as a part of a load is.
type Piece struct {
	Program path.Program
	Place   path.Matrix // where it lies
	Note    string      // what a file says before it, on a line of its own; empty for none
	Hold    bool        // the machine waits for the operator before it

	// Profile is what it is planned with in place of the machine's, as a piece is that
	// shows what a correction or a delay does; nil for the machine's.
	Profile *machine.Profile
}

// Note is what a file says before a move.
type Note struct {
	Move int // its index
	Text string
}

// PlanPieces turns pieces into the moves of the machine, one after the other. Each
// begins where the one before ended. Settings that pieces share are one. The
// programs are moved and planned anew each time the moves are played, so that many
// equal pieces take no memory. No pieces are no moves.
func PlanPieces(pieces []Piece, m machine.Profile) (Moves, error) {
	j := joined{pieces: pieces}
	var all Moves
	for i, p := range pieces {
		by := m
		if p.Profile != nil {
			by = *p.Profile
		}
		plan := func() (Moves, error) { return planBare(p.Program.Transform(p.Place), by, new(int)) }
		one, err := plan()
		if err != nil {
			return Moves{}, err
		}
		if i == 0 {
			all.Header = one.Header
			all.Header.Hash = m.Hash()
		}
		all.Header.Stepped = all.Header.Stepped || p.Profile != nil && m.IsGalvo()
		j.plans, j.index = append(j.plans, plan), append(j.index, all.take(one))
	}
	all.Play = withOwnLines(j.play, m.Controller())
	notes, err := notesOf(j)
	all.Notes = notes
	return all, err
}

// take adds the settings of p that m lacks, and returns where each of them stands.
func (m *Moves) take(p Moves) (index []uint16) {
	for i, set := range p.Settings {
		var s machine.Scanner
		if i < len(p.Scanner) {
			s = p.Scanner[i]
		}
		n := 0
		for n < len(m.Settings) && (m.Settings[n] != set || n < len(m.Scanner) && m.Scanner[n] != s) {
			n++
		}
		if n == len(m.Settings) {
			m.Settings = append(slices.Clip(m.Settings), set)
			if i < len(p.Scanner) {
				m.Scanner = append(slices.Clip(m.Scanner), s)
			}
		}
		index = append(index, uint16(n))
	}
	return index
}

// joined is pieces to be played one after the other.
type joined struct {
	pieces []Piece
	plans  []func() (Moves, error)
	index  [][]uint16 // of each piece's settings among those of all
}

// play plays the pieces.
func (j joined) play(yield func(Move, error) bool) {
	var at path.Point
	for i := range j.pieces {
		for mv, err := range j.piece(i, at) {
			at = mv.To
			if !yield(mv, err) || err != nil {
				return
			}
		}
	}
}

// piece plays one, which begins where the head stands. It was planned from 0,0.
func (j joined) piece(i int, at path.Point) iter.Seq2[Move, error] {
	return func(yield func(Move, error) bool) {
		m, err := j.plans[i]()
		if err != nil {
			yield(Move{}, err)
			return
		}
		if j.pieces[i].Hold && !yield(Move{Kind: Hold, To: at}, nil) {
			return
		}
		first := at != (path.Point{})
		for mv, err := range m.All() {
			if first && mv.Kind != Travel && !yield(Move{Kind: Travel}, nil) {
				return
			}
			if first = false; int(mv.Setting) < len(j.index[i]) {
				mv.Setting = j.index[i][mv.Setting]
			}
			if !yield(mv, err) {
				return
			}
		}
	}
}

// notesOf counts the moves before each piece.
func notesOf(j joined) (notes []Note, err error) {
	n, at := 0, path.Point{}
	for i, p := range j.pieces {
		if p.Note != "" {
			notes = append(notes, Note{Move: n, Text: p.Note})
		}
		for mv, err := range j.piece(i, at) {
			if err != nil {
				return nil, err
			}
			n, at = n+1, mv.To
		}
	}
	return notes, nil
}
