package markvec_test

import (
	"math/rand/v2"
	"strings"
	"testing"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine/byhand"
	"furrow/emit/markvec"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// What Plan makes has no such problems, whatever the strokes.
func TestPlannedListsHaveNoProblems(t *testing.T) {
	for seed := range uint64(40) {
		rng := rand.New(rand.NewPCG(seed, 9))
		p := byhand.Fibre()
		p.Galvo.RunUpUS = float64(rng.IntN(2)) * 250
		prog := path.Program{Settings: make([]path.Setting, 3)}
		for i := range prog.Settings {
			prog.Settings[i] = path.Setting{SpeedMMPerS: float64(400 * (1 + i/2)), Power: 0.1 + 0.2*float64(i),
				FrequencyHz: 50000}
		}
		place := func() path.Point { // often the same
			return path.Point{X: float64(rng.IntN(4)) * 0.00004, Y: float64(rng.IntN(3))}
		}
		for range 60 {
			s := path.Stroke{Setting: uint16(rng.IntN(3)), Sweep: int32(rng.IntN(3)),
				Kind: path.StrokeKind(rng.IntN(2))}
			pts := []path.Point{place(), place()}
			if s.Kind == path.LineStroke {
				pts = append(pts, place(), place())
			} else if pts[0] == pts[1] {
				continue
			}
			prog.Append(s, pts...)
		}
		m, err := emit.Plan(prog, p)
		require.NoError(t, err)
		got, err := markvec.Audit(strings.NewReader(encode(t, m)), &p, 9)
		require.NoError(t, err)
		require.Empty(t, got, "seed %d", seed)
	}
}

// The two lists that are made without artwork.
func TestFieldGridAndGuide(t *testing.T) {
	p := byhand.Fibre()
	m, places, err := emit.FieldGrid(p, 5, path.Setting{SpeedMMPerS: 500, Power: 0.3, FrequencyHz: 40000})
	require.NoError(t, err)
	require.NoError(t, emit.Check(m, p))
	require.Len(t, places, 25)
	require.Equal(t, path.Point{X: -86, Y: -86}, places[0])
	require.Equal(t, path.Point{X: 43, Y: 43}, places[18])
	got, err := markvec.Audit(strings.NewReader(encode(t, m)), &p, 9)
	require.NoError(t, err)
	require.Empty(t, got)
	r, err := clock.Run(m, p)
	require.NoError(t, err)
	require.Equal(t, path.Rect{Min: path.Point{X: -87.5, Y: -87.5}, Max: path.Point{X: 87.5, Y: 87.5}}, r.Marks)
	for _, n := range []int{3, 51} {
		_, _, err = emit.FieldGrid(p, n, path.Setting{SpeedMMPerS: 500})
		require.Error(t, err)
	}

	round := path.Rect{Min: path.Point{X: -10, Y: -5}, Max: path.Point{X: 10, Y: 5}}
	m, err = emit.Locate(round, round, p, 0, 0)
	require.NoError(t, err)
	list := encode(t, m)
	require.Equal(t, 4*2000, strings.Count(list, "\nG "), "60 mm at 4000 mm/s are 15 ms")
	require.Contains(t, list, "\nhold\nend 1 0 0 ")
	got, err = markvec.Audit(strings.NewReader(list), &p, 9)
	require.NoError(t, err)
	require.Empty(t, got)
	r, err = clock.Run(m, p)
	require.NoError(t, err)
	require.Equal(t, round, r.Moves)
	require.True(t, r.Marks.Empty())
	for _, degenerate := range []path.Rect{{}, {Min: path.Point{X: 1}, Max: path.Point{X: 2}}} {
		m, err = emit.Locate(degenerate, degenerate, p, 0, 0)
		require.NoError(t, err)
		got, err = markvec.Audit(strings.NewReader(encode(t, m)), &p, 9)
		require.NoError(t, err)
		require.Empty(t, got)
	}
}
