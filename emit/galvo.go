package emit

import (
	"iter"

	"furrow/emit/machine"
	"furrow/path"
)

// planGalvo jumps to the start of each stroke and marks along it. A stroke
// that starts where the last one ended needs no jump, and strokes of one sweep
// are joined by a beam-off move at the marking speed if the gate has the time to
// close in the gap. The field's correction comes last.
func planGalvo(prog path.Program, p machine.Profile, now *int) (Moves, error) {
	prog, err := withFileSettings(prog, p)
	if err != nil {
		return Moves{}, err
	}
	if err := checkSettings(prog.Settings, p); err != nil {
		return Moves{}, err
	}
	scanner := p.Scanners(prog.Settings)
	return correct(Moves{
		Header:   galvoHeader(p),
		Settings: prog.Settings,
		Scanner:  scanner,
		Play:     playGalvo(prog, scanner, p, now),
	}, p)
}

// checkSettings refuses settings that the machine's file cannot hold. What G-code cannot
// hold its writer refuses.
func checkSettings(settings []path.Setting, p machine.Profile) error {
	if !p.TakesList() {
		return nil
	}
	return machine.CheckListSettings(settings)
}

// ListHeader returns what the head of a list for a galvo says of it.
func ListHeader(p machine.Profile) (Header, error) {
	h := galvoHeader(p)
	_, needed, err := newFieldMap(p)
	h.Corrected = needed
	return h, err
}

func galvoHeader(p machine.Profile) Header {
	field := path.Point{X: p.Galvo.FieldMM[0], Y: p.Galvo.FieldMM[1]}
	return Header{Profile: p.ID, Hash: p.Hash(), Field: snap(field, machine.GalvoStepsPerMM), GCode: !p.TakesList()}
}

// hasLength reports that a stroke does not shrink to a point on the grid.
func hasLength(pts []path.Point, stepsPerMM float64) bool {
	from := snap(pts[0], stepsPerMM)
	for _, q := range pts[1:] {
		if snap(q, stepsPerMM) != from {
			return true
		}
	}
	return false
}

// correct puts the field's correction in the moves.
func correct(m Moves, p machine.Profile) (Moves, error) {
	f, needed, err := newFieldMap(p)
	if err != nil {
		return Moves{}, err
	}
	if needed {
		m.Header.Corrected = true
		m.Play = f.play(m.All())
	}
	return m, nil
}

func playGalvo(prog path.Program, scanner []machine.Scanner, m machine.Profile, now *int) iter.Seq2[Move, error] {
	g := m.Galvo
	return func(yield func(Move, error) bool) {
		p := galvoPlanner{prog: prog, scanner: scanner, runUpS: g.RunUpUS * 1e-6, shrinks: shrinks(g), yield: yield,
			steps: m.StepsPerMM()}
		for i := range prog.Strokes {
			*now = i
			if !p.rest(i) || !p.stroke(i) {
				return
			}
		}
		p.leave()
	}
}

// shrinks returns a factor that the field's correction does not go below on any
// length. A lens distorts by some percent; a tenth is common practice, no source.
func shrinks(g *machine.Galvo) float64 {
	least := 1.0
	if g.FieldScale != [2]float64{} {
		least = min(1, g.FieldScale[0], g.FieldScale[1])
	}
	if len(g.Samples) > 0 {
		least *= 0.9
	}
	return least
}

type galvoPlanner struct {
	prog    path.Program
	scanner []machine.Scanner
	runUpS  float64 // seconds of run-up and run-out of a row
	steps   float64 // of the file's grid in a mm
	shrinks float64 // the least factor on a gap by the field's correction
	yield   func(Move, error) bool
	at      path.Point
	last    path.Stroke
	runOut  path.Point // where the row that is being marked would run out to
	rowSet  uint16     // its setting
	inRow   bool
	started bool // a move has been made
}

// rest stands still before stroke i, if it is to be paused there, and reports whether
// more is wanted. Nothing is paused before the first vector.
func (p *galvoPlanner) rest(i int) bool {
	d := p.prog.RestBefore(i)
	if d == 0 || !p.started {
		return true
	}
	if !p.leave() {
		return false
	}
	p.last = path.Stroke{} // a row does not go on over a pause
	return p.yield(resting(p.at, d), nil)
}

// stroke marks stroke i and reports whether more is wanted. Nothing moves for
// a stroke that has no length on the grid.
func (p *galvoPlanner) stroke(i int) bool {
	s, pts := p.prog.Strokes[i], p.prog.PointsOf(i)
	set := p.prog.Settings[s.Setting]
	from := snap(pts[0], p.steps)
	mark := Move{Kind: Mark, Speed: set.SpeedMMPerS, Power: set.Power, Setting: s.Setting}
	ready := false
	for _, q := range pts[1:] {
		mark.To = snap(q, p.steps)
		if !ready && mark.To == from {
			continue
		}
		if !ready && !p.enter(s, pts) {
			return false
		}
		ready = true
		if mark.To != p.at && !p.move(mark) {
			return false
		}
	}
	return true
}

// rounded is more steps than a gap loses when its ends are rounded to the file's grid.
const rounded = 2

// enter goes to the start of stroke s through pts with the beam off.
func (p *galvoPlanner) enter(s path.Stroke, pts []path.Point) bool {
	last, from := p.last, snap(pts[0], p.steps)
	p.last = s
	gap := Move{Kind: Gap, To: from, Speed: p.prog.Settings[s.Setting].SpeedMMPerS, Setting: s.Setting}
	switch {
	case p.started && from == p.at:
		p.aim(s, pts)
		return true
	case p.started && s.Sweep > 0 && s.Sweep == last.Sweep && s.Setting == last.Setting &&
		p.scanner[s.Setting].GateCloses(p.shrinks*from.Dist(p.at)-rounded/p.steps, gap.Speed):
		p.aim(s, pts)
		return p.move(gap)
	}
	if !p.leave() {
		return false
	}
	run := p.aim(s, pts)
	start := snap(pts[0].Sub(run), p.steps)
	if start != p.at || !p.started {
		if !p.move(Move{Kind: Travel, To: start, Setting: s.Setting}) {
			return false
		}
	}
	return start == from || p.move(gap)
}

// aim notes where stroke s runs out to, if it is a row's span and rows run out
// at all, and returns the vector of its run-up.
func (p *galvoPlanner) aim(s path.Stroke, pts []path.Point) path.Point {
	p.inRow = p.runUpS > 0 && s.Kind == path.SpanStroke
	if !p.inRow {
		return path.Point{}
	}
	d := pts[1].Sub(pts[0])
	run := d.Mul(p.runUpS * p.prog.Settings[s.Setting].SpeedMMPerS / d.Len())
	p.runOut, p.rowSet = snap(pts[1].Add(run), p.steps), s.Setting
	return run
}

// leave runs out of the row that has been marked last.
func (p *galvoPlanner) leave() bool {
	if !p.inRow {
		return true
	}
	p.inRow = false
	set := p.rowSet
	return p.runOut == p.at || p.move(Move{Kind: Gap, To: p.runOut,
		Speed: p.prog.Settings[set].SpeedMMPerS, Setting: set})
}

func (p *galvoPlanner) move(mv Move) bool {
	p.at, p.started = mv.To, true
	return p.yield(mv, nil)
}
