package clock

import (
	"math"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/emit/pulse"
	"furrow/path"
)

// Strokes returns when each stroke of the moves is marked, and with what energy, in
// the sequence of m.Program.
func Strokes(m emit.Moves, p machine.Profile) ([]path.Marking, error) {
	s := strokeTimes{beam: beam{profile: p, settings: m.Settings}}
	_, err := Each(m, p, s.add)
	return s.all, err
}

// strokeTimes gathers timed moves by stroke.
type strokeTimes struct {
	beam    beam
	strokes emit.Strokes
	all     []path.Marking
}

func (s *strokeTimes) add(t Timed) {
	i, begins := s.strokes.Next(&t.Move)
	if i < 0 {
		return
	}
	if begins {
		s.all = append(s.all, path.Marking{Start: t.Start})
	}
	s.all[i].End = t.End
	s.all[i].EnergyJ += s.beam.energyJ(&t)
}

// beam tells what the beam puts out.
type beam struct {
	profile  machine.Profile
	settings []path.Setting
	setting  uint16 // of watts
	power    float64
	watts    float64
}

func (b *beam) energyJ(t *Timed) float64 {
	if t.Setting != b.setting || t.Power != b.power {
		var set path.Setting
		if int(t.Setting) < len(b.settings) {
			set = b.settings[t.Setting]
		}
		set.Power = t.Power
		b.setting, b.power, b.watts = t.Setting, t.Power, pulse.Of(set, b.profile.Laser, 1).MeanPowerW
	}
	return b.watts * b.onS(t)
}

// onS returns how long the beam is on at the power asked for. Where the power stays
// while the head slows down, that is as long as the move takes; where it follows the
// speed, and on a galvo, whose gate does, it is what the move takes at full speed.
func (b *beam) onS(t *Timed) float64 {
	took := (t.End - t.Start).Seconds()
	if g := b.profile.GCode; t.Kind == emit.Dot || g != nil && g.PowerMode == machine.PowerSteady {
		return took
	}
	return length(t) / t.Speed
}

// length returns that of a move, mm.
func length(t *Timed) float64 {
	if t.Turn == emit.Straight {
		return t.From.Dist(t.To)
	}
	u := t.From.Sub(t.Centre)
	return u.Len() * math.Abs(emit.ArcSweep(u, t.To.Sub(t.Centre), t.Turn))
}

// Energy returns what the beam puts out for strokes, J.
func Energy(strokes []path.Marking) (joules float64) {
	for _, s := range strokes {
		joules += s.EnergyJ
	}
	return joules
}
