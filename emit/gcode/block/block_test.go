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
