package view

import (
	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/proof"
	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/raster/density"
)

// AddFacts adds to o what the picture needs beyond the strokes: their energy and
// times, and the movement with the beam off. A film has so many frames; a still has 0.
func (s *Subject) AddFacts(o *density.Options, frames int) error {
	if o.Show == density.ShowHeat {
		if s.heat == nil {
			return fault.Usagef("heat needs the job: a written file does not say what its blank is made of").
				Hintf("preview the job file it was made from")
		}
		if err := s.addHeat(o, frames); err != nil {
			return err
		}
	}
	timed := frames > 0 || o.Show == density.ShowSequence
	switch {
	case o.Show == density.ShowDose && s.profile == nil:
		return fault.Usagef("dose needs to know the machine's laser").
			Hintf("add --machine ID; furrow machines lists them")
	case timed && !s.timed:
		return fault.Usagef("times need to know the machine").Hintf("add --machine ID; furrow machines lists them")
	case o.Show == density.ShowTravel && s.moves.Play == nil:
		return fault.Usagef("travel needs to know the machine").Hintf("add --machine ID; furrow machines lists them")
	case o.Show != density.ShowDose && o.Show != density.ShowTravel && !timed:
		return nil
	}
	p := proof.TimelessGantry
	if s.profile != nil {
		p = *s.profile
	}
	if err := s.addTravel(o, p); err != nil {
		return err
	}
	var err error
	o.Marking, err = clock.Strokes(s.moves, p)
	return err
}

// addTravel adds the movement with the beam off, and all that is passed over. A guide goes
// round again and again: where it was is told once.
func (s *Subject) addTravel(o *density.Options, p machine.Profile) error {
	w := beamOff{undo: s.moves.Undo(p), reach: path.EmptyRect(), seen: map[seen]bool{}}
	if _, err := clock.Each(s.moves, p, w.move); err != nil {
		return fault.Workf("%w", err)
	}
	o.Reach, o.Travel, o.Guide = w.reach, w.off.lines(), w.guide.lines()
	return nil
}

// beamOff notes, while the moves are played, where the beam goes while it is off.
type beamOff struct {
	undo       func(path.Point) path.Point // where the beam goes, of where it is sent
	reach      path.Rect
	off, guide ways
	seen       map[seen]bool // of files with a guide
}

// seen is a move that has been told.
type seen struct {
	kind     emit.Kind
	from, to path.Point
}

func (w *beamOff) move(t clock.Timed) {
	if t.Turn == emit.Straight {
		w.reach = w.reach.Include(w.undo(t.From)).Include(w.undo(t.To))
	} else {
		w.reach = w.reach.Union(t.Bounds(t.From))
	}
	from, to := w.undo(t.From), w.undo(t.To)
	guided := t.Kind == emit.Guide || len(w.guide.flat) > 0
	again := guided && w.seen[seen{t.Kind, from, to}]
	if guided {
		w.seen[seen{t.Kind, from, to}] = true
	}
	w.off.take(from, to, !again && (t.Kind == emit.Travel || t.Kind == emit.Gap))
	w.guide.take(from, to, !again && t.Kind == emit.Guide)
}

// ways are lines of moves that go on from each other.
type ways struct {
	flat  []path.Point
	ends  []int // in flat, of each line
	going bool  // the last move was one of them
}

// take lengthens the current line by a move, or begins one; a move that is not one of them
// ends it.
func (w *ways) take(from, to path.Point, one bool) {
	if one {
		if !w.going {
			w.flat = append(w.flat, from)
			w.ends = append(w.ends, 0)
		}
		w.flat = append(w.flat, to)
		w.ends[len(w.ends)-1] = len(w.flat)
	}
	w.going = one
}

func (w *ways) lines() (lines [][]path.Point) {
	from := 0
	for _, end := range w.ends {
		lines = append(lines, w.flat[from:end])
		from = end
	}
	return lines
}
