package better

import (
	"errors"

	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/warmth"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit/heat"
	"furrow/path/hatch"
)

// Spread is what looking for a cooler sequence came to. Rises are the highest that any
// place of the blank sees, by the most that it may take in.
type Spread struct {
	Kept       bool    `json:"plain_kept"` // no other sequence is worth it
	Tried      int     `json:"tried"`
	PlainK     float64 `json:"plain_hottest_k"`
	HottestK   float64 `json:"hottest_k"` // of the sequence taken, or of the best of those that were not worth it
	PlainS     float64 `json:"plain_seconds"`
	Seconds    float64 `json:"seconds"`
	Interleave int     `json:"interleave"` // rows; 1: row after row
	Cells      int     `json:"cells"`      // 0: as the rows come
	StepS      float64 `json:"-"`          // of the maps that were held against each other
}

// WorthCooling is the least share of the hottest rise that another sequence has to save
// to be taken, and MostLonger how much longer it may take, as a share of the time. Our
// own choice: materials are known to a tenth, but one blank is held against itself here.
const (
	WorthCooling = 0.05
	MostLonger   = 0.25
)

// The ways that are tried: rows interleaved so many times, and then the best of that cut
// into so many cells. Of 20 pairs on five jobs none was more than a twentieth cooler.
var (
	triedInterleave = []int{2, 4, 8, 16}
	triedCells      = []int{6, 16}
)

// The grid on which ways are ranked; the one that is taken is held against the plain one
// on the grid that every other map has.
const roughCells, roughSteps = 80, 1000

// Spreading looks for a sequence of rows that keeps the hottest place cooler, where the job
// asks for it; nil where it does not. What it says of a sequence is what the estimate says
// of the work done that way.
func Spreading(in work.Input) (work.Input, *Spread, error) {
	if !value.Or(in.Job.Spread, false) {
		return in, nil, nil
	}
	s := spreader{in: in}
	err := in.Observe.Run("spread", s.look)
	return s.in, &s.Spread, err
}

// spreader tries one way after the other.
type spreader struct {
	Spread
	in    work.Input
	grid  heat.Options // that ways are ranked on
	best  cooler
	plain work.Work
}

// cooler is a sequence that was tried. Its score is the hottest rise times the time: to
// take a percent longer it has to be more than a percent cooler.
type cooler struct {
	in    work.Input
	score float64
}

func (s *spreader) look() (err error) {
	observe := s.in.Observe
	s.in.Observe = work.Observer{} // of what is tried nobody hears
	defer func() { s.in.Observe = observe }()
	if s.plain, err = work.Make(s.in); err != nil {
		return err
	}
	if s.grid, err = roughly(s.plain); err != nil {
		return err
	}
	e, err := warmth.MappedWith(s.plain, s.grid)
	if err != nil {
		return err
	}
	s.best = cooler{s.in, e.Map.Peak}
	s.Interleave = 1
	for _, rows := range triedInterleave {
		if err := s.try(rows, 0); err != nil {
			return err
		}
	}
	for _, cells := range triedCells {
		if err := s.try(s.Interleave, cells); err != nil {
			return err
		}
	}
	return s.judge()
}

// roughly returns the grid on which ways to do a work are ranked.
func roughly(w work.Work) (heat.Options, error) {
	r, ok := w.BlankRect()
	if !ok || w.Machine == nil {
		return heat.Options{}, warmth.Unknown(w.Resolved)
	}
	return heat.Options{
		CellMM: max(0.25, max(r.W(), r.H())/roughCells), StepS: max(1e-3, w.Clock.Total().Seconds()/roughSteps),
	}, nil
}

// try does the work another way. What the machine cannot do that way is no choice.
func (s *spreader) try(rows, cells int) error {
	in := s.in
	in.Cells, in.Groups = cells, interleaved(in, rows)
	w, err := work.Make(in)
	var unfit *work.UnfitError
	switch {
	case errors.As(err, &unfit):
		return nil
	case err != nil:
		return err
	}
	s.Tried++
	longer := w.Clock.Total().Seconds() / s.plain.Clock.Total().Seconds()
	if tooLong(longer) {
		return nil
	}
	e, err := warmth.MappedWith(w, s.grid)
	if err != nil {
		return err
	}
	if score := e.Map.Peak * longer; beats(score, s.best.score) {
		s.best, s.Interleave, s.Cells = cooler{in, score}, rows, cells
	}
	return nil
}

// tooLong reports that a sequence takes too many times as long as the plain one.
func tooLong(times float64) bool { return times > 1+MostLonger }

// beats reports that a score is better than that of a simpler sequence: by a hundredth, so
// that what is simpler stands for what is hardly better.
func beats(score, simpler float64) bool { return score < 0.99*simpler }

// worthTaking reports that a sequence is enough cooler than the plain one.
func worthTaking(hottestK, plainK float64) bool { return hottestK <= (1-WorthCooling)*plainK }

// interleaved returns the groups with every n-th row first, but for those that the job
// or recipe says it of, and those without rows.
func interleaved(in work.Input, n int) []hatch.Group {
	all := append([]hatch.Group(nil), in.Groups...)
	for i := range all {
		if all[i].Skip <= 1 && !all[i].Contours {
			all[i].Skip = n
		}
	}
	return all
}

// judge holds the best way against the plain one on the finer grid.
func (s *spreader) judge() error {
	before, err := warmth.Mapped(s.plain)
	if err != nil {
		return err
	}
	s.PlainK, s.PlainS = before.Most*before.Map.Peak, s.plain.Clock.Total().Seconds()
	s.HottestK, s.Seconds, s.Kept = s.PlainK, s.PlainS, true
	if s.StepS = before.Map.StepS; s.Cells == 0 && s.Interleave == 1 {
		return nil
	}
	w, err := work.Make(s.best.in)
	if err != nil {
		return err
	}
	after, err := warmth.MappedWith(w, heat.Options{StepS: s.StepS})
	if err != nil {
		return err
	}
	s.HottestK, s.Seconds = after.Most*after.Map.Peak, w.Clock.Total().Seconds()
	if worthTaking(s.HottestK, s.PlainK) {
		s.in, s.Kept = s.best.in, false
	}
	return nil
}
