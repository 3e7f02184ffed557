package clock_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/hatch"
	"furrow/path/outside"
	"furrow/path/route"
	"furrow/path/svg"

	"github.com/stretchr/testify/require"
)

// The simulation moves a point along the path in small steps of time. At each
// step it speeds up if it can still brake for every corner ahead, else keeps
// its speed if it can, else brakes. It shares no code with the clock.

// piece is a straight part of the simulated path.
type piece struct{ length, speed, accel, jerk, corner float64 } // corner: squared speed into it

func pieces(t *testing.T, m emit.Moves, g machine.Gantry) []piece {
	t.Helper()
	axes := func(limit [2]float64, a float64) float64 {
		sin, cos := math.Abs(math.Sin(a)), math.Abs(math.Cos(a))
		switch {
		case sin*limit[0] < cos*limit[1]: // X is the first to reach its limit
			return limit[0] / cos
		default:
			return limit[1] / sin
		}
	}
	var out []piece
	at, before, travelled := path.Point{}, math.NaN(), false
	for mv, err := range m.All() {
		require.NoError(t, err)
		require.Equal(t, emit.Straight, mv.Turn)
		heading := math.Atan2(mv.To.Y-at.Y, mv.To.X-at.X)
		p := piece{length: math.Hypot(mv.To.X-at.X, mv.To.Y-at.Y), accel: axes(g.AccelMMPerS2, heading), jerk: axes(g.JerkMMPerS3, heading)}
		p.speed = min(axes(g.MaxSpeedMMPerS, heading), g.RapidMMPerS)
		if mv.Kind != emit.Travel {
			p.speed = min(axes(g.MaxSpeedMMPerS, heading), mv.Speed)
		}
		turn := math.Abs(math.Remainder(heading-before, 2*math.Pi))
		s := math.Cos(turn / 2) // the sine of half the angle between the reversed way in and the way out
		switch bisector := (heading+before)/2 + math.Pi/2; {
		case turn < 1e-6:
			p.corner = math.Inf(1)
		case len(out) > 0 && (travelled == (mv.Kind == emit.Travel) || turn < 0.00447): // else from rest
			p.corner = axes(g.AccelMMPerS2, bisector) * g.CornerErrorMM * s / (1 - s)
		}
		out = append(out, p)
		at, before, travelled = mv.To, heading, mv.Kind == emit.Travel
	}
	return append(out, piece{}) // rest at the end
}

// simulate returns the seconds that pieces take in steps of dt.
func simulate(ps []piece, dt float64) float64 {
	i, x, v, t := 0, 0.0, 0.0, 0.0
	// safe reports that at x of piece i and speed v every corner ahead can be met.
	safe := func(i int, x, v float64) bool {
		if v > ps[i].speed {
			return false
		}
		reach := 2 * ps[i].accel * (ps[i].length - x)
		for k := i + 1; k < len(ps); k++ {
			limit := min(ps[k].corner, ps[k].speed*ps[k].speed)
			if v*v > limit+reach {
				return false
			}
			if reach >= v*v {
				return true
			}
			reach += 2 * ps[k].accel * ps[k].length
		}
		return true
	}
	for i < len(ps)-1 {
		a := ps[i].accel
		next := v
		for _, dv := range [...]float64{a * dt, 0, -a * dt} {
			next = max(v+dv, a*dt/8)
			if j, y := i, x+(v+next)/2*dt; safe(j, min(y, ps[j].length), next) {
				break
			}
		}
		x += (v + next) / 2 * dt
		v = next
		t += dt
		for i < len(ps)-1 && x >= ps[i].length {
			x -= ps[i].length
			i++
		}
	}
	return t
}

func agree(t *testing.T, m emit.Moves, p machine.Profile, name string) {
	t.Helper()
	r := run(t, m, p)
	want := simulate(pieces(t, m, *p.Gantry), 2e-5)
	require.InEpsilon(t, want, r.Total().Seconds(), 0.005, name)
}

// freeLink is an example machine whose link limits nothing.
func freeLink() machine.Profile {
	p := machine.Examples()[0]
	p.GCode = &machine.GCode{PowerWordMax: 1000, PowerMode: machine.PowerSteady}
	return p
}

func TestSimulationAgreesOnRandomPolylines(t *testing.T) {
	for seed := range uint64(20) {
		m, err := emit.Plan(randomPolylines(seed), freeLink())
		require.NoError(t, err)
		agree(t, m, freeLink(), fmt.Sprintf("seed %d", seed))
	}
}

// randomPolylines is four outlines with corners and bends of all sizes.
func randomPolylines(seed uint64) path.Program {
	r := rand.New(rand.NewPCG(seed, 9))
	prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 20 + 200*r.Float64(), Power: 0.5}}}
	for range 4 {
		at, heading := path.Point{X: 50 * r.Float64(), Y: 50 * r.Float64()}, 7*r.Float64()
		pts := []path.Point{at}
		for range 40 {
			heading += 3 * r.Float64() * r.Float64() * r.Float64()
			sin, cos := math.Sincos(heading)
			at = at.Add(path.Point{X: cos, Y: sin}.Mul(0.05 + 4*r.Float64()*r.Float64()))
			pts = append(pts, at)
		}
		prog.Append(path.Stroke{Kind: path.LineStroke}, pts...)
	}
	return prog
}

// artworkMoves hatches, outlines, sequences and plans artwork of a width, mm.
func artworkMoves(t *testing.T, file string, p machine.Profile, width, spacing float64) emit.Moves {
	t.Helper()
	f, err := os.Open(file)
	require.NoError(t, err)
	defer f.Close()
	doc, err := svg.Read(f, svg.Options{})
	require.NoError(t, err, file)
	scale := width / doc.Artwork.Page.W()
	art := doc.Artwork.Transform(path.Scale(scale, scale))
	set := path.Setting{SpeedMMPerS: 100, Power: 0.3, SpacingMM: spacing}
	edge := set
	edge.SpacingMM, edge.SpeedMMPerS = 0, 40
	marks, _, err := hatch.Fill(art, hatch.Settings{
		Parts:     []hatch.Part{{Setting: set, Angles: []float64{30}, Outline: hatch.Outline{When: hatch.After, Setting: edge}}},
		Tolerance: 0.01,
	})
	require.NoError(t, err, file)
	prog, _, err := route.Sequence(t.Context(), marks, clock.Cost(p, marks.Settings), route.Options{Effort: route.Quick})
	require.NoError(t, err, file)
	m, err := emit.Plan(prog, p)
	require.NoError(t, err, file)
	return m
}

func TestSimulationAgreesOnTheDemo(t *testing.T) {
	agree(t, artworkMoves(t, "../../cmd/furrow/demo/tag.svg", freeLink(), 60, 0.3), freeLink(), "demo")
}

func TestSimulationAgreesOnIcons(t *testing.T) {
	for _, file := range icons(t, 200) {
		agree(t, artworkMoves(t, file, freeLink(), 20, 4), freeLink(), filepath.Base(file))
	}
}

// icons returns n files of the npm package bootstrap-icons, from the folder
// FURROW_DATA.
func icons(t *testing.T, n int) []string {
	t.Helper()
	all := outside.Files(t, "bootstrap-icons/icons/*.svg", n)
	files := make([]string, n)
	for i := range files {
		files[i] = all[i*len(all)/n]
	}
	return files
}
