package emit

import (
	"fmt"
	"iter"
	"math"

	"furrow/path"
)

// GuideRound returns the moves that show where marks will be: the visible guide
// goes round the rectangle, again and again for at least the given time, and
// then the list waits for the operator. The marking beam is off throughout.
func GuideRound(marks path.Rect, p Profile, seconds float64) (Moves, error) {
	if p.Galvo == nil {
		return Moves{}, fmt.Errorf("machine %q has no field", p.ID)
	}
	if marks.Empty() {
		return Moves{}, fmt.Errorf("there is nothing to show")
	}
	set := path.Setting{SpeedMMPerS: p.Galvo.JumpSpeedMMPerS}
	settings, scanner, err := galvoSettings([]path.Setting{set}, p)
	if err != nil {
		return Moves{}, err
	}
	once := 2 * (marks.W() + marks.H()) / p.Galvo.JumpSpeedMMPerS
	rounds := 1
	if once > 0 {
		rounds = int(min(maxRounds, max(1, math.Ceil(seconds/once))))
	}
	return correct(Moves{
		Header:   galvoHeader(p),
		Settings: settings, Scanner: scanner,
		Play: playRounds(marks, rounds),
	}, *p.Galvo)
}

// maxRounds keeps the list of a tiny rectangle short.
const maxRounds = 10000

func playRounds(r path.Rect, rounds int) iter.Seq2[Move, error] {
	corners := []path.Point{r.Min, {X: r.Max.X, Y: r.Min.Y}, r.Max, {X: r.Min.X, Y: r.Max.Y}}
	return func(yield func(Move, error) bool) {
		at, started := path.Point{}, false
		for i := range 4*rounds + 1 {
			to := snap(corners[i%4], GalvoStepsPerMM)
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
