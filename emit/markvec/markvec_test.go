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

const head = "markvec 1\nfield 1750000 1750000\ncorrected 0\n"
const set0 = "setting 0 speed 800 jumpspeed 4000 power 5000 frequency 50000 pulse 100 on 100 off 120 jump 250 " +
	"jumpmin 60 jumpfull 20000 mark 100 corner 40\n"

// sealed appends a right end record.
func sealed(body string) string {
	r := crc32.ChecksumIEEE([]byte(body))
	count := func(op string) int { return strings.Count(body, "\n"+op+" ") }
	return body + strings.TrimSpace(strings.Join([]string{"end", itoa(count("J")), itoa(count("M")), itoa(count("D")),
		hex8(r)}, " ")) + "\n"
}

// refused lists bodies and what the reader says of each; "" is accepted.
var refused = []struct{ body, err string }{
	{head, ""},
	{head + set0 + "use 0\nJ 1 2\nM 3 4\nD -5 0\nP 10\nG 0 0\nW 5\nhold\n# text\n#\n", ""},
	{head + "hold\nW 3\n" + set0, ""},
	{head + set0 + "use 0\nG 0 0\nM 5 5\n", ""},
	{head + set0 + "use 0\nJ 875000 -875000\n", ""},
	{"markvec 2\n", "line 1: not a mark-vector list: the first line is not \"markvec 1\""},
	{"", "line 1: "},
	{"markvec 1\nfield 0 5\n", "line 2: want \"field W H\""},
	{"markvec 1\nfield 5\n", "line 2: want \"field W H\""},
	{"markvec 1\nfield 5 5 5\ncorrected 0\n", "line 2: want \"field W H\""},
	{head + "W 1 2\n", "line 4: want \"W T\" with a whole number of microseconds"},
	{"markvec 1\n# hello\n", "line 2: want \"field W H\""},
	{"markvec 1\nfield 5 5\ncorrected 2\n", "line 3: want"},
	{head + "J 1 1\n", "line 4: a vector before the first use"},
	{head + set0 + "use 0\nM 1 1\n", "line 6: the first vector is not a jump or a guide move"},
	{head + set0 + "use 0\nP 1\n", "line 6: the first vector is not a jump or a guide move"},
	{head + set0 + "use 1\n", "line 5: use 1, but there are 1 settings"},
	{head + set0 + set0, "line 5: setting 0 where 1 is due"},
	{head + set0 + "use 0\nJ 1 1\nsetting 1 speed 1\n", "line 7: a setting after the first vector"},
	{head + strings.Replace(set0, "off 120", "off -1", 1), "line 4: setting: off is out of range"},
	{head + strings.Replace(set0, "on 100", "on -100", 1), ""},
	{head + strings.Replace(set0, "pulse 100", "pulse 0", 1), "line 4: setting: pulse is out of range"},
	{head + strings.Replace(set0, "power 5000", "power 10001", 1), "line 4: setting: power is out of range"},
	{head + strings.Replace(strings.Replace(set0, "speed 800", "speed 1", 1), "jumpspeed 4000", "jumpspeed 1", 1), ""},
	{head + strings.Replace(set0, "jumpspeed 4000", "jumpspeed 0", 1), "line 4: setting: jumpspeed is out of range"},
	{head + set0 + "use 0\nJ 4294967297 0\n", "line 6: want"}, // 2^32 and 1
	{head + set0 + "use 0\nJ -4294967297 0\n", "line 6: want"},
	{head + "W 999999999\n", ""},
	{head + "W 1000000000\n", "line 4: want"},
	{head + strings.Replace(set0, "speed 800", "speed 0", 1), "line 4: setting: speed is out of range"},
	{head + strings.Replace(set0, " mark 100", "", 1), "line 4: setting: want key \"mark\" with a whole number"},
	{head + strings.Replace(set0, "\n", " more 1\n", 1), "line 4: setting: more than its twelve keys"},
	{head + set0 + "use 0\nJ 875001 0\n", "line 6: J 875001 0 is outside the field"},
	{head + set0 + "use 0\nJ 01 0\n", "line 6: want"},
	{head + set0 + "use 0\nJ -0 0\n", "line 6: want"},
	{head + set0 + "use 0\nJ +1 0\n", "line 6: want"},
	{head + set0 + "use 0\nJ 1.0 0\n", "line 6: want"},
	{head + set0 + "use 0\nJ  1 0\n", "line 6: want"},
	{head + set0 + "use 0\nJ 1 0 \n", "line 6: want"},
	{head + set0 + "use 0\nJ 1\n", "line 6: want"},
	{head + set0 + "use 0\nJ 1 0\r\n", "line 6: want"},
	{head + set0 + "use 0\nJ 1234567890 0\n", "line 6: want"},
	{head + "W -1\n", "line 4: want"},
	{head + "Q 1 2\n", "line 4: unknown record"},
	{head + "\n", "line 4: unknown record"},
	{head + "hold \n", "line 4: unknown record"},
	{head + "# caf\xc3\xa9\n", "line 4: a comment holds a character outside printable ASCII"},
	{head + "#" + strings.Repeat("x", 499) + "\n", "line 4: line is longer than 500 characters"},
	{head + "#" + strings.Repeat("x", 498) + "\n", ""},
	{head + "#" + strings.Repeat("x", 100000) + "\n", "line 4: line is longer than 500 characters"},
}

