package markvec_test

import (
	"bytes"
	"hash/crc32"
	"io"
	"iter"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/emit/machine/byhand"
	"furrow/emit/markvec"
	"furrow/emit/markvec/minimal"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

func encode(t testing.TB, m emit.Moves, comments ...string) string {
	var b bytes.Buffer
	require.NoError(t, markvec.Encoder{Comments: comments}.Encode(&b, m))
	return b.String()
}

func play(t testing.TB, m emit.Moves) []emit.Move {
	var out []emit.Move
	for mv, err := range m.Play {
		require.NoError(t, err)
		out = append(out, mv)
	}
	return out
}

func records(list string) ([]markvec.Record, error) {
	r, err := markvec.NewReader(strings.NewReader(list))
	if err != nil {
		return nil, err
	}
	var out []markvec.Record
	for {
		rec, err := r.Next()
		if err == io.EOF {
			return out, nil
		}
		if err != nil {
			return nil, err
		}
		out = append(out, rec)
	}
}

// of plays moves that are given.
func of(moves []emit.Move) iter.Seq2[emit.Move, error] {
	return func(yield func(emit.Move, error) bool) {
		for _, mv := range moves {
			if !yield(mv, nil) {
				return
			}
		}
	}
}

// random returns moves of every kind, planned by nobody.
func random(t testing.TB, seed uint64, n int) emit.Moves {
	rng := rand.New(rand.NewPCG(seed, 1))
	settings := []path.Setting{
		{SpeedMMPerS: 800, Power: 0.5, FrequencyHz: 50000},
		{SpeedMMPerS: 800, Power: 0.25, FrequencyHz: 50000},
		{SpeedMMPerS: 333, Power: 1, FrequencyHz: 30000},
		{SpeedMMPerS: 7000, Power: 0},
	}
	used := path.Program{Settings: settings}
	for i := range settings {
		used.Append(path.Stroke{Setting: uint16(i)}, path.Point{}, path.Point{X: 1})
	}
	m, err := emit.Plan(used, byhand.Fibre())
	require.NoError(t, err)
	at, set := path.Point{}, uint16(0)
	moves := []emit.Move{{Kind: emit.Travel}}
	for range n {
		k := emit.Kind(rng.IntN(7))
		if rng.IntN(4) > 0 {
			k = emit.Mark
		}
		if rng.IntN(8) == 0 {
			set = uint16(rng.IntN(4))
		}
		s := m.Settings[set]
		mv := emit.Move{Kind: k, Setting: set}
		if k == emit.Mark || k == emit.Gap {
			mv.Speed = s.SpeedMMPerS
		}
		if k == emit.Mark || k == emit.Dot {
			mv.Power = s.Power
		}
		if k == emit.Dot || k == emit.Wait {
			mv.WaitUS = int64(rng.IntN(2000))
		}
		if k <= emit.Gap || k == emit.Guide {
			at = path.Point{X: float64(rng.IntN(1750001)-875000) / 10000, Y: float64(rng.IntN(1750001)-875000) / 10000}
		}
		mv.To = at
		moves = append(moves, mv)
	}
	m.Play = of(moves)
	return m
}

// The published check value of the IEEE 802.3 CRC-32 (Williams, "A painless
// guide to CRC error detection algorithms", 1993).
func TestCRCCheckValue(t *testing.T) {
	require.Equal(t, uint32(0xcbf43926), crc32.ChecksumIEEE([]byte("123456789")))
}

func TestWriteReadWrite(t *testing.T) {
	for seed := range uint64(20) {
		m := random(t, seed, 300)
		list := encode(t, m, "a plate", "caf\u00e9")
		back, err := markvec.Read(strings.NewReader(list))
		require.NoError(t, err, "seed %d", seed)
		require.Equal(t, m.Header, back.Header)
		require.Equal(t, m.Scanner, back.Scanner)
		require.Equal(t, list, encode(t, back, "a plate", "caf_"), "seed %d", seed)
		want, err := clock.Run(m, byhand.Fibre())
		require.NoError(t, err)
		got, err := clock.Run(back, machine.Profile{})
		require.NoError(t, err)
		require.Equal(t, want, got, "seed %d", seed)
	}
}

func TestIndependentReaderAgrees(t *testing.T) {
	for seed := range uint64(50) {
		m := random(t, seed, 400)
		p, err := minimal.Play(encode(t, m))
		require.NoError(t, err, "seed %d", seed)
		r, err := clock.Run(m, byhand.Fibre())
		require.NoError(t, err)
		require.Equal(t, r.Total().Nanoseconds(), p.Nanoseconds, "seed %d", seed)
		require.Equal(t, r.MarkMoves, p.Marks)
		require.Equal(t, r.Jumps, p.Jumps)
		require.InDelta(t, r.MarkMM, p.MarkMM, 1e-9*r.MarkMM)
	}
}

// A use that closes a chain closes it even when a second one goes back.
func TestUseThereAndBackClosesTheChain(t *testing.T) {
	set1 := strings.Replace(strings.Replace(set0, "setting 0", "setting 1", 1), "speed 800", "speed 400", 1)
	list := sealed(head + set0 + set1 + "use 0\nJ 0 0\nM 80000 0\nuse 1\nuse 0\nM 0 0\n")
	m, err := markvec.Read(strings.NewReader(list))
	require.NoError(t, err)
	r, err := clock.Run(m, machine.Profile{})
	require.NoError(t, err)
	p, err := minimal.Play(list)
	require.NoError(t, err)
	require.Equal(t, p.Nanoseconds, r.Total().Nanoseconds())
	require.Zero(t, r.CornerDelay)
	require.Equal(t, int64(200000), r.MarkDelay.Nanoseconds())
}

// So many moves lie within the first lines as these have records, told by their letters; a
// wait of no length that keeps chains apart comes with the record behind it.
func TestMovesWithinLines(t *testing.T) {
	set1 := strings.Replace(strings.Replace(set0, "setting 0", "setting 1", 1), "speed 800", "speed 400", 1)
	apart := sealed(head + set0 + set1 + "use 0\nJ 0 0\nM 80000 0\nuse 1\nuse 0\nM 0 0\n")
	for _, list := range []string{apart, encode(t, random(t, 1, 300), "a plate")} {
		r := strings.NewReader(list)
		m, err := markvec.Read(r)
		require.NoError(t, err)
		moves, want := play(t, m), 0
		var every, counts []int
		for i, line := range strings.Split(strings.TrimSuffix(list, "\n"), "\n") {
			if line == "hold" || len(line) > 1 && line[1] == ' ' && line[0] != '#' {
				want++
			}
			n, err := markvec.MovesWithin(r, m, i+1)
			require.NoError(t, err)
			require.Len(t, n, 1)
			every, counts = append(every, i+1, i+1), append(counts, n[0], n[0])
			drawn := slices.DeleteFunc(slices.Clone(moves[:n[0]]), func(mv emit.Move) bool {
				return mv.Kind == emit.Wait && mv.WaitUS == 0
			})
			require.Len(t, drawn, want, "line %d: %s", i+1, line)
		}
		n, err := markvec.MovesWithin(r, m, append(every, 1_000_000)...)
		require.NoError(t, err)
		require.Equal(t, append(counts, len(moves)), n)
	}
}

func TestNothingIsAListToo(t *testing.T) {
	m, err := emit.Plan(path.Program{}, byhand.Fibre())
	require.NoError(t, err)
	back, err := markvec.Read(strings.NewReader(encode(t, m)))
	require.NoError(t, err)
	require.Empty(t, play(t, back))
	require.Equal(t, m.Header, back.Header)
}

// The strokes of a list are those that were planned.
func TestProgramComesBack(t *testing.T) {
	want := path.Program{Settings: []path.Setting{{SpeedMMPerS: 800, Power: 0.5, FrequencyHz: 50000}}}
	want.Append(path.Stroke{Kind: path.LineStroke, Power: 0.5}, path.Point{X: 1}, path.Point{X: 2},
		path.Point{X: 2, Y: 2.5})
	want.Append(path.Stroke{Kind: path.LineStroke, Power: 0.5}, path.Point{X: -1}, path.Point{X: -2.0001})
	m, err := emit.Plan(want, byhand.Fibre())
	require.NoError(t, err)
	back, err := markvec.Read(strings.NewReader(encode(t, m)))
	require.NoError(t, err)
	got, err := back.Program()
	require.NoError(t, err)
	require.True(t, slices.Equal(want.Points, got.Points), "%v", got.Points)
	require.Equal(t, want.Strokes, got.Strokes)
}

// FuzzReader feeds bytes, with a right end record put behind them as well, so
// that more than the CRC is tried.
func FuzzReader(f *testing.F) {
	f.Add([]byte(encode(f, random(f, 3, 30), "a plate")))
	f.Add([]byte(head + set0 + "use 0\nJ 1 2\nM 3 4\nD -5 0\nP 10\nG 0 0\nW 5\nhold\n# text\n"))
	f.Add([]byte(sealed(head + set0)))
	for _, b := range broken {
		f.Add([]byte(strings.Replace(right, b.old, b.new, 1)))
	}
	p := byhand.Fibre()
	f.Fuzz(func(t *testing.T, b []byte) {
		for _, list := range []string{string(b), sealed(string(b))} {
			m, err := markvec.Read(strings.NewReader(list))
			if err != nil {
				continue
			}
			cut := strings.LastIndex(list, "\nend ") + 1
			require.True(t, strings.HasSuffix(list, hex8(crc32.ChecksumIEEE([]byte(list[:cut])))+"\n"))
			r, err := clock.Run(m, machine.Profile{})
			require.NoError(t, err)
			if len(audit(list, nil)) == 0 || len(audit(list, &p)) == 0 {
				neverLit(t, list)
			}
			again := encode(t, m)
			m2, err := markvec.Read(strings.NewReader(again))
			require.NoError(t, err)
			r2, err := clock.Run(m2, machine.Profile{})
			require.NoError(t, err)
			require.Equal(t, r, r2)
		}
	})
}
