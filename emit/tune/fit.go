package tune

import (
	"fmt"
	"math"
	"strconv"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
)

// Run is moves that were timed by a watch.
type Run struct {
	Name      string
	Moves     emit.Moves
	MeasuredS float64
}

// Value is one that was fitted.
type Value struct {
	Key     string
	What    string // "acceleration in X"
	Before  float64
	After   float64
	Percent float64 // how far it may be off, plus or minus: two standard deviations
	Told    bool    // the runs tell it; else it stays about what it was
}

// Fitted is a run with what the clock says of it.
type Fitted struct {
	Name            string
	BeforeS, AfterS float64
	MeasuredS       float64
	Outlier         bool // left out of the fit
}

// Result is a fitted profile.
type Result struct {
	Profile machine.Profile
	Values  []Value
	Runs    []Fitted
	Rest    bool // the head stops where travel meets marking, by the runs
	// RestTold is whether the runs tell that; else it stays as the profile has it.
	RestTold bool
}

// The spreads of a fit, as standard deviations of logarithms.
const (
	watch   = 0.01 // of a time by a watch
	spread  = 1.8  // of a value before anything is measured: a factor of 6
	notTold = 0.25 // from which on a value counts as not told
)

// Fit fits the profile to runs. It leaves out those that no values explain.
func Fit(p machine.Profile, runs []Run) (Result, error) {
	for _, r := range runs {
		if !(r.MeasuredS > 0) || math.IsInf(r.MeasuredS, 0) {
			return Result{}, fmt.Errorf("%s: %g is no time", r.Name, r.MeasuredS)
		}
	}
	if len(runs) == 0 {
		return Result{}, fmt.Errorf("no run to fit to")
	}
	timed, err := timersOf(p, runs)
	if err != nil {
		return Result{}, err
	}
	out := make([]bool, len(runs))
	for {
		s, err := best(p, timed, out)
		if err != nil {
			return Result{}, err
		}
		worst := s.outlier(out)
		if worst < 0 {
			return s.result(p, runs, out)
		}
		out[worst] = true
	}
}

// best fits with either junction of a gantry, and takes the better one. What the
// profile says stands where the runs do not tell.
func best(p machine.Profile, runs []timer, out []bool) (*solution, error) {
	s, err := solve(p, runs, out)
	if err != nil || !p.IsGantry() {
		return s, err
	}
	other, err := solve(otherJunction(p), runs, out)
	if err != nil {
		return nil, err
	}
	told := math.Abs(other.cost-s.cost) > junctionWins
	if told && other.cost < s.cost {
		s = other
	}
	s.restTold = told
	return s, nil
}

// junctionWins is how far the sums of squares must lie apart for the runs to tell the
// junction: three standard deviations.
const junctionWins = 9

func otherJunction(p machine.Profile) machine.Profile {
	g := *p.Gantry
	g.TravelJunction = machine.JunctionRest
	if p.Gantry.RestsAtTravel() {
		g.TravelJunction = machine.JunctionCorner
	}
	p.Gantry = &g
	return p
}

// seconds returns the time of a run on a machine.
func seconds(r Run, p machine.Profile) (float64, error) {
	m := r.Moves
	if m.ForGalvo() && p.IsGalvo() {
		m.Scanner = p.Scanners(m.Settings)
	}
	t, err := clock.Run(m, p)
	if err == nil && t.Total() <= 0 {
		err = fmt.Errorf("%s: takes no time", r.Name)
	}
	return t.Total().Seconds(), err
}

// The bounds of an outlier: a run that is this far off, and this many times as far as
// the others are in the middle.
const (
	outlierShare = 0.05
	outlierTimes = 4
	fewestRuns   = 4 // below that no run can be told to be wrong
)

// outlier returns the run that is furthest off, if it cannot be right; else -1.
func (s *solution) outlier(out []bool) int {
	worst, at := 0.0, -1
	var rest []float64
	for i, r := range s.residual {
		if out[i] {
			continue
		}
		rest = append(rest, math.Abs(r))
		if math.Abs(r) > worst {
			worst, at = math.Abs(r), i
		}
	}
	if len(rest) < fewestRuns || worst < outlierShare || worst < outlierTimes*median(rest) {
		return -1
	}
	return at
}

// digits of a fitted value are kept: more than any watch tells.
const digits = 4

// rounded is the profile with values that a person can read.
func rounded(all []knob, p machine.Profile) machine.Profile {
	for _, k := range all {
		v, err := strconv.ParseFloat(strconv.FormatFloat(k.get(p), 'g', digits, 64), 64)
		if err == nil {
			p = k.set(p, v)
		}
	}
	return p
}

// result words a solution.
func (s *solution) result(p machine.Profile, runs []Run, out []bool) (Result, error) {
	r := Result{Profile: rounded(s.knobs, s.profile), RestTold: s.restTold,
		Rest: s.profile.IsGantry() && s.profile.Gantry.RestsAtTravel()}
	for i, run := range runs {
		before, err := seconds(run, p)
		if err != nil {
			return Result{}, err
		}
		r.Runs = append(r.Runs, Fitted{
			Name: run.Name, BeforeS: before, AfterS: run.MeasuredS * math.Exp(s.residual[i]), MeasuredS: run.MeasuredS,
			Outlier: out[i],
		})
	}
	for i, k := range s.knobs {
		sd := math.Sqrt(s.covariance.At(i, i))
		r.Values = append(r.Values, Value{
			Key: k.key, What: k.what, Before: k.get(p), After: k.get(r.Profile),
			Percent: 100 * (math.Exp(2*sd) - 1), Told: sd < notTold,
		})
	}
	return r, nil
}
