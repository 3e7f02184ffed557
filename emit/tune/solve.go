package tune

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"furrow/emit/machine"
)

// solution is where the sum of squares is least.
type solution struct {
	knobs      []knob
	profile    machine.Profile
	residual   []float64 // ln of predicted over measured, of every run
	cost       float64   // sum of squares in standard deviations
	covariance mat.SymDense
	restTold   bool
}

// The search ends after so many steps, or where one changes no value by more than this
// share.
const (
	mostSteps = 40
	small     = 1e-4
)

// solve looks for the values by Levenberg's and Marquardt's method (Marquardt, J. SIAM
// 11, 1963), from those that the profile has.
func solve(p machine.Profile, runs []timer, out []bool) (*solution, error) {
	s := &solution{knobs: knobs(p), profile: p}
	start := logs(s.knobs, p)
	at, damping := slices.Clone(start), 1e-3
	if err := s.measure(at, start, runs, out); err != nil {
		return nil, err
	}
	for range mostSteps {
		jac, err := s.jacobian(at, runs)
		if err != nil {
			return nil, err
		}
		normal, right := s.normal(jac, at, start, out)
		moved := false
		for !moved && damping < 1e8 {
			step, ok := damped(normal, right, damping)
			next := slices.Clone(at)
			for i := range next {
				next[i] += math.Max(-1, math.Min(1, step[i]))
			}
			try := &solution{knobs: s.knobs, profile: p}
			if err := try.measure(next, start, runs, out); err != nil {
				return nil, err
			}
			if ok && try.cost <= s.cost {
				moved = true
				done := largest(at, next) < small
				*s, at, damping = *try, next, damping/10
				if done {
					damping = 1e9
				}
				continue
			}
			damping *= 10
		}
		if !moved || damping > 1e7 {
			break
		}
	}
	return s, s.spreadOut(at, start, runs, out)
}

func logs(all []knob, p machine.Profile) (at []float64) {
	for _, k := range all {
		at = append(at, math.Log(k.get(p)))
	}
	return at
}

func largest(a, b []float64) (most float64) {
	for i := range a {
		most = max(most, math.Abs(a[i]-b[i]))
	}
	return most
}

// set turns the knobs of a profile.
func set(all []knob, p machine.Profile, at []float64) machine.Profile {
	for i, k := range all {
		p = k.set(p, max(k.least, math.Exp(at[i])))
	}
	return p
}

// residuals returns how far off each run is, as a logarithm.
func residuals(runs []timer, p machine.Profile) ([]float64, error) {
	all, took := make([]float64, len(runs)), make([]float64, len(runs))
	for i, r := range runs {
		if took[i] = took[i-r.back]; r.back == 0 {
			var err error
			if took[i], err = r.seconds(p); err != nil {
				return nil, err
			}
		}
		all[i] = math.Log(took[i] / r.measuredS)
	}
	return all, nil
}

// measure fills in profile, residuals and cost at a place.
func (s *solution) measure(at, start []float64, runs []timer, out []bool) (err error) {
	s.profile = set(s.knobs, s.profile, at)
	if s.residual, err = residuals(runs, s.profile); err != nil {
		return err
	}
	s.cost = 0
	for i, r := range s.residual {
		if !out[i] {
			s.cost += r * r / (watch * watch)
		}
	}
	for i := range at {
		d := (at[i] - start[i]) / spread
		s.cost += d * d
	}
	return nil
}

// difference is by how much a value is turned to see what that does.
// It is more than the steps of a list's whole microseconds.
const difference = 0.05

// jacobian returns how each run answers to each knob, by differences to both sides.
func (s *solution) jacobian(at []float64, runs []timer) ([][]float64, error) {
	jac := make([][]float64, len(s.knobs))
	for k := range s.knobs {
		up, down := slices.Clone(at), slices.Clone(at)
		up[k] += difference
		down[k] -= difference
		a, err := residuals(runs, set(s.knobs, s.profile, up))
		if err != nil {
			return nil, err
		}
		b, err := residuals(runs, set(s.knobs, s.profile, down))
		if err != nil {
			return nil, err
		}
		jac[k] = make([]float64, len(runs))
		for i := range runs {
			jac[k][i] = (a[i] - b[i]) / (2 * difference)
		}
	}
	return jac, nil
}

// normal returns the normal equations, with the priors in them.
func (s *solution) normal(jac [][]float64, at, start []float64, out []bool) (*mat.SymDense, []float64) {
	n := len(s.knobs)
	a, right := mat.NewSymDense(n, nil), make([]float64, n)
	for i := range n {
		right[i] = -(at[i] - start[i]) / (spread * spread)
		for j := i; j < n; j++ {
			sum := 0.0
			if i == j {
				sum = 1 / (spread * spread)
			}
			for r := range s.residual {
				if !out[r] {
					sum += jac[i][r] * jac[j][r] / (watch * watch)
				}
			}
			a.SetSym(i, j, sum)
		}
		for r, res := range s.residual {
			if !out[r] {
				right[i] -= jac[i][r] * res / (watch * watch)
			}
		}
	}
	return a, right
}

// damped solves the normal equations with their diagonal made larger.
func damped(a *mat.SymDense, right []float64, damping float64) ([]float64, bool) {
	n := len(right)
	b := mat.NewSymDense(n, nil)
	b.CopySym(a)
	for i := range n {
		b.SetSym(i, i, a.At(i, i)*(1+damping))
	}
	var chol mat.Cholesky
	if !chol.Factorize(b) {
		return make([]float64, n), false
	}
	var x mat.VecDense
	err := chol.SolveVecTo(&x, mat.NewVecDense(n, right))
	return x.RawVector().Data, err == nil
}

// spreadOut finds how far off the values may be.
func (s *solution) spreadOut(at, start []float64, runs []timer, out []bool) error {
	jac, err := s.jacobian(at, runs)
	if err != nil {
		return err
	}
	a, _ := s.normal(jac, at, start, out)
	var chol mat.Cholesky
	chol.Factorize(a) // the priors make it positive
	return chol.InverseTo(&s.covariance)
}

func median(all []float64) float64 {
	all = slices.Sorted(slices.Values(all))
	if n := len(all); n%2 == 0 {
		return (all[n/2-1] + all[n/2]) / 2
	}
	return all[len(all)/2]
}
