package emit

import (
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
	corners := []path.Point{marks.Min, {X: marks.Max.X, Y: marks.Min.Y}, marks.Max,
		{X: marks.Min.X, Y: marks.Max.Y}, marks.Min}
	return guideAlong([]Outline{{Points: corners}}, p)
}

// maxRounds keeps the list of a tiny rectangle short.
const maxRounds = 10000
