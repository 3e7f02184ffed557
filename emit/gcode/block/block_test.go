package block_test

import (
	"testing"

	"furrow/emit"
	"furrow/emit/gcode/block"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

func pt(x, y float64) path.Point { return path.Point{X: x, Y: y} }

// what a line of each kind looks like, by hand: words that hold are left out, F is a
// minute's, an arc names its axes and its centre from where the head is.
func TestLinesByHand(t *testing.T) {
	moves := []emit.Move{
		{Kind: emit.Travel, To: pt(0, 2)},
		{Kind: emit.Gap, To: pt(5, 2), Speed: 100},
		{Kind: emit.Mark, To: pt(15.25, 2), Speed: 100, Power: 0.35},
		{Kind: emit.Mark, To: pt(15.25, 2), Speed: 100, Power: 0.35},
		{Kind: emit.Gap, To: pt(-0.5, 2), Speed: 100},
		{Kind: emit.Mark, To: pt(-0.5, 4), Centre: pt(-0.5, 3), Turn: emit.Clockwise, Speed: 50, Power: 1},
	}
	for _, c := range []struct {
		controller machine.GCode
		want       []string
	}{
		{machine.GCode{}, []string{"G0 X0 Y2\n", "G1 X5 F6000\n", "X15.25 S350\n", "", "X-0.5 S0\n",
			"G2 X-0.5 Y4 I0 J1 F3000 S1000\n"}},
		{machine.GCode{LineNumbers: true, CRLF: true, PowerWordMax: 255, PowerDecimals: 1}, []string{
			"N1 G0 X0 Y2\r\n", "N2 G1 X5 F6000\r\n", "N3 X15.25 S89.3\r\n", "", "N4 X-0.5 S0\r\n",
			"N5 G2 X-0.5 Y4 I0 J1 F3000 S255\r\n"}},
		{machine.GCode{RepeatWords: true}, []string{"G0 X0 Y2 S0\n", "G1 X5 Y2 F6000 S0\n",
			"G1 X15.25 Y2 F6000 S350\n", "",
			"G1 X-0.5 Y2 F6000 S0\n", "G2 X-0.5 Y4 I0 J1 F3000 S1000\n"}},
		{machine.GCode{Inch: true}, []string{"G0 X0 Y0.07874\n", "G1 X0.19685 F236.22047\n", "X0.60039 S350\n", "",
			"X-0.01969 S0\n", "G2 X-0.01969 Y0.15748 I0 J0.03937 F118.11024 S1000\n"}},
	} {
		s := block.Start(c.controller)
		for i := range moves {
			line, err := s.Move(nil, &moves[i])
			require.NoError(t, err)
			require.Equal(t, c.want[i], string(line))
		}
	}
}

// Power as an output in step with the motion stands on a line of its own before the
// movement that it begins with, S is left alone.
func TestPowerByOutput(t *testing.T) {
	s := block.Start(machine.GCode{PowerWord: "M67 E0 Q", PowerWordMax: 1, PowerDecimals: 3})
	for _, c := range []struct {
		move emit.Move
		want string
	}{
		{emit.Move{Kind: emit.Travel, To: pt(0, 2)}, "G0 X0 Y2\n"},
		{emit.Move{Kind: emit.Gap, To: pt(5, 2), Speed: 100}, "G1 X5 F6000\n"},
		{emit.Move{Kind: emit.Mark, To: pt(15, 2), Speed: 100, Power: 0.35}, "M67 E0 Q0.35\nX15\n"},
		{emit.Move{Kind: emit.Mark, To: pt(15, 3), Speed: 100, Power: 0.35}, "Y3\n"},
		{emit.Move{Kind: emit.Travel, To: pt(0, 0)}, "M67 E0 Q0\nG0 X0 Y0\n"},
	} {
		line, err := s.Move(nil, &c.move)
		require.NoError(t, err)
		require.Equal(t, c.want, string(line))
	}
	require.Equal(t, "M67 E0 Q0\n", string(s.NoPower(nil)))
	require.Empty(t, block.Start(machine.GCode{}).NoPower(nil))
}

// A line that no file may hold is an error, and the next one is judged anew.
func TestLinesRefuse(t *testing.T) {
	s := block.Start(machine.GCode{})
	for _, mv := range []emit.Move{
		{Kind: emit.Travel, To: pt(1e9, 0)}, {Kind: emit.Mark, To: pt(1, 0), Speed: 10, Power: 0.0001},
		{Kind: emit.Hold, To: pt(2, 0)}, {Kind: emit.Dot, To: pt(3, 0)},
	} {
		_, err := s.Move(nil, &mv)
		require.Error(t, err)
	}
	_, err := s.Move(nil, &emit.Move{To: pt(5, 0)})
	require.NoError(t, err)
}

// The least power and feed of the grid are some, and a wait puts the beam out; numbers have as
// many decimals as they need and no zeros behind them.
func TestLeastNumbersByHand(t *testing.T) {
	s := block.Start(machine.GCode{})
	move := func(want string, mv emit.Move) {
		t.Helper()
		line, err := s.Move(nil, &mv)
		require.NoError(t, err)
		require.Equal(t, want, string(line))
	}
	require.False(t, s.Lit())
	move("G1 X1 Y0 F0.001\n", emit.Move{Kind: emit.Gap, To: pt(1, 0), Speed: 1.0 / 60_000})
	move("X2 S1\n", emit.Move{Kind: emit.Mark, To: pt(2, 0), Speed: 1.0 / 60_000, Power: 0.001})
	require.True(t, s.Lit())
	require.Equal(t, "M0 S0\n", string(s.Pause(nil, &emit.Move{Kind: emit.Hold})))
	require.False(t, s.Lit())
	for us, want := range map[int64]string{1_500_000: "G4 P1.5\n", 1: "G4 P0.000001\n", 2_000_000: "G4 P2\n",
		120_030: "G4 P0.12003\n"} {
		require.Equal(t, want, string(s.Pause(nil, &emit.Move{Kind: emit.Wait, WaitUS: us})))
	}
	s = block.Start(machine.GCode{WaitUnit: machine.WaitMilliseconds})
	require.Equal(t, "G4 P1500.25\n", string(s.Pause(nil, &emit.Move{Kind: emit.Wait, WaitUS: 1_500_250})))
	s = block.Start(machine.GCode{})
	mv := emit.Move{Kind: emit.Mark, To: pt(3, -4), Speed: 10, Power: 0.0001}
	_, err := s.Move(nil, &mv)
	require.EqualError(t, err, "a mark to X3 Y-4 has no power")
	require.ErrorIs(t, err, block.ErrNoPower)
	for decimals, want := range []string{"S2", "S1.7", "S1.73", "S1.728", "S1.7284", "S1.7284", "S1.728395"} {
		c := machine.GCode{PowerWordMax: 14, PowerDecimals: decimals}
		power := 0.12345679
		if decimals == 5 {
			power = 0.12345714 // 1.72840 in five decimals
		}
		s := block.Start(c)
		line, err := s.Move(nil, &emit.Move{Kind: emit.Mark, To: pt(1, 0), Speed: 10, Power: power})
		require.NoError(t, err)
		require.Equal(t, "G0 X0 Y0\nG1 X1 F600 "+want+"\n", string(line), decimals)
	}
}

// Ten kilometres in micrometres are no number of a file, a step less is.
func TestGreatestNumbers(t *testing.T) {
	for x, want := range map[float64]string{9_999_999.999: "G0 X9999999.999 Y0\n", -9_999_999.999: "G0 X-9999999.999 Y0\n",
		1e7: "", 1.2e7: "", -1e7: ""} {
		line, err := block.Start(machine.GCode{}).Move(nil, &emit.Move{Kind: emit.Travel, To: pt(x, 0)})
		if want == "" {
			require.ErrorContains(t, err, "is beyond what a file can hold")
			continue
		}
		require.NoError(t, err)
		require.Equal(t, want, string(line))
	}
}

// Lines have numbers of five digits, and begin anew at 1 behind the last.
func TestNumbersOfLinesBeginAnew(t *testing.T) {
	s := block.Start(machine.GCode{LineNumbers: true})
	var b []byte
	for range 99_998 {
		b = s.Text(b[:0], "M8")
	}
	require.Equal(t, "N99998 M8\n", string(b))
	for _, want := range []string{"N99999 M8\n", "N1 M8\n", "N2 M8\n"} {
		require.Equal(t, want, string(s.Text(nil, "M8")))
	}
	require.Equal(t, "(no code)\n", string(s.Comment(nil, "(no code)")))
	require.Equal(t, "N3 M8\n", string(s.Text(nil, "M8")))
}
