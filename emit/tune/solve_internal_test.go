package tune

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/emit/machine/byhand"

	"github.com/stretchr/testify/require"
)

// bench is a gantry with three values to turn: acceleration in Y, in X, and corner error.
func bench() machine.Profile {
	p := machine.Examples()[0]
	g := *p.Gantry
	g.AccelMMPerS2, g.AccelAlongPath, g.CornerErrorMM = [2]float64{800, 1200}, false, 0.02
	p.Gantry = &g
	return p
}

// ofPowers are runs whose times are products of powers of the three values, so that the
// problem is linear in their logarithms.
func ofPowers(p machine.Profile, powers [][3]float64, measured []float64) (all []timer) {
	start := values(p)
	for i, power := range powers {
		all = append(all, timer{measuredS: measured[i], seconds: func(q machine.Profile) (float64, error) {
			t := 1.0
			for k, v := range values(q) {
				t *= math.Pow(v/start[k], power[k])
			}
			return t, nil
		}})
	}
	return all
}

func values(p machine.Profile) [3]float64 {
	return [3]float64{p.Gantry.AccelMMPerS2[1], p.Gantry.AccelMMPerS2[0], p.Gantry.CornerErrorMM}
}

// Where logarithms of times are linear in those of the values, the fit is one of least
// squares: of the runs over 1 %, and of the values over 1.8. Here by a QR decomposition of
// those equations, which the normal equations are not; values that runs hardly ask for and
// one that they ask for against each other are among them.
func TestSolveIsLeastSquares(t *testing.T) {
	p := bench()
	powers := [][3]float64{{-0.5, 0, 0}, {-0.004, 0.006, 0.01}, {0, -0.3, -0.2}, {0.01, -0.1, 0.4},
		{0.002, 0.003, 0.001}}
	measured := []float64{1.3, 1.004, 0.9, 1.1, 5}
	out := []bool{false, false, false, false, true}
	s, err := solve(p, ofPowers(p, powers, measured), out)
	require.NoError(t, err)

	a, b := mat.NewDense(7, 3, nil), mat.NewVecDense(7, nil)
	for i := range 4 {
		for k := range 3 {
			a.Set(i, k, powers[i][k]/0.01)
		}
		b.SetVec(i, math.Log(measured[i])/0.01)
	}
	for k := range 3 {
		a.Set(4+k, k, 1/1.8)
	}
	var qr mat.QR
	qr.Factorize(a)
	var x mat.VecDense
	require.NoError(t, qr.SolveVecTo(&x, false, b))
	var rest mat.VecDense
	rest.MulVec(a, &x)
	rest.SubVec(&rest, b)
	for k, v := range values(s.profile) {
		require.InEpsilon(t, values(p)[k]*math.Exp(x.AtVec(k)), v, 1e-4, "value %d", k)
	}
	require.InEpsilon(t, mat.Dot(&rest, &rest), s.cost, 1e-6)
	var inverse, wide mat.Dense
	require.NoError(t, inverse.Inverse(wideOf(&wide, a)))
	for i := range 3 {
		for j := range 3 {
			require.InDelta(t, inverse.At(i, j), s.covariance.At(i, j), 1e-6, "%d %d", i, j)
		}
		require.InEpsilon(t, math.Sqrt(inverse.At(i, i)), s.sd(i), 1e-6)
	}
	for i := range 4 {
		require.InDelta(t, rest.AtVec(i)*0.01, s.residual[i], 1e-6)
	}
}

// wideOf is AᵀA.
func wideOf(to, a *mat.Dense) *mat.Dense {
	to.Mul(a.T(), a)
	return to
}

// A far answer is found too, in steps of no more than a factor of e, and from where the
// times are anything but linear.
func TestSolveFindsAFarAnswer(t *testing.T) {
	p := bench()
	timers := ofPowers(p, [][3]float64{{-0.5, 0, 0}, {0, -1, 0}, {0, 0, 1}}, []float64{0.05, 300, 20})
	for i := range timers { // through a sharp bend
		inner := timers[i].seconds
		timers[i].seconds = func(q machine.Profile) (float64, error) {
			s, err := inner(q)
			return s + 0.2*s*s/(1+s), err
		}
	}
	s, err := solve(p, timers, make([]bool, 3))
	require.NoError(t, err)
	for i, r := range s.residual {
		require.InDelta(t, 0, r, 2e-3, "run %d", i)
	}
}

