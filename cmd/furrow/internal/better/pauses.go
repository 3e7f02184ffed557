package better

import (
	"errors"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/warmth"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit/heat"
)

// Paused is what pauses came to.
type Paused struct {
	LimitK    float64 `json:"limit_k"`
	WithoutK  float64 `json:"hottest_without_k"`
	HottestK  float64 `json:"hottest_k"`
	Pauses    int     `json:"pauses"`
	Seconds   float64 `json:"seconds"`         // of all pauses
	LongerS   float64 `json:"longer_seconds"`  // the whole job
	LongestS  float64 `json:"longest_seconds"` // pause
	StillOver bool    `json:"still_over"`      // pauses between strokes get it no lower
	StepS     float64 `json:"-"`               // of the maps that were held against each other
}

// UnpausedError is a job that cannot be paused as it was asked for.
type UnpausedError struct{ failure *fault.Failure }

func (e *UnpausedError) Error() string { return e.failure.Error() }

// Unwrap returns the failure, with its remedy.
func (e *UnpausedError) Unwrap() error { return e.failure }

// Hint returns the remedy.
func (e *UnpausedError) Hint() string { return e.failure.Hint }

// Pauses puts pauses into strokes where the estimate passes the limit that the job asks
// for; nil where it asks for none. The strokes are as work.Fill returns them.
func Pauses(in work.Input, s work.Strokes) (work.Strokes, *Paused, error) {
	if in.Job.PauseAt == nil {
		return s, nil, nil
	}
	p := &Paused{LimitK: float64(*in.Job.PauseAt)}
	err := in.Observe.Run("pauses", func() (err error) {
		s, err = p.place(in, s)
		return err
	})
	var failure *fault.Failure
	if errors.As(err, &failure) {
		err = &UnpausedError{failure}
	}
	return s, p, err
}

func (p *Paused) place(in work.Input, s work.Strokes) (work.Strokes, error) {
	in.Observe = work.Observer{}
	switch {
	case in.Machine == nil:
		return s, warmth.Unknown(in.Resolved)
	case in.Job.Fixture.Across():
		return s, fault.Usagef("rows that run across parts cannot be paused for one of them").
			Hintf("set sequence = \"part\" in [fixture]")
	}
	w, err := work.Plan(in, in.IntoField(s))
	if err != nil {
		return s, err
	}
	before, err := warmth.Mapped(w)
	if err != nil {
		return s, err
	}
	p.WithoutK, p.StepS = before.Most*before.Map.Peak, before.Map.StepS
	if p.HottestK = p.WithoutK; p.HottestK <= p.LimitK {
		return s, nil
	}
	if c := in.Machine.GCode; c != nil && !c.Waits() {
		return s, fault.Workf("%s has no word for a pause: its profile does not say that the controller waits at G4 P",
			in.Machine.ID).
			Hintf("try on the machine whether a line G4 P2 waits two seconds, and write dwell = true under [gcode] " +
				"of its profile; " +
				"or use --spread, less power, or a higher speed")
	}
	return p.aim(in, s, w)
}

// tries is how often pauses are placed anew for a lower limit where the work with them
// passes the one that was asked for.
const tries = 5

// aim places pauses, and does the work with them; where that gets warmer than the limit,
// as it may between two strokes, they are placed for a lower one.
func (p *Paused) aim(in work.Input, s work.Strokes, without work.Work) (work.Strokes, error) {
	best := s
	for n, limit := 0, p.LimitK; n < tries; n++ {
		rests, err := warmth.Rests(without, limit)
		if err != nil && n > 0 {
			break // what was found for a higher one has to do
		}
		if err != nil {
			return s, err
		}
		s.Program.Rests = rests
		with, err := work.Plan(in, in.IntoField(s))
		if err != nil {
			return s, err
		}
		e, err := warmth.MappedWith(with, heat.Options{StepS: p.StepS})
		if err != nil {
			return s, err
		}
		hottest := e.Most * e.Map.Peak
		if hottest < p.HottestK {
			best = s
			p.HottestK = hottest
			p.tell(without, with)
		}
		if hottest <= p.LimitK {
			break
		}
		limit = lowered(limit, hottest/p.LimitK)
	}
	p.StillOver = p.HottestK > p.LimitK
	return best, nil
}

// lowered is the limit to place pauses for where those for another one let the work get so
// many times as warm as it may: a hundredth lower than in proportion.
func lowered(limit, times float64) float64 { return 0.99 * limit / times }

// tell says what the pauses in a work cost.
func (p *Paused) tell(without, with work.Work) {
	p.Pauses, p.Seconds, p.LongestS = len(with.Program.Rests), warmth.Rested(with.Program.Rests).Seconds(), 0
	p.LongerS = (with.Clock.Total() - without.Clock.Total()).Seconds()
	for _, r := range with.Program.Rests {
		p.LongestS = max(p.LongestS, r.For.Seconds())
	}
}
