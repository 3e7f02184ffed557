package main

import (
	"fmt"
	"math"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/proof"
	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/emit/pulse"
	"furrow/path"
	"furrow/raster/density"
)

// addFacts adds to o what the picture needs beyond the strokes: their energy and
// times, and the movement with the beam off.
func (s *subject) addFacts(o *density.Options, film bool) error {
	timed := film || o.Show == density.ShowSequence
	switch {
	case o.Show == density.ShowDose && s.profile == nil:
		return fault.Usagef("dose needs to know the machine's laser").Hintf("add --machine ID; furrow machines lists them")
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
	return newObserver(s.moves, p, o, len(s.program.Strokes)).watch(s.moves)
}

// observer notes, while the moves are played, what belongs to each stroke of
// their Program.
type observer struct {
	profile  machine.Profile
	settings []path.Setting
	undo     func(path.Point) path.Point // where the beam goes, of where it is sent
	o        *density.Options
	last     clock.Timed
	stroke   int // index of the current one
	flat     []path.Point
	ends     []int // in flat, of each beam-off line
}

func newObserver(m emit.Moves, p machine.Profile, o *density.Options, strokes int) *observer {
	o.EnergyJ, o.Start, o.End = make([]float64, strokes), make([]float64, strokes), make([]float64, strokes)
	o.Reach = path.EmptyRect()
	return &observer{profile: p, settings: m.Settings, undo: m.Undo(p), o: o, stroke: -1}
}

func (w *observer) watch(m emit.Moves) error {
	if _, err := clock.Each(m, w.profile, w.move); err != nil {
		return fault.Workf("%w", err)
	}
	if w.stroke+1 != len(w.o.Start) {
		return fmt.Errorf("%d strokes were timed, not %d", w.stroke+1, len(w.o.Start))
	}
	from := 0
	for _, end := range w.ends {
		w.o.Travel = append(w.o.Travel, w.flat[from:end])
		from = end
	}
	return nil
}

func (w *observer) move(t clock.Timed) {
	w.reach(t)
	switch t.Kind {
	case emit.Mark:
		w.mark(t)
	case emit.Dot:
		w.begin(t)
		w.add(t)
	case emit.Travel, emit.Gap:
		w.beamOff(t)
	}
	w.last = t
}

// mark adds to the current stroke, or begins one where Moves.Program does.
func (w *observer) mark(t clock.Timed) {
	l := w.last
	if l.Kind != emit.Mark || l.Setting != t.Setting || l.Power != t.Power {
		w.begin(t)
	}
	w.add(t)
}

func (w *observer) begin(t clock.Timed) {
	w.stroke++
	if w.stroke < len(w.o.Start) {
		w.o.Start[w.stroke] = t.Start.Seconds()
	}
}

// add lengthens the current stroke by a move.
func (w *observer) add(t clock.Timed) {
	if w.stroke < len(w.o.Start) {
		w.o.End[w.stroke] = t.End.Seconds()
		w.o.EnergyJ[w.stroke] += w.energyJ(t)
	}
}

// reach includes all that the head or beam passes over.
func (w *observer) reach(t clock.Timed) {
	if t.Turn == emit.Straight {
		w.o.Reach = w.o.Reach.Include(w.undo(t.From)).Include(w.undo(t.To))
	} else {
		w.o.Reach = w.o.Reach.Union(t.Bounds(t.From))
	}
}

// energyJ returns what the beam puts out in a move.
func (w *observer) energyJ(t clock.Timed) float64 {
	switch t.Kind {
	case emit.Mark:
		return w.watts(t) * w.beamOnS(t)
	case emit.Dot:
		return w.watts(t) * (t.End - t.Start).Seconds()
	}
	return 0
}

func (w *observer) watts(t clock.Timed) float64 {
	set := w.settings[t.Setting]
	set.Power = t.Power
	return pulse.Of(set, w.profile.Laser, 1).MeanPowerW
}

// beamOnS returns how long the beam is on at the power asked for. Where the
// power stays while the head slows down, that is as long as the move takes.
func (w *observer) beamOnS(t clock.Timed) float64 {
	if g := w.profile.GCode; g != nil && g.PowerMode == machine.PowerSteady {
		return (t.End - t.Start).Seconds()
	}
	return lengthOf(t) / t.Speed
}

// lengthOf returns that of a move, mm.
func lengthOf(t clock.Timed) float64 {
	if t.Turn == emit.Straight {
		return t.From.Dist(t.To)
	}
	u := t.From.Sub(t.Centre)
	return u.Len() * math.Abs(emit.ArcSweep(u, t.To.Sub(t.Centre), t.Turn))
}

// beamOff lengthens the current beam-off line, or begins one behind a mark.
func (w *observer) beamOff(t clock.Timed) {
	if k := w.last.Kind; len(w.ends) == 0 || k != emit.Travel && k != emit.Gap {
		w.flat = append(w.flat, w.undo(t.From))
		w.ends = append(w.ends, 0)
	}
	w.flat = append(w.flat, w.undo(t.To))
	w.ends[len(w.ends)-1] = len(w.flat)
}