// Where the plain step leads past the answer and further away, again and again, a shorter one is
// taken: the logarithm of this time is the arc tangent of five times how far the value is off.
func TestSolveTakesShorterSteps(t *testing.T) {
	p := bench()
	bend := timer{measuredS: 1, seconds: func(q machine.Profile) (float64, error) {
		return math.Exp(math.Atan(5 * (math.Log(q.Gantry.AccelMMPerS2[0]/800) + 0.6))), nil
	}}
	s, err := solve(p, []timer{bend}, []bool{false})
	require.NoError(t, err)
	require.InEpsilon(t, 800*math.Exp(-0.6), s.profile.Gantry.AccelMMPerS2[0], 1e-3)
}

// A run that was left out is far off the others where it is off by a twentieth, and by four
// times the middle of what the others are off.
func TestFarOffTheOthers(t *testing.T) {
	for _, c := range []struct {
		residual []float64
		far      bool
	}{
		{[]float64{0.05, 0.001, 0.002, -0.003}, true}, {[]float64{-0.05, 0.001, 0.002, -0.003}, true},
		{[]float64{0.049, 0.001, 0.002, -0.003}, false}, {[]float64{0.4, 0.5, -0.1, 0.0}, true},
		{[]float64{0.399, 0.5, -0.1, 0.0}, false}, {[]float64{0.2, 0.04, -0.06, 0, 0.3}, true},
		{[]float64{0.2, 0.05, -0.06, 0, 0.3}, false},
	} {
		s := &solution{residual: c.residual}
		require.Equal(t, c.far, s.explainsNot(0, []int{0, 1, 2, 3, 4}[:len(c.residual)]), "%v", c.residual)
	}
}

// A wrong run that pulls the fit towards itself is not the furthest off: here the third, which
// asks for its value four times as strongly as the first. Without it the others agree, and
// without the first they do not.
func TestTheWrongRunMayNotBeTheFurthest(t *testing.T) {
	p := bench()
	timers := ofPowers(p, [][3]float64{{-0.5, 0, 0}, {-0.13, 0, 0}, {-2, 0, 0}, {0, -0.5, 0}},
		[]float64{1, 1, math.Exp(1.2), 1.1})
	out := make([]bool, 4)
	s, err := solve(p, timers, out)
	require.NoError(t, err)
	require.Equal(t, []int{0, 2, 1, 3}, s.furthest(out))
	without, found, err := s.withoutWorst(p, timers, out)
	require.NoError(t, err)
	require.True(t, found)
	require.Equal(t, []bool{false, false, true, false}, out)
	require.InEpsilon(t, 1200, without.profile.Gantry.AccelMMPerS2[1], 1e-3)
	require.Equal(t, []int{3, 0, 1}[:1], without.furthest([]bool{true, true, true, false}))
	_, found, err = without.withoutWorst(p, timers, out)
	require.NoError(t, err)
	require.False(t, found, "three are too few")
}

func TestLargestStep(t *testing.T) {
	require.Equal(t, 1.5, largest([]float64{1, 2, -3}, []float64{1.25, 0.5, -4}))
	require.Zero(t, largest([]float64{5}, []float64{5}))
}

func TestMedian(t *testing.T) {
	require.Equal(t, 2.0, median([]float64{3, 1, 2}))
	require.Equal(t, 2.5, median([]float64{4, 1, 3, 2}))
	require.Equal(t, 7.0, median([]float64{7}))
	require.Equal(t, 6.0, median([]float64{7, 5}))
}

// A value is written in four digits where it is known within a percent, two standard
// deviations of 0.00497, else in three. One that is not told within a factor of e to the
// quarter stays, unless others take it along by 2 % or more.
func TestDigits(t *testing.T) {
	p := bench()
	for _, c := range []struct{ sd, found, want float64 }{
		{0.0049, 1234.567, 1235}, {0.005, 1234.567, 1230}, {0.24, 1234.567, 1230}, {0.25, 1223.1, 1200},
		{0.25, 1177.2, 1200}, {0.25, 1225.9, 1230}, {0.25, 1172.6, 1170}, {0.24, 1201.4, 1200}, {0.004, 1201.44, 1201},
	} {
		s := &solution{knobs: knobs(p), profile: p}
		s.profile = s.knobs[0].set(p, c.found)
		for i := range 3 {
			s.covariance = *mat.NewSymDense(3, []float64{c.sd * c.sd, 0, 0, 0, 1, 0, 0, 0, 1})
			require.Equal(t, i == 0 && c.sd < 0.25, s.told(i))
		}
		got := s.readable(p).Gantry
		require.Equal(t, [2]float64{800, c.want}, got.AccelMMPerS2, "%+v", c)
		require.Equal(t, 0.02, got.CornerErrorMM)
		require.InDelta(t, 100*(math.Exp(2*c.sd)-1), s.percent(0), 1e-9)
	}
}

