package emit

import (
	"iter"

	"furrow/path"
)

// planGalvo jumps to the start of each stroke and marks along it. A stroke
// that starts where the last one ended needs no jump, and strokes of one sweep
// are joined by a beam-off move at the marking speed.
func planGalvo(prog path.Program, m Profile) (Moves, error) {
	settings, scanner, err := galvoSettings(prog.Settings, m)
	if err != nil {
		return Moves{}, err
	}
	prog.Settings = settings
	return Moves{
		Header: Header{
			Profile: m.ID, Hash: m.Hash(),
			Field: snap(path.Point{X: m.Galvo.FieldMM[0], Y: m.Galvo.FieldMM[1]}, GalvoStepsPerMM),
		},
		Settings: settings,
		Scanner:  scanner,
		Play:     playGalvo(prog),
	}, nil
}

func playGalvo(prog path.Program) iter.Seq2[Move, error] {
	return func(yield func(Move, error) bool) {
		p := galvoPlanner{prog: prog, yield: yield}
		for i := range prog.Strokes {
			if !p.stroke(i) {
				return
			}
		}
	}
}

type galvoPlanner struct {
	prog    path.Program
	yield   func(Move, error) bool
	at      path.Point
	last    path.Stroke
	started bool // a move has been made
}

// stroke marks stroke i and reports whether more is wanted. Nothing moves for
// a stroke that has no length on the grid.
func (p *galvoPlanner) stroke(i int) bool {
	s, pts := p.prog.Strokes[i], p.prog.PointsOf(i)
	set := p.prog.Settings[s.Setting]
	from := snap(pts[0], GalvoStepsPerMM)
	mark := Move{Kind: Mark, Speed: set.SpeedMMPerS, Power: set.Power, Setting: s.Setting}
	ready := false
	for _, q := range pts[1:] {
		mark.To = snap(q, GalvoStepsPerMM)
		if !ready && mark.To == from {
			continue
		}
		if !ready && !p.enter(s, from) {
			return false
		}
		ready = true
		if mark.To != p.at && !p.move(mark) {
			return false
		}
	}
	return true
}

// enter goes to the start of stroke s with the beam off.
func (p *galvoPlanner) enter(s path.Stroke, from path.Point) bool {
	last := p.last
	p.last = s
	switch {
	case p.started && from == p.at:
		return true
	case p.started && s.Sweep > 0 && s.Sweep == last.Sweep && s.Setting == last.Setting:
		speed := p.prog.Settings[s.Setting].SpeedMMPerS
		return p.move(Move{Kind: Gap, To: from, Speed: speed, Setting: s.Setting})
	}
	return p.move(Move{Kind: Travel, To: from, Setting: s.Setting})
}

func (p *galvoPlanner) move(mv Move) bool {
	p.at, p.started = mv.To, true
	return p.yield(mv, nil)
}
