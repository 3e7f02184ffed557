package tune_test

import (
	"math"
	"testing"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// A second, plain clock, written from the rules of the design and not from package clock:
// it keeps all moves in memory, finds the speed into each of them going back and then
// forth, and adds up trapezoids. It knows straight moves of a gantry without a limit of
// the jerk, and a galvo's list.

func replayed(t *testing.T, m emit.Moves, p machine.Profile) float64 {
	t.Helper()
	var moves []emit.Move
	for mv, err := range m.All() {
		if err != nil || mv.Turn != emit.Straight {
			require.FailNow(t, "not a straight move", err)
		}
		moves = append(moves, mv)
	}
	if p.IsGalvo() {
		return galvoSeconds(moves, *p.Galvo)
	}
	return gantrySeconds(moves, *p.Gantry)
}

// smaller of an axis' limits along a direction.
func smaller(limit [2]float64, d path.Point) float64 {
	x, y := math.Inf(1), math.Inf(1)
	if math.Abs(d.X) > 1e-12 {
		x = limit[0] / math.Abs(d.X)
	}
	if math.Abs(d.Y) > 1e-12 {
		y = limit[1] / math.Abs(d.Y)
	}
	return math.Min(x, y)
}

func gantrySeconds(moves []emit.Move, g machine.Gantry) (sum float64) {
	smaller := func(limit [2]float64, d path.Point) float64 {
		if g.AccelAlongPath && limit == g.AccelMMPerS2 {
			return math.Min(limit[0], limit[1])
		}
		return smaller(limit, d)
	}
	type leg struct{ length, accel, top, into float64 } // into is the square of a speed
	var legs []leg
	at, heading := path.Point{}, path.Point{}
	travelled := true
	for _, mv := range moves {
		way := path.Point{X: mv.To.X - at.X, Y: mv.To.Y - at.Y}
		l := math.Hypot(way.X, way.Y)
		if l == 0 {
			continue
		}
		u := path.Point{X: way.X / l, Y: way.Y / l}
		top := mv.Speed
		if mv.Kind == emit.Travel {
			top = g.RapidMMPerS
		}
		top = math.Min(top, smaller(g.MaxSpeedMMPerS, u))
		into := 0.0
		if c := -(u.X*heading.X + u.Y*heading.Y); len(legs) > 0 { // cosine between the way back and the way on
			s := math.Sqrt(math.Max(0, (1-c)/2))
			change := path.Point{X: u.X - heading.X, Y: u.Y - heading.Y}
			if n := math.Hypot(change.X, change.Y); n < 1e-9 || s > 1-1e-12 {
				into = math.Inf(1)
			} else {
				into = smaller(g.AccelMMPerS2, path.Point{X: change.X / n,
					Y: change.Y / n}) * g.CornerErrorMM * s / (1 - s)
			}
			if g.RestsAtTravel() && travelled != (mv.Kind == emit.Travel) {
				into = 0
			}
			into = math.Min(into, math.Pow(math.Min(top, legs[len(legs)-1].top), 2))
		}
		legs = append(legs, leg{l, smaller(g.AccelMMPerS2, u), top, into})
		at, heading, travelled = mv.To, u, mv.Kind == emit.Travel
	}
	legs = append(legs, leg{})
	for i := len(legs) - 2; i >= 0; i-- { // brake in time
		legs[i].into = math.Min(legs[i].into, legs[i+1].into+2*legs[i].accel*legs[i].length)
	}
	for i := 0; i+1 < len(legs); i++ {
		legs[i+1].into = math.Min(legs[i+1].into, legs[i].into+2*legs[i].accel*legs[i].length)
		sum += trapezoid(legs[i].length, legs[i].accel, math.Sqrt(legs[i].into), math.Sqrt(legs[i+1].into), legs[i].top)
	}
	return sum
}

// trapezoid is the time over a length from one speed to another.
func trapezoid(length, a, v0, v1, top float64) float64 {
	peak := math.Min(top, math.Sqrt((v0*v0+v1*v1)/2+a*length))
	ramps := (2*peak*peak - v0*v0 - v1*v1) / (2 * a)
	return (2*peak-v0-v1)/a + math.Max(0, length-ramps)/peak
}

func galvoSeconds(moves []emit.Move, g machine.Galvo) (sum float64) {
	at, heading, chain := path.Point{}, path.Point{}, false
	end := func() {
		if chain {
			sum += g.MarkDelayUS * 1e-6
		}
		chain = false
	}
	for _, mv := range moves {
		way := path.Point{X: mv.To.X - at.X, Y: mv.To.Y - at.Y}
		l := math.Hypot(way.X, way.Y)
		switch mv.Kind {
		case emit.Travel:
			end()
			delay := g.JumpDelayUS
			if l < g.ShortJumpMM {
				delay = g.ShortJumpDelayUS + (g.JumpDelayUS-g.ShortJumpDelayUS)*l/g.ShortJumpMM
			}
			sum += l/g.JumpSpeedMMPerS + delay*1e-6
		case emit.Wait:
			end()
			sum += float64(mv.WaitUS) * 1e-6
		default:
			u := path.Point{X: way.X / l, Y: way.Y / l}
			if chain {
				half := math.Acos(math.Max(-1, math.Min(1, u.X*heading.X+u.Y*heading.Y))) / 2
				if 2*half >= 15*math.Pi/180 {
					sum += g.CornerDelayUS * 1e-6 * math.Sin(half)
				}
			}
			sum += l / mv.Speed
			chain, heading = true, u
		}
		at = mv.To
	}
	end()
	return sum
}
