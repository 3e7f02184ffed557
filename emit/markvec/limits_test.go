package markvec_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/emit/markvec"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// oblong is the head of a list for a field of 20 x 10 mm.
const oblong = "markvec 1\nfield 200000 100000\ncorrected 1\n"

// Either side of each edge of a field that is wider than high, to a tenth of a
// micrometre: 2·|x| ≤ W, 2·|y| ≤ H.
func TestFieldsEdges(t *testing.T) {
	for _, op := range []string{"J", "M", "D", "G"} {
		for _, tt := range []struct {
			x, y int
			ok   bool
		}{
			{100_000, 50_000, true}, {-100_000, -50_000, true},
			{100_001, 0, false}, {-100_001, 0, false}, {0, 50_001, false}, {0, -50_001, false},
			{50_001, 0, true}, {0, 50_010, false}, {100_010, 0, false},
		} {
			_, err := records(sealed(oblong + set0 + fmt.Sprintf("use 0\nJ 0 0\n%s %d %d\n", op, tt.x, tt.y)))
			if tt.ok {
				require.NoError(t, err, "%s %d %d", op, tt.x, tt.y)
				continue
			}
			require.EqualError(t, err, fmt.Sprintf("line 7: %s %d %d is outside the field", op, tt.x, tt.y))
		}
	}
}

// inField returns moves in that field, for a writer.
func inField(moves ...emit.Move) emit.Moves {
	return emit.Moves{
		Header:   emit.Header{Field: path.Point{X: 20, Y: 10}},
		Settings: []path.Setting{{SpeedMMPerS: 800, Power: 0.5}, {SpeedMMPerS: 800, Power: 0.25}},
		Scanner:  []machine.Scanner{{JumpMMPerS: 4000}, {JumpMMPerS: 4000}},
		Play:     of(moves),
	}
}

func write(m emit.Moves) (string, error) {
	var b bytes.Buffer
	err := markvec.Encoder{}.Encode(&b, m)
	return b.String(), err
}

func jump(x, y float64) emit.Move { return emit.Move{To: path.Point{X: x, Y: y}} }

// Numbers of settings are decimal, and notes stand before the move that they belong to.
func TestSettingsAndNotesByHand(t *testing.T) {
	m := inField(jump(0, 0), jump(1, 0), jump(2, 0), emit.Move{To: path.Point{X: 3}, Setting: 12})
	m.Notes = []emit.Note{{Move: 0, Text: "a"}, {Move: 2, Text: "b"}, {Move: 2, Text: "c"}, {Move: 3, Text: "d"}}
	m.Settings, m.Scanner = nil, nil
	for i := range 13 {
		m.Settings = append(m.Settings, path.Setting{SpeedMMPerS: float64(800 + i), Power: 0.5})
		m.Scanner = append(m.Scanner, machine.Scanner{JumpMMPerS: 4000})
	}
	list, err := write(m)
	require.NoError(t, err)
	for i := range 13 {
		require.Contains(t, list, fmt.Sprintf("\nsetting %d speed %d jumpspeed 4000 ", i, 800+i))
	}
	_, body, _ := strings.Cut(list, "\n# a\n")
	require.True(t, strings.HasPrefix(body, "use 0\nJ 0 0\nJ 10000 0\n# b\n# c\nJ 20000 0\n# d\n"+
		"use 12\nJ 30000 0\nend 4 0 0 "),
		body)
	back, err := markvec.Read(strings.NewReader(list))
	require.NoError(t, err)
	require.Len(t, back.Settings, 13)
}

// What a list says of itself stands in comments below its head, and is read from those before
// the first vector alone.
func TestWhatAListSaysOfItself(t *testing.T) {
	const bare, stepped = "places are not corrected on purpose, to measure the field by",
		"delays are stepped on purpose, to be read off a card"
	for _, want := range []emit.Header{{}, {Bare: true}, {Stepped: true}, {Bare: true, Stepped: true},
		{Blanks: []emit.Blank{{Rect: path.Rect{Max: path.Point{X: 5, Y: 4}}, Bleed: 0.5}}}} {
		m := inField(jump(0, 0), jump(1, 0))
		want.Field = m.Header.Field
		m.Header = want
		m.Notes = []emit.Note{{Move: 1, Text: bare}, {Move: 1, Text: stepped}}
		list, err := write(m)
		require.NoError(t, err)
		top, _, _ := strings.Cut(list, "setting 0")
		require.Equal(t, want.Bare, strings.Contains(top, "\n# "+bare+"\n"))
		require.Equal(t, want.Stepped, strings.Contains(top, "\n# "+stepped+"\n"))
		require.Equal(t, len(want.Blanks) == 1, strings.Contains(top, "\n# blank 5 x 4 mm at X0 Y0, bleed 0.5 mm\n"), top)
		back, err := markvec.Read(strings.NewReader(list))
		require.NoError(t, err)
		require.Equal(t, want, back.Header)
	}
}