// What can be turned of each kind of machine, and what stands for 0.
func TestKnobs(t *testing.T) {
	along, galvo, lag := bench(), byhand.Fibre(), byhand.Fibre()
	along.Gantry.AccelAlongPath = true
	lag.Galvo.TrackingLagUS = 0.5
	for _, c := range []struct {
		p     machine.Profile
		whats []string
		least []float64
	}{
		{bench(), []string{"acceleration in Y", "acceleration in X", "corner error"}, []float64{1, 1, 1e-4}},
		{along, []string{"corner error", "acceleration"}, []float64{1e-4, 1}},
		{galvo, []string{"jump speed", "jump delay", "short jump delay", "mark delay", "corner delay"},
			[]float64{1, 1, 1, 1, 1}},
		{lag, []string{"jump speed", "tracking lag"}, []float64{1, 1}},
	} {
		all := knobs(c.p)
		require.Len(t, all, len(c.whats))
		for i, k := range all {
			require.Equal(t, c.whats[i], k.what)
			require.Equal(t, c.least[i], k.get(k.set(c.p, 0)), k.what)
			before := k.get(c.p)
			require.Equal(t, 3*before, k.get(k.set(c.p, 3*before)), k.what)
			require.Equal(t, before, k.get(c.p), "the profile itself stays")
		}
	}
	g := knobs(galvo)[1].set(galvo, 40).Galvo
	require.Equal(t, []float64{40, 40}, []float64{g.JumpDelayUS, g.ShortJumpDelayUS}, "no longer than a long one's")
	require.Equal(t, [2]float64{2500, 2500}, knobs(along)[1].set(along, 2500).Gantry.AccelMMPerS2)
}

// A galvo's times by a few readings of the clock are those of the clock, for other delays
// and speeds too, also where a short jump takes the delay of a long one.
func TestEvenlyIsTheClock(t *testing.T) {
	for _, short := range []float64{60, 250, 3} {
		p := byhand.Fibre()
		p.Galvo.ShortJumpDelayUS = short
		other := byhand.Fibre()
		other.Galvo.JumpSpeedMMPerS, other.Galvo.JumpDelayUS, other.Galvo.ShortJumpDelayUS = 1700, 420, 130
		other.Galvo.MarkDelayUS, other.Galvo.CornerDelayUS = 270, 90
		for _, trial := range Trials(p, 0.05) {
			run := Run{Moves: trial.Moves, MeasuredS: 1}
			timers, err := timersOf(p, []Run{run})
			require.NoError(t, err)
			want, err := seconds(run, other)
			require.NoError(t, err)
			got, err := timers[0].seconds(other)
			require.NoError(t, err)
			require.InEpsilon(t, want, got, 2e-3, "%s, %g", trial.Name, short)
		}
	}
}

// As many moves are held as are allowed, and none of a file that breaks off.
func TestFewMovesAreHeld(t *testing.T) {
	stream := func(n int, last error) emit.Moves {
		return emit.Moves{Play: func(yield func(emit.Move, error) bool) {
			for i := range n {
				if !yield(emit.Move{WaitUS: int64(i)}, nil) {
					return
				}
			}
			if last != nil {
				yield(emit.Move{}, last)
			}
		}}
	}
	all, ok := few(stream(mostHeld, nil))
	require.True(t, ok)
	require.Len(t, all, mostHeld)
	require.EqualValues(t, mostHeld-1, all[mostHeld-1].WaitUS)
	_, ok = few(stream(mostHeld+1, nil))
	require.False(t, ok)
	_, ok = few(stream(2, errors.New("cut off")))
	require.False(t, ok)
	_, err := Fit(bench(), []Run{{Moves: stream(0, errors.New("cut off")), MeasuredS: 1}})
	require.EqualError(t, err, "cut off")
}
