package sequence_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"sync/atomic"
	"testing"
	"time"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/emit/sequence"
	"furrow/path"
	"furrow/path/hatch"
	"furrow/path/outside"
	"furrow/path/route"
	"furrow/path/svg"

	"github.com/stretchr/testify/require"
)

// efforts that differ: of so few strokes, the default is the normal one.
var efforts = []route.Effort{route.BySize, route.Quick, route.Best, route.None}

// artwork returns the demo's drawing.
func artwork(t testing.TB, name string) path.Artwork {
	f, err := os.Open("../../cmd/furrow/demo/" + name)
	require.NoError(t, err)
	defer f.Close()
	doc, err := svg.Read(f, svg.Options{})
	require.NoError(t, err)
	return doc.Artwork
}

// filled returns artwork filled for a machine, at a tenth of its greatest speed or so.
func filled(t testing.TB, art path.Artwork, p machine.Profile, part hatch.Group) path.Marks {
	part.Setting.Power = 0.4
	if part.Setting.SpeedMMPerS = 100; p.IsGalvo() {
		part.Setting.SpeedMMPerS = 1500
	}
	part.Setting = p.Rounded(part.Setting)
	part.Outline.Setting = part.Setting
	marks, _, err := hatch.Fill(art, hatch.Settings{Groups: []hatch.Group{part}})
	require.NoError(t, err)
	return marks
}

// serpentine returns the time of rows as they come, there and back: a plan of its own,
// which the package under test has no part in.
func serpentine(t testing.TB, m path.Marks, p machine.Profile) time.Duration {
	opt := route.Options{Effort: route.None, Start: &path.Point{}}
	prog, _, err := route.Sequence(context.Background(), m, clock.Cost(p, m.Settings), opt)
	require.NoError(t, err)
	return timeOf(t, prog, p)
}

func timeOf(t testing.TB, prog path.Program, p machine.Profile) time.Duration {
	moves, err := emit.Plan(prog, p)
	require.NoError(t, err)
	r, err := clock.Run(moves, p)
	require.NoError(t, err)
	return r.Total()
}

// hasty is a context that ends once it has been asked so many times.
type hasty struct {
	context.Context
	most  int64
	asked atomic.Int64
}

func (h *hasty) Err() error {
	if h.asked.Add(1) > h.most {
		return context.Canceled
	}
	return nil
}

// bestAsks is how often the best effort, which else looks for seconds, may ask whether to
// go on: a cut search has to hold as well.
const bestAsks = 10

// holds checks that a sequence is never slower than plain rows, and that what is told of
// it is what the clock says.
func holds(t *testing.T, marks path.Marks, p machine.Profile, effort route.Effort, plain time.Duration, name string) {
	ctx := context.Background()
	if effort == route.Best {
		ctx = &hasty{Context: ctx, most: bestAsks}
	}
	prog, r, err := sequence.Of(ctx, marks, p, sequence.Options{Effort: effort})
	require.NoError(t, err, name)
	require.Equal(t, timeOf(t, prog, p), r.Time, name)
	require.Equal(t, plain, r.Plain, name)
	require.LessOrEqual(t, r.Time, plain, name)
	require.Equal(t, plain-r.Time, r.Saved(), name)
	if effort == route.Best {
		require.LessOrEqual(t, r.Time, r.Default, name)
	} else {
		require.Zero(t, r.Default, name)
	}
}

func TestDemoIsNeverSlowerThanPlainRows(t *testing.T) {
	parts := []hatch.Group{
		{Setting: path.Setting{SpacingMM: 0.8}, Angles: []float64{45}, Cross: 90},
		{Setting: path.Setting{SpacingMM: 1}},
		{Setting: path.Setting{SpacingMM: 1.2}, OneWay: true, Outline: hatch.Outline{When: hatch.After}},
		{Setting: path.Setting{SpacingMM: 1.2}, Contours: true},
	}
	if testing.Short() {
		parts = parts[1:2]
	}
	for _, name := range []string{"tag.svg", "tags.svg"} {
		art := artwork(t, name)
		for _, p := range machine.Examples() {
			for i, part := range parts {
				marks := filled(t, art, p, part)
				plain := serpentine(t, marks, p)
				for _, effort := range efforts {
					if effort == route.Best && !outside.Strict() {
						continue
					}
					holds(t, marks, p, effort, plain, fmt.Sprintf("%s on %s, fill %d, effort %d", name,
						p.ID, i, effort))
				}
			}
		}
	}
}

// Of random jobs, each is done on one machine with one effort in turn; where all is
// tested, 300 on each machine with each effort, but on one in turn with the best.
func TestRandomJobsAreNeverSlowerThanPlainRows(t *testing.T) {
	jobs := uint64(60)
	switch {
	case outside.Strict():
		jobs = 300
	case testing.Short():
		jobs = 12
	}
	for seed := range jobs {
		art, part := randomJob(seed)
		for i, p := range machine.Examples() {
			if !outside.Strict() && seed%3 != uint64(i) {
				continue
			}
			marks := filled(t, art, p, part)
			plain := serpentine(t, marks, p)
			for k, effort := range efforts {
				all := outside.Strict() && (effort != route.Best || seed%3 == uint64(i))
				if all || seed/3%4 == uint64(k) {
					holds(t, marks, p, effort, plain, fmt.Sprintf("job %d on %s, effort %d", seed, p.ID, effort))
				}
			}
		}
	}
}

