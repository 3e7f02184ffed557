package tune

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
)

// Run is moves that were timed by a watch.
type Run struct {
	Name      string
	File      string // whose moves they are: runs of one file take one time; "" is a file of its own
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
	Told    bool    // the runs tell it by itself; else it stays what it was, or is told with others
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
	runs = held(runs)
	timed, err := timersOf(p, runs)
	if err != nil {
		return Result{}, err
	}
	out := make([]bool, len(runs))
	s, err := best(p, timed, out)
	for err == nil {
		without, found, failed := s.withoutWorst(p, timed, out)
		if err = failed; err != nil || !found {
			break
		}
		s = without
	}
	if err != nil {
		return Result{}, err
	}
	return s.result(p, runs, out)
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
	told := math.Abs(other.cost-s.cost) > clearly
	if told && other.cost < s.cost {
		s = other
	}
	s.restTold = told
	return s, nil
}

// clearly is how far the sums of squares of two answers must lie apart for the runs to tell
// which of them holds: three standard deviations.
const clearly = 9

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

// The bounds of an outlier: a run that is this far off what the others say, and this many
// times as far as they are in the middle.
const (
	outlierShare = 0.05
	outlierTimes = 4
	fewestRuns   = 4 // below that no run can be told to be wrong
)

// withoutWorst leaves out the run that no values explain beside the others, if there is one.
// A run that is wrong pulls the fit towards itself, so it is judged by a fit without it; and
// where leaving out another does nearly as well, it is not known which of them is wrong.
func (s *solution) withoutWorst(p machine.Profile, runs []timer, out []bool) (*solution, bool, error) {
	order := s.furthest(out)
	if len(order) < fewestRuns || math.Abs(s.residual[order[0]]) < outlierShare/2 {
		return nil, false, nil
	}
	var tried [2]*solution
	for i := range tried {
		rest := slices.Clone(out)
		rest[order[i]] = true
		var err error
		if tried[i], err = best(p, runs, rest); err != nil {
			return nil, false, err
		}
	}
	wrong, other := 0, 1
	if tried[1].cost < tried[0].cost {
		wrong, other = 1, 0
	}
	if tried[other].cost-tried[wrong].cost < clearly || !tried[wrong].explainsNot(order[wrong], order) {
		return nil, false, nil
	}
	out[order[wrong]] = true
	return tried[wrong], true, nil
}

// furthest lists the runs that count, those that are furthest off first.
func (s *solution) furthest(out []bool) (order []int) {
	for i := range s.residual {
		if !out[i] {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(math.Abs(s.residual[b]), math.Abs(s.residual[a]))
	})
	return order
}

// explainsNot reports that a run that was left out is far off what the others say.
func (s *solution) explainsNot(run int, all []int) bool {
	var rest []float64
	for _, i := range all {
		if i != run {
			rest = append(rest, math.Abs(s.residual[i]))
		}
	}
	off := math.Abs(s.residual[run])
	return off >= outlierShare && off >= outlierTimes*median(rest)
}

// result words a solution.
func (s *solution) result(p machine.Profile, runs []Run, out []bool) (r Result, err error) {
	r = Result{Profile: s.readable(p), RestTold: s.restTold, Rest: s.profile.IsGantry() &&
		s.profile.Gantry.RestsAtTravel()}
	for i, run := range runs {
		f := Fitted{Name: run.Name, MeasuredS: run.MeasuredS, Outlier: out[i]}
		if f.BeforeS, err = seconds(run, p); err != nil {
			return Result{}, err
		}
		if f.AfterS, err = seconds(run, r.Profile); err != nil {
			return Result{}, err
		}
		r.Runs = append(r.Runs, f)
	}
	for i, k := range s.knobs {
		r.Values = append(r.Values, Value{
			Key: k.key, What: k.what, Before: k.get(p), After: k.get(r.Profile), Percent: s.percent(i), Told: s.told(i),
		})
	}
	return r, nil
}

func (s *solution) sd(i int) float64 { return math.Sqrt(s.covariance.At(i, i)) }

func (s *solution) told(i int) bool { return s.sd(i) < notTold }

// percent is how far a value may be off: two standard deviations.
func (s *solution) percent(i int) float64 { return 100 * (math.Exp(2*s.sd(i)) - 1) }

// stays is how far the fit may take a value that the runs do not tell, as a logarithm, for it
// to be left as it was. One that goes further is told together with others, if not by itself.
const stays = 0.02

// readable is the fitted profile with numbers that a person can read: of three digits, or of
// four where they are known within a percent. What is not told at all stays what it was.
func (s *solution) readable(p machine.Profile) machine.Profile {
	if p.IsGantry() && p.Gantry.RestsAtTravel() != s.profile.Gantry.RestsAtTravel() {
		p = otherJunction(p)
	}
	fitted := p
	for i, k := range s.knobs {
		v, digits := k.get(s.profile), 3
		if s.percent(i) < 1 {
			digits = 4
		}
		if s.told(i) || math.Abs(math.Log(v/k.get(p))) >= stays {
			fitted = k.set(fitted, withDigits(v, digits))
		}
	}
	return fitted
}

func withDigits(v float64, digits int) float64 {
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', digits, 64), 64) // what it wrote it reads
	return v
}
