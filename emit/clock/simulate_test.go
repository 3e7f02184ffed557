package clock_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
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
type piece struct {
	length, speed, accel, jerk float64
	corner                     float64 // squared speed into it
	kind                       emit.Kind
	asked                      float64 // speed
}

func pieces(t *testing.T, m emit.Moves, p machine.Profile) []piece {
	t.Helper()
	g, c := p.Gantry, p.Controller()
	along := func(limit [2]float64, a float64) float64 {
		sin, cos := math.Abs(math.Sin(a)), math.Abs(math.Cos(a))
		switch {
		case sin*limit[0] < cos*limit[1]: // X is the first to reach its limit
			return limit[0] / cos
		default:
			return limit[1] / sin
		}
	}
	axes := func(limit [2]float64, a float64) float64 {
		if g.AccelAlongPath {
			return min(limit[0], limit[1])
		}
		return along(limit, a)
	}
	var out []piece
	at, before, travelled, power := path.Point{}, math.NaN(), false, 0.0
	for mv, err := range m.All() {
		require.NoError(t, err)
		require.Equal(t, emit.Straight, mv.Turn)
		heading := math.Atan2(mv.To.Y-at.Y, mv.To.X-at.X)
		p := piece{length: math.Hypot(mv.To.X-at.X, mv.To.Y-at.Y), accel: axes(g.AccelMMPerS2, heading),
			jerk: axes(g.JerkMMPerS3, heading)}
		p.speed, p.kind, p.asked = min(along(g.MaxSpeedMMPerS, heading), g.RapidMMPerS), mv.Kind, mv.Speed
		if mv.Kind != emit.Travel {
			p.speed = min(along(g.MaxSpeedMMPerS, heading), mv.Speed)
		}
		if c.ShortestMoveMS > 0 {
			p.speed = min(p.speed, 1000*p.length/c.ShortestMoveMS)
		}
		turn := math.Abs(math.Remainder(heading-before, 2*math.Pi))
		s := math.Cos(turn / 2) // the sine of half the angle between the reversed way in and the way out
		switch bisector := (heading+before)/2 + math.Pi/2; {
		case len(out) == 0, c.PowerChange == machine.PowerStops && mv.Power != power: // from rest
		case g.TravelJunction == machine.JunctionRest && travelled != (mv.Kind == emit.Travel): // from rest
		case turn < 1e-6:
			p.corner = math.Inf(1)
		default:
			p.corner = axes(g.AccelMMPerS2, bisector) * g.CornerErrorMM * s / (1 - s)
		}
		out = append(out, p)
		at, before, travelled, power = mv.To, heading, mv.Kind == emit.Travel, mv.Power
	}
	return append(out, piece{}) // rest at the end
}

// simulate returns the seconds that pieces take in steps of dt.
func simulate(ps []piece, dt float64) float64 { return replay(ps, dt, func(*piece, float64) {}) }

// replay is simulate that also calls visit with the speed at each step.
func replay(ps []piece, dt float64, visit func(*piece, float64)) float64 {
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
		visit(&ps[i], min(v, next))
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
	want := simulate(pieces(t, m, p), 2e-5)
	require.InEpsilon(t, want, r.Total().Seconds(), 0.005, name)
}

// freeLink is an example machine whose link limits nothing.
func freeLink() machine.Profile {
	p := machine.Examples()[0]
	p.GCode = &machine.GCode{PowerWordMax: 1000, PowerMode: machine.PowerSteady}
	return p
}

// controllers are the ways in which controllers differ, by name.
func controllers() map[string]machine.Profile {
	change := func(how func(*machine.Gantry, *machine.GCode)) machine.Profile {
		p := freeLink()
		g := *p.Gantry
		how(&g, p.GCode)
		p.Gantry = &g
		return p
	}
	return map[string]machine.Profile{
		"corner": freeLink(),
		"rest":   change(func(g *machine.Gantry, _ *machine.GCode) { g.TravelJunction = machine.JunctionRest }),
		"stops":  change(func(_ *machine.Gantry, c *machine.GCode) { c.PowerChange = machine.PowerStops }),
		"cycle":  change(func(_ *machine.Gantry, c *machine.GCode) { c.ShortestMoveMS = 8 }),
		"path": change(func(g *machine.Gantry, _ *machine.GCode) {
			g.AccelMMPerS2, g.AccelAlongPath = [2]float64{2000, 2000}, true
		}),
		"latency": change(func(g *machine.Gantry, _ *machine.GCode) {
			g.BeamOnLatencyUS, g.BeamOffLatencyUS = 900, 400
		}),
	}
}

func TestSimulationAgreesOnRandomPolylines(t *testing.T) {
	for name, p := range controllers() {
		for seed := range uint64(10) {
			m, err := emit.Plan(randomPolylines(seed), p)
			require.NoError(t, err)
			agree(t, m, p, fmt.Sprintf("%s, seed %d", name, seed))
		}
	}
}

// Rows of every kind: the clock agrees, and each span is marked at full speed where the
// controller lets it be.
func TestSimulationOfRows(t *testing.T) {
	for name, p := range controllers() {
		for seed := range uint64(10) {
			m, err := emit.Plan(randomRows(seed), p)
			require.NoError(t, err)
			ps := pieces(t, emit.AsMarked(m, p), p) // spans where the beam truly is
			slowest := 1.0
			took := replay(ps, 2e-5, func(p *piece, v float64) {
				if p.kind == emit.Mark {
					slowest = min(slowest, v/p.asked)
				}
			})
			require.InEpsilon(t, took, run(t, m, p).Total().Seconds(), 0.005, "%s, seed %d", name, seed)
			if name != "stops" && name != "cycle" {
				require.Greater(t, slowest, 0.995, "%s, seed %d", name, seed)
			}
		}
	}
}

// randomRows is a fill of ragged rows, at any angle, with gaps short and long.
func randomRows(seed uint64) path.Program {
	r := rand.New(rand.NewPCG(seed, 31))
	prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 20 + 180*r.Float64(), Power: 0.5}}}
	turn := path.Rotate([]float64{0, 90, 30, 45, 360 * r.Float64()}[seed%5])
	spacing := 0.02 + r.Float64()*r.Float64()
	for k := range 12 {
		x, y := 5*r.Float64()*r.Float64(), float64(k)*spacing
		var pts []path.Point
		for range 1 + r.IntN(4) {
			end := x + 0.05 + 10*r.Float64()*r.Float64()
			pts = append(pts, turn.Apply(path.Point{X: x, Y: y}), turn.Apply(path.Point{X: end, Y: y}))
			x = end + 0.3 + 40*r.Float64()*r.Float64()*r.Float64()
		}
		if k%2 == 1 {
			slices.Reverse(pts)
		}
		for i := 0; i < len(pts); i += 2 {
			prog.Append(path.Stroke{Sweep: int32(k + 1)}, pts[i], pts[i+1])
		}
	}
	return prog
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
		Groups: []hatch.Group{{Setting: set, Angles: []float64{30},
			Outline: hatch.Outline{When: hatch.After, Setting: edge}}},
		Tolerance: 0.01,
	})
	require.NoError(t, err, file)
	prog, _, err := route.Sequence(t.Context(), marks, clock.Cost(p, marks.Settings),
		route.Options{Effort: route.Quick})
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