// randomJob is shapes thrown on a page, every tenth time many, and how they are filled.
func randomJob(seed uint64) (path.Artwork, hatch.Group) {
	r := rand.New(rand.NewPCG(seed, 17))
	most := 5
	if seed%10 == 0 {
		most = 25
	}
	art := scatter(r, most)
	part := hatch.Group{Setting: path.Setting{SpacingMM: 0.5 + 1.5*r.Float64()}}
	part.Angles = []float64{float64(r.IntN(12)) * 15}
	part.OneWay, part.Cross = r.IntN(6) == 0, float64(r.IntN(2)*90)
	part.Outline.When = hatch.When(r.IntN(3))
	part.Contours = r.IntN(8) == 0
	return art, part
}

// scatter is up to so many shapes of a few kinds thrown on a page: bars, plates with holes,
// rings and scraps.
func scatter(r *rand.Rand, most int) path.Artwork {
	art := path.Artwork{Page: path.Rect{Max: path.Point{X: 100, Y: 100}}}
	for range 1 + r.IntN(most) {
		at := path.Point{X: 80 * r.Float64(), Y: 80 * r.Float64()}
		w, h := 0.5+20*r.Float64()*r.Float64(), 0.5+20*r.Float64()*r.Float64()
		shape := path.Shape{Paint: path.Paint{Opacity: 1}}
		shape.Path = ring(at, w, h, 3+r.IntN(30))
		art.Shapes = append(art.Shapes, shape)
	}
	return art
}

// ring is a regular polygon in an ellipse.
func ring(at path.Point, w, h float64, corners int) path.Path {
	var p path.Path
	for i := range corners {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(corners))
		pt := at.Add(path.Point{X: w * (1 + cos) / 2, Y: h * (1 + sin) / 2})
		if i == 0 {
			p.MoveTo(pt)
		} else {
			p.LineTo(pt)
		}
	}
	p.Close()
	return p
}

// What the machine refuses ends it before anything is looked for; but a clamp in the way
// of plain rows may not be in the way of others.
func TestRefusedBeforeTheSearch(t *testing.T) {
	p := machine.Examples()[0]
	marks := filled(t, artwork(t, "tag.svg"), p, hatch.Group{Setting: path.Setting{SpacingMM: 1}})
	looked := false
	opt := sequence.Options{Effort: route.Normal, Progress: func(int, int) { looked = true }}
	both := errors.Join(&emit.BedError{}, &emit.KeepOutError{})
	for _, refused := range []error{&emit.BedError{}, &emit.SpeedError{}, both} {
		opt.Check = func(path.Program) error { return refused }
		_, _, err := sequence.Of(context.Background(), marks, p, opt)
		require.ErrorIs(t, err, refused)
		require.False(t, looked)
	}
	opt.Check = func(path.Program) error { return &emit.KeepOutError{} }
	prog, r, err := sequence.Of(context.Background(), marks, p, opt)
	require.NoError(t, err)
	require.Zero(t, r.Plain)
	require.NotEmpty(t, prog.Strokes)
	require.True(t, looked)
}

// At quantity 1 no more than the hundredth part of the time of the shop's jobs is given away,
// against a search that may take a hundred times as long, with a limit of the jerk or without.
func TestDefaultGivesAwayAHundredthAtMost(t *testing.T) {
	outside.Slow(t)
	jerky := machine.Examples()[0]
	g := *jerky.Gantry
	g.JerkMMPerS3 = [2]float64{60_000, 30_000}
	jerky.Gantry = &g
	cross := hatch.Group{Setting: path.Setting{SpacingMM: 0.3}, Angles: []float64{45}, Cross: 90}
	rings := hatch.Group{Setting: path.Setting{SpacingMM: 1}, Contours: true}
	for _, p := range append(machine.Examples(), jerky) {
		for _, part := range []hatch.Group{cross, rings} {
			marks := filled(t, artwork(t, "tags.svg"), p, part)
			once, often := timeWhere(t, marks, p, 1), timeWhere(t, marks, p, 100)
			t.Logf("%s: %.2f s once, %.2f s where looking costs next to nothing", p.ID, once.Seconds(), often.Seconds())
			require.LessOrEqual(t, once.Seconds(), 1.01*often.Seconds(), p.ID)
		}
	}
}

// timeWhere returns the time of what is found for a job that is done so often.
func timeWhere(t *testing.T, marks path.Marks, p machine.Profile, quantity int) time.Duration {
	_, r, err := sequence.Of(context.Background(), marks, p, sequence.Options{Quantity: quantity})
	require.NoError(t, err)
	return r.Time
}

// A job that is done often is worth looking longer for.
func TestQuantityPaysForLooking(t *testing.T) {
	p := machine.Examples()[2]
	part := hatch.Group{Setting: path.Setting{SpacingMM: 0.2}, Angles: []float64{30}, Cross: 90}
	marks := filled(t, artwork(t, "tag.svg"), p, part)
	require.Less(t, timeWhere(t, marks, p, 1000), timeWhere(t, marks, p, 1))
}
