package emit

import (
	"iter"
	"math"

	"furrow/emit/machine"
	"furrow/path"
)

// guideSeconds is how long a galvo goes round the marks at the least.
const guideSeconds = 30

// guideRound returns the moves that show where marks will be: the visible guide
// goes round the rectangle again and again, and then the list waits for the
// operator. The marking beam is off throughout, and the power of the setting,
// which the form asks for, is 0.
func guideRound(marks path.Rect, p machine.Profile) (Moves, error) {
	set := path.Setting{Name: "locate", SpeedMMPerS: min(p.Galvo.JumpSpeedMMPerS, p.Galvo.MaxSpeedMMPerS)}
	if p.Laser.Pulsed() {
		set.FrequencyHz = 1000 * p.Laser.FrequencyKHz[0]
	}
	settings := []path.Setting{p.Rounded(set)}
	if err := machine.CheckListSettings(settings); err != nil {
		return Moves{}, err
	}
	rounds := 1
	if once := 2 * (marks.W() + marks.H()) / p.Galvo.JumpSpeedMMPerS; once > 0 {
		rounds = int(min(maxRounds, math.Ceil(guideSeconds/once)))
	}
	return correct(Moves{
		Header:   galvoHeader(p),
		Settings: settings, Scanner: p.Scanners(settings),
		Play: playRounds(marks, rounds),
	}, p)
}

// maxRounds keeps the list of a tiny rectangle short.
const maxRounds = 10000

func playRounds(r path.Rect, rounds int) iter.Seq2[Move, error] {
	corners := []path.Point{r.Min, {X: r.Max.X, Y: r.Min.Y}, r.Max, {X: r.Min.X, Y: r.Max.Y}}
	return func(yield func(Move, error) bool) {
		at, started := path.Point{}, false
		for i := range 4*rounds + 1 {
			to := snap(corners[i%4], machine.GalvoStepsPerMM)
			if started && to == at {
				continue // the rectangle has no width or no height
			}
			at, started = to, true
			if !yield(Move{Kind: Guide, To: to}, nil) {
				return
			}
		}
		yield(Move{Kind: Hold, To: at}, nil)
	}
}
