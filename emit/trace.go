package emit

import (
	"iter"
	"math"

	"furrow/emit/machine"
	"furrow/path"
)

// guideSeconds is how long a galvo goes round the marks at the least, and maxRounds how often at
// the most, which keeps the list of a tiny rectangle short.
const (
	guideSeconds = 30
	maxRounds    = 10000
)

// Outline is a way to be shown to a person, with the beam off.
type Outline struct {
	Points []path.Point
	Note   string // what a file says before it; empty for none
}

// Trace returns moves that show outlines one after the other, with the beam off: a
// gantry's head goes along them at speed mm/s and back to X0 Y0; a galvo shows its
// visible guide, again and again, and then waits for the operator.
func Trace(outlines []Outline, p machine.Profile, speed float64) (Moves, error) {
	if p.TakesList() {
		return guideAlong(outlines, p)
	}
	grid := p.Controller().Grid()
	set := grid.Settings([]path.Setting{{Name: "locate", SpeedMMPerS: speed}})
	m := Moves{Header: Header{Profile: p.ID, Hash: p.Hash()}, Settings: set, Notes: notesOfOutlines(outlines, p)}
	m.Play = withOwnLines(func(yield func(Move, error) bool) {
		for _, pt := range append(pointsOf(outlines), path.Point{}) {
			if !yield(Move{Kind: Gap, Speed: set[0].SpeedMMPerS, To: grid.Point(pt)}, nil) {
				return
			}
		}
	}, p.Controller())
	return aimed(m, p)
}

func pointsOf(outlines []Outline) (all []path.Point) {
	for _, o := range outlines {
		all = append(all, o.Points...)
	}
	return all
}

func notesOfOutlines(outlines []Outline, p machine.Profile) (notes []Note) {
	n := len(Pauses(p.Controller().StartLines, p.Controller()))
	for _, o := range outlines {
		if o.Note != "" {
			notes = append(notes, Note{Move: n, Text: o.Note})
		}
		n += len(o.Points)
	}
	return notes
}

// guideAlong shows outlines by the visible guide, for guideSeconds at the least.
func guideAlong(outlines []Outline, p machine.Profile) (Moves, error) {
	set := path.Setting{Name: "locate", SpeedMMPerS: min(p.Galvo.JumpSpeedMMPerS, p.Galvo.MaxSpeedMMPerS)}
	if p.Laser.Pulsed() {
		set.FrequencyHz = 1000 * p.Laser.FrequencyKHz[0]
	}
	settings := []path.Setting{p.Rounded(set)}
	if err := checkSettings(settings, p); err != nil {
		return Moves{}, err
	}
	pts := pointsOf(outlines)
	long := 0.0
	for i := 1; i < len(pts); i++ {
		long += pts[i-1].Dist(pts[i])
	}
	rounds := 1
	if once := long / p.Galvo.JumpSpeedMMPerS; once > 0 {
		rounds = int(min(maxRounds, math.Ceil(guideSeconds/once)))
	}
	return correct(Moves{
		Header: galvoHeader(p), Settings: settings, Scanner: p.Scanners(settings),
		Play: playOutlines(outlines, rounds),
	}, p)
}

// playOutlines shows outlines again and again, and then waits for the operator. On the way to
// one the guide is off.
func playOutlines(all []Outline, rounds int) iter.Seq2[Move, error] {
	return func(yield func(Move, error) bool) {
		at, started := path.Point{}, false
		for range rounds {
			for _, o := range all {
				for i, pt := range o.Points {
					mv := Move{Kind: Guide, To: snap(pt, machine.GalvoStepsPerMM)}
					if started && mv.To == at {
						continue // too near to be shown
					}
					if i == 0 {
						mv.Kind = Travel
					}
					at, started = mv.To, true
					if !yield(mv, nil) {
						return
					}
				}
			}
		}
		yield(Move{Kind: Hold, To: at}, nil)
	}
}