func TestReaderRefuses(t *testing.T) {
	for _, tt := range refused {
		_, err := records(sealed(tt.body))
		if tt.err == "" {
			require.NoError(t, err, "%q", tt.body)
			continue
		}
		require.ErrorContains(t, err, tt.err, "%q", tt.body)
	}
}

func TestReaderRefusesAWrongEnd(t *testing.T) {
	good := sealed(head + set0 + "use 0\nJ 1 2\nM 3 4\n")
	for _, tt := range []struct{ old, new, err string }{
		{"end 1 1 0", "end 2 1 0", "line 8: end counts 2 jumps, the list has 1"},
		{"end 1 1 0", "end 1 0 0", "line 8: end counts 0 marks, the list has 1"},
		{"end 1 1 0", "end 1 1 1", "line 8: end counts 1 beam-off moves, the list has 0"},
		{"M 3 4", "M 3 5", "line 8: the CRC is"},
		{"end 1 1 0 ", "end 1 1 0 0", "line 8: the CRC is"},
	} {
		_, err := records(strings.Replace(good, tt.old, tt.new, 1))
		require.ErrorContains(t, err, tt.err)
	}
	_, err := records(good + "\n")
	require.ErrorContains(t, err, "line 9: something follows the end record")
	_, err = records(strings.TrimSuffix(good, "\n"))
	require.EqualError(t, err, "line 8: the file ends inside a line")
	_, err = records(head + set0)
	require.EqualError(t, err, "line 5: the file ends without an end record")
}

// Every single-byte change of a small list, and every truncation, is refused.
func TestDamageIsRefused(t *testing.T) {
	good := sealed(head + "# a plate\n" + set0 + "use 0\nJ 1 -20\nM 30 4\nD -5 0\nM 0 0\nP 10\nG 7 7\nW 5\nhold\n")
	_, err := records(good)
	require.NoError(t, err)
	b := []byte(good)
	for i := range b {
		if _, err := records(good[:i]); err == nil {
			t.Fatalf("cut at byte %d: accepted", i)
		}
		was := b[i]
		for c := range 256 {
			if byte(c) == was {
				continue
			}
			b[i] = byte(c)
			if _, err := records(string(b)); err == nil {
				t.Fatalf("byte %d changed from %q to %q: accepted", i, was, byte(c))
			}
		}
		b[i] = was
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

func TestEncoderRefusesWhatTheFormCannotSay(t *testing.T) {
	jump := emit.Move{Kind: emit.Travel}
	mark := emit.Move{Kind: emit.Mark, To: path.Point{X: 1}, Speed: 800, Power: 0.5}
	for _, tt := range []struct {
		name   string
		change func(*emit.Move)
	}{
		{"arc", func(m *emit.Move) { m.Turn = emit.Clockwise }},
		{"speed", func(m *emit.Move) { m.Speed = 801 }},
		{"power", func(m *emit.Move) { m.Power = 0.4 }},
		{"setting", func(m *emit.Move) { m.Setting = 9 }},
		{"outside", func(m *emit.Move) { m.To.X = 87.5001 }},
		{"NaN", func(m *emit.Move) { m.To.Y = 0 / m.To.Y }},
		{"far", func(m *emit.Move) { m.To.Y = 1e300 }},
		{"kind", func(m *emit.Move) { m.Kind = 99 }},
	} {
		m := random(t, 1, 0)
		mv := mark
		m.Play = of([]emit.Move{jump, mv})
		require.NoError(t, markvec.Encoder{}.Encode(io.Discard, m))
		tt.change(&mv)
		m.Play = of([]emit.Move{jump, mv})
		require.Error(t, markvec.Encoder{}.Encode(io.Discard, m), tt.name)
	}
	m := random(t, 1, 0)
	m.Play = of([]emit.Move{mark})
	require.Error(t, markvec.Encoder{}.Encode(io.Discard, m), "no jump first")
	require.Error(t, markvec.Encoder{}.Encode(io.Discard, emit.Moves{Play: of(nil)}), "no field")
	require.Error(t, markvec.Encoder{Comments: []string{strings.Repeat("x", 498)}}.Encode(io.Discard, m))
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
