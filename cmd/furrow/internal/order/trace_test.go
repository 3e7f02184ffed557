package order_test

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"testing"

	"furrow/cmd/furrow/internal/job"
	"furrow/emit"
	"furrow/emit/gcode"
	"furrow/emit/markvec"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// A trace goes round each blank with the beam off: 80 mm, and the digits' way.
func TestTraceOfAFixture(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	in := input(t, "example-fibre", 4, nil)
	in.Trace = true
	o, _ := made(t, in, dir)
	data, err := os.ReadFile(filepath.Join(dir, "locate-fixture.mvl"))
	require.NoError(t, err)
	m, err := markvec.Read(bytes.NewReader(data))
	require.NoError(t, err)
	reach, digits := path.EmptyRect(), map[int]path.Rect{}
	for mv, err := range m.All() {
		require.NoError(t, err)
		require.Zero(t, mv.Power)
		reach = reach.Include(mv.To)
		for _, p := range o.Pockets {
			if room := p.Room(o.Blank).Grow(-1); room.Include(mv.To) == room {
				b, had := digits[p.Number]
				if !had {
					b = path.EmptyRect()
				}
				digits[p.Number] = b.Include(mv.To)
			}
		}
	}
	require.InDelta(t, -22.5, reach.Min.X, 1e-4)
	require.InDelta(t, 22.5, reach.Max.Y, 1e-4)
	for _, p := range o.Pockets { // its number in the middle, letters of a fifth of the blank
		require.InDelta(t, 0, digits[p.Number].Centre().Dist(p.At.Add(path.Point{X: 10, Y: 10})), 0.001, "pocket %d",
			p.Number)
		require.InDelta(t, 20/5*0.66, digits[p.Number].H(), 0.05)
	}
	require.Contains(t, string(data), "beam off throughout")
}

// Of round blanks the trace goes round their circles, and never into the corners of their
// squares: a pocket of 20 mm is 62.8 mm round, in chords that sag by 10 µm at most, and nothing
// of it is further than 10 mm from its middle. Its reach is that of the squares.
func TestTraceOfRoundBlanks(t *testing.T) {
	for _, machine := range []string{"example-fibre", "example-co2"} {
		dir := filepath.Join(t.TempDir(), "out")
		round := job.ShapeRound
		in := input(t, machine, 4, func(j *job.Job) { j.Blank.Shape = &round })
		in.Trace = true
		o, _ := made(t, in, dir)
		files, err := filepath.Glob(filepath.Join(dir, "locate-fixture.*"))
		require.NoError(t, err)
		require.Len(t, files, 1)
		data, err := os.ReadFile(files[0])
		require.NoError(t, err)
		var m emit.Moves
		if o.Machine.IsGalvo() {
			m, err = markvec.Read(bytes.NewReader(data))
		} else {
			m, err = gcode.Read(bytes.NewReader(data), o.Machine.Controller())
		}
		require.NoError(t, err)
		reach, all, chords := path.EmptyRect(), path.EmptyRect(), 0
		last := path.Point{}
		for mv, err := range m.All() {
			require.NoError(t, err)
			for _, p := range o.Pockets {
				c := p.At.Add(path.Point{X: 10, Y: 10})
				if math.Abs(c.Dist(mv.To)-10) > 0.002 {
					continue
				}
				reach = reach.Include(mv.To)
				if math.Abs(c.Dist(last)-10) < 0.002 {
					chords++
					require.InDelta(t, 10, c.Dist(mv.To.Lerp(last, 0.5)), 0.011)
				}
			}
			last = mv.To
		}
		for _, p := range o.Pockets {
			all = all.Union(p.Room(o.Blank))
		}
		require.GreaterOrEqual(t, chords, 4*70) // 62.8 mm of chords of 0.894 mm, which sag by 10 um
		require.InDelta(t, 0, reach.Min.Dist(all.Min)+reach.Max.Dist(all.Max), 0.002)
	}
}
