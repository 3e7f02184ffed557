package sequence_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
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

var efforts = []route.Effort{route.BySize, route.Quick, route.Normal, route.Best, route.None}

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

// holds checks that a sequence is never slower than plain rows, and that what is told of
// it is what the clock says.
func holds(t *testing.T, marks path.Marks, p machine.Profile, effort route.Effort, name string) {
	prog, r, err := sequence.Of(context.Background(), marks, p, sequence.Options{Effort: effort})
	require.NoError(t, err, name)
	plain := serpentine(t, marks, p)
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
		{Setting: path.Setting{SpacingMM: 0.4}, Angles: []float64{45}, Cross: 90},
		{Setting: path.Setting{SpacingMM: 0.5}},
		{Setting: path.Setting{SpacingMM: 0.6}, OneWay: true, Outline: hatch.Outline{When: hatch.After}},
		{Setting: path.Setting{SpacingMM: 0.6}, Contours: true},
	}
	if testing.Short() {
		parts = parts[1:2]
	}
	for _, name := range []string{"tag.svg", "tags.svg"} {
		art := artwork(t, name)
		for _, p := range machine.Examples() {
			for i, part := range parts {
				marks := filled(t, art, p, part)
				for _, effort := range efforts {
					if effort == route.Best && (i > 0 || !outside.Strict()) { // it looks for seconds
						continue
					}
					holds(t, marks, p, effort, fmt.Sprintf("%s on %s, fill %d, effort %d", name, p.ID, i, effort))
				}
			}
		}
	}
}

func TestRandomJobsAreNeverSlowerThanPlainRows(t *testing.T) {
	jobs := uint64(60)
	switch {
	case outside.Strict():
		jobs = 300
	case testing.Short():
		jobs = 12
	}
	for seed := range jobs {
		r := rand.New(rand.NewPCG(seed, 17))
		art := scatter(r)
		p := machine.Examples()[seed%3]
		part := hatch.Group{Setting: path.Setting{SpacingMM: 0.2 + 0.4*r.Float64()}}
		part.Angles = []float64{float64(r.IntN(12)) * 15}
		part.OneWay, part.Cross = r.IntN(6) == 0, float64(r.IntN(2)*90)
		part.Outline.When = hatch.When(r.IntN(3))
		part.Contours = r.IntN(8) == 0
		marks := filled(t, art, p, part)
		effort := efforts[seed/3%5]
		if effort == route.Best && (seed%20 != 0 || !outside.Strict()) { // it looks for seconds
			effort = route.BySize
		}
		holds(t, marks, p, effort, fmt.Sprintf("job %d", seed))
	}
}

// scatter is shapes of a few kinds thrown on a page: bars, plates with holes, rings and
// scraps.
func scatter(r *rand.Rand) path.Artwork {
	art := path.Artwork{Page: path.Rect{Max: path.Point{X: 100, Y: 100}}}
	for range 1 + r.IntN(25) {
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

// The best effort never does worse than the default one, and says by how much it does
// better.
func TestBestSaysWhatItGained(t *testing.T) {
	p := machine.Examples()[2]
	marks := filled(t, scatter(rand.New(rand.NewPCG(3, 3))), p, hatch.Group{Setting: path.Setting{SpacingMM: 1}})
	_, first, err := sequence.Of(context.Background(), marks, p, sequence.Options{})
	require.NoError(t, err)
	_, r, err := sequence.Of(context.Background(), marks, p, sequence.Options{Effort: route.Best})
	require.NoError(t, err)
	require.Equal(t, first.Time, r.Default)
	require.Equal(t, r.Default-r.Time, r.Gained())
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

// A job that is done often is worth looking longer for.
func TestQuantityPaysForLooking(t *testing.T) {
	p := machine.Examples()[2]
	part := hatch.Group{Setting: path.Setting{SpacingMM: 0.2}, Angles: []float64{30}, Cross: 90}
	marks := filled(t, artwork(t, "tag.svg"), p, part)
	time := func(quantity int) time.Duration {
		_, r, err := sequence.Of(context.Background(), marks, p, sequence.Options{Quantity: quantity})
		require.NoError(t, err)
		return r.Time
	}
	require.Less(t, time(1000), time(1))
}