// The writer has the reader's edges, and says where the place is.
func TestWriterKeepsToTheField(t *testing.T) {
	for _, p := range []path.Point{{X: 10, Y: 5}, {X: -10, Y: -5}, {X: 10.00004}} {
		_, err := write(inField(jump(p.X, p.Y)))
		require.NoError(t, err, "%v", p)
	}
	for _, p := range []path.Point{{X: 10.0001}, {X: -10.0001}, {Y: 5.0001}, {Y: -5.0001}, {X: 10.001, Y: 1}} {
		_, err := write(inField(jump(p.X, p.Y)))
		require.EqualError(t, err, fmt.Sprintf("place %g, %g mm is outside the field", p.X, p.Y))
	}
	_, err := write(inField(jump(1, 2e5)))
	require.EqualError(t, err, "place 1, 200000 mm is out of range")
}

func TestFieldsThatAListHolds(t *testing.T) {
	for _, tt := range []struct {
		field path.Point
		ok    bool
	}{
		{path.Point{X: 0.0001, Y: 0.0001}, true}, {path.Point{X: 99_999.9999, Y: 99_999.9999}, true},
		{path.Point{X: 1}, false}, {path.Point{Y: 1}, false}, {path.Point{X: 1e5, Y: 1}, false}, {path.Point{X: 1,
			Y: 1e5}, false},
	} {
		m := inField()
		m.Header.Field = tt.field
		list, err := write(m)
		if !tt.ok {
			require.ErrorContains(t, err, "is out of range", "%v", tt.field)
			continue
		}
		require.NoError(t, err, "%v", tt.field)
		_, err = records(list)
		require.NoError(t, err, "%v", tt.field)
	}
}

// Whether the coordinates hold a correction is read and written as it is.
func TestCorrectedIsKept(t *testing.T) {
	for _, corrected := range []bool{false, true} {
		m := inField(jump(1, 1))
		m.Header.Corrected = corrected
		list, err := write(m)
		require.NoError(t, err)
		require.Equal(t, corrected, strings.Contains(list, "\ncorrected 1\n"))
		back, err := markvec.Read(strings.NewReader(list))
		require.NoError(t, err)
		require.Equal(t, m.Header, back.Header)
	}
}

// A dot burns with the power of the setting in force, and with no other.
func TestDotsHaveThePowerOfTheirSetting(t *testing.T) {
	dot := emit.Move{Kind: emit.Dot, WaitUS: 50, Power: 0.25, Setting: 1}
	list, err := write(inField(jump(1, 1), dot))
	require.NoError(t, err)
	require.Contains(t, list, "\nuse 1\nP 50\n")
	back, err := markvec.Read(strings.NewReader(list))
	require.NoError(t, err)
	got := play(t, back)
	require.Equal(t, 0.25, got[len(got)-1].Power)
	dot.Power = 0.5
	_, err = write(inField(jump(1, 1), dot))
	require.EqualError(t, err, "power 0.5 is not that of setting 1, 0.25")
	dot.Setting = 2
	_, err = write(inField(jump(1, 1), dot))
	require.EqualError(t, err, "move uses setting 2 of 2")
	_, err = write(inField(dot))
	require.Error(t, err, "a list starts with a jump")
}

// Times are whole microseconds of up to nine digits, none of them below nothing.
func TestTimes(t *testing.T) {
	for _, kind := range []emit.Kind{emit.Dot, emit.Wait} {
		for us, ok := range map[int64]bool{-1: false, 0: true, 1: true, 999_999_999: true, 1_000_000_000: false} {
			list, err := write(inField(jump(1, 1), emit.Move{Kind: kind, WaitUS: us, Power: 0.5}))
			require.Equal(t, ok, err == nil, "%d us", us)
			if ok {
				_, err = records(list)
				require.NoError(t, err, "%d us", us)
			}
		}
	}
}

// A list longer than any buffer is counted and summed as it was written.
func TestLongLists(t *testing.T) {
	moves := []emit.Move{jump(1, 1)}
	for i := range 20_000 {
		moves = append(moves, emit.Move{Kind: emit.Mark, Speed: 800, Power: 0.5, To: path.Point{X: float64(i%7) - 3,
			Y: float64(i % 5)}})
	}
	list, err := write(inField(moves...))
	require.NoError(t, err)
	require.Equal(t, list, sealed(list[:strings.LastIndex(list, "end ")]))
	all, err := records(list)
	require.NoError(t, err)
	require.Len(t, all, 2+1+len(moves)+1, "settings, use, moves, end")
}

// A line is 500 characters with its end: a comment has room for 497 beside "# ".
func TestCommentsFillALine(t *testing.T) {
	for n, ok := range map[int]bool{0: true, 497: true, 498: false, 600: false} {
		var b bytes.Buffer
		err := markvec.Encoder{Comments: []string{strings.Repeat("é", n)}}.Encode(&b, inField(jump(1, 1)))
		if !ok {
			require.EqualError(t, err, fmt.Sprintf("comment of %d characters is longer than 497", n))
			continue
		}
		require.NoError(t, err)
		require.Contains(t, b.String(), "\n# "+strings.Repeat("_", n)+"\n")
		_, err = records(b.String())
		require.NoError(t, err)
	}
	_, err := records(sealed(oblong + "#" + strings.Repeat("x", 499) + "\n"))
	require.ErrorContains(t, err, "line is longer than 500 characters")
}
