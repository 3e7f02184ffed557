package markvec_test

import (
	"hash/crc32"
	"io"
	"strings"
	"testing"

	"furrow/emit"
	"furrow/emit/markvec"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

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
