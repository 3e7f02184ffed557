package markvec

import (
	"errors"
	"io"
	"iter"
	"math"
	"strings"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
)

// What the comments start with that a list says of itself.
const (
	profileWord = "profile "
	programWord = "furrow "
	bareWord    = "places are not corrected on purpose, to measure the field by" // all of it
	steppedWord = "delays are stepped on purpose, to be read off a card"         // all of it
)

// Read proves the list in r whole and returns its moves, which read r again
// each time they are played. Memory does not grow with the list.
func Read(r io.ReaderAt) (emit.Moves, error) {
	d, err := NewReader(section(r))
	if err != nil {
		return emit.Moves{}, err
	}
	m := emit.Moves{Header: emit.Header{
		Field:     path.Point{X: mm(d.fieldW), Y: mm(d.fieldH)},
		Corrected: d.corrected,
	}}
	for rec, err := d.Next(); err != io.EOF; rec, err = d.Next() {
		if err != nil {
			return emit.Moves{}, err
		}
		if rec.Op == Comment && !d.vectors {
			readHeader(rec.Text, &m.Header)
		}
	}
	m.Settings, m.Scanner = d.settings, d.scanner
	m.Play = play(r, m)
	return m, nil
}

func section(r io.ReaderAt) io.Reader { return io.NewSectionReader(r, 0, math.MaxInt64) }

// readHeader takes what a comment says of the list: the profile and the blank that it was
// planned for, or what wrote it.
func readHeader(text string, h *emit.Header) {
	if strings.HasPrefix(text, programWord) && h.Program == "" {
		h.Program = text
	}
	h.Stepped = h.Stepped || text == steppedWord
	h.Bare = h.Bare || text == bareWord
	h.ReadBlank(text)
	rest, ok := strings.CutPrefix(text, profileWord)
	words := strings.Fields(rest)
	if !ok || h.Profile != "" || len(words) != 2 || strings.Trim(words[1], "0123456789abcdef") != "" {
		return // a comment that happens to start so
	}
	h.Profile, h.Hash = words[0], words[1]
}

func play(r io.ReaderAt, m emit.Moves) iter.Seq2[emit.Move, error] {
	return func(yield func(emit.Move, error) bool) {
		d, err := NewReader(section(r))
		p := player{m: m}
		var rec Record
		for err == nil {
			if rec, err = d.Next(); err != nil {
				break
			}
			if !p.play(&rec, yield) {
				return
			}
		}
		if !errors.Is(err, io.EOF) {
			yield(emit.Move{}, err)
		}
	}
}

// MovesWithin counts the moves of m, which Read gave of r, that its first lines make, for each
// of rising numbers of lines: how far a list came that was stopped there. What lies behind
// them is not read.
func MovesWithin(r io.ReaderAt, m emit.Moves, lines ...int) (n []int, err error) {
	d, err := NewReader(section(r))
	p, moves := player{m: m}, 0
	for err == nil && len(n) < len(lines) {
		var rec Record
		rec, err = d.Next()
		for len(n) < len(lines) && (err != nil || d.line > lines[len(n)]) {
			n = append(n, moves)
		}
		if err == nil {
			p.play(&rec, func(emit.Move, error) bool { moves++; return true })
		}
	}
	if errors.Is(err, io.EOF) {
		err = nil
	}
	return n, err
}

// player turns records into moves.
type player struct {
	m       emit.Moves
	at      path.Point
	setting uint16
	chain   bool   // the last move is part of a chain
	closed  bool   // a use has closed it since
	last    uint16 // the chain's setting
}

// play yields the move of a record, if it makes one, and reports whether more
// is wanted.
func (p *player) play(rec *Record, yield func(emit.Move, error) bool) bool {
	switch rec.Op {
	case Comment, Setting, End:
		return true
	case Use:
		p.closed = p.closed || p.chain && !p.m.SameChain(p.setting, rec.N)
		p.setting = rec.N
		return true
	}
	mv := p.move(rec)
	chain := mv.Kind == emit.Mark || mv.Kind == emit.Gap
	// A chain that was closed by one use and would be joined again after a
	// second one is kept apart by a wait of no length.
	apart := p.closed && chain && p.m.SameChain(p.last, p.setting)
	p.chain, p.closed, p.last = chain, false, p.setting
	if apart && !yield(emit.Move{Kind: emit.Wait, To: p.at, Setting: mv.Setting}, nil) {
		return false
	}
	p.at = mv.To
	return yield(mv, nil)
}

func (p *player) move(rec *Record) emit.Move {
	s := &p.m.Settings
	mv := emit.Move{To: path.Point{X: mm(rec.X), Y: mm(rec.Y)}, Setting: p.setting}
	switch rec.Op {
	case Jump:
		mv.Kind = emit.Travel
	case Guide:
		mv.Kind = emit.Guide
	case Mark:
		mv.Kind, mv.Speed, mv.Power = emit.Mark, (*s)[p.setting].SpeedMMPerS, (*s)[p.setting].Power
	case Move:
		mv.Kind, mv.Speed = emit.Gap, (*s)[p.setting].SpeedMMPerS
	case Dot:
		mv.Kind, mv.Power = emit.Dot, (*s)[p.setting].Power
	case Wait:
		mv.Kind = emit.Wait
	case Hold:
		mv.Kind = emit.Hold
	}
	if rec.Op == Dot || rec.Op == Wait || rec.Op == Hold {
		mv.To, mv.WaitUS = p.at, int64(rec.T)
	}
	return mv
}

// mm converts from the grid of the file, giving the very number that Plan
// rounds to.
func mm(steps int32) float64 { return float64(steps) / machine.GalvoStepsPerMM }
