package gcode_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"furrow/emit"
	"furrow/emit/gcode"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// writes is how many bytes were written at a time.
type writes []int

func (w *writes) Write(p []byte) (int, error) {
	*w = append(*w, len(p))
	return len(p), nil
}

// A file of any length is written in pieces of 64 KiB and a line at most.
func TestWritesInPieces(t *testing.T) {
	var w writes
	all := 0
	require.NoError(t, gcode.Encoder{Profile: plain}.Encode(&w,
		emit.Moves{Play: func(yield func(emit.Move, error) bool) {
			for i := range 50_000 {
				if !yield(emit.Move{To: path.Point{X: float64(i), Y: 1}}, nil) {
					return
				}
			}
		}}))
	for _, n := range w {
		require.LessOrEqual(t, n, 64<<10+100)
		all += n
	}
	require.InDelta(t, all/(64<<10), len(w), 2)
	var b bytes.Buffer
	require.NoError(t, gcode.Encoder{Profile: plain}.Encode(&b, emit.Moves{Play: func(func(emit.Move, error) bool) {}}))
	mustKeep(t, b.String(), plain)
}

// The head and the foot of a file, by hand, and that they are read back.
func TestHeadAndFootByHand(t *testing.T) {
	g := machine.GCode{PowerWordMax: 1000, PowerMode: machine.PowerSteady, StartLines: []string{"G54"},
		EndLines: []string{"G4 P1"}, Air: "M8", Blend: true}
	h := emit.Header{Profile: "shop", Hash: "01ab", Time: 90500 * time.Millisecond, Blanks: []emit.Blank{
		{Rect: path.Rect{Max: path.Point{X: 60, Y: 40}}}, {}}}
	set := []path.Setting{{SpeedMMPerS: 10, Power: 0.5, Air: true}}
	m := emit.Moves{Header: h, Settings: set, Notes: []emit.Note{{Move: 0, Text: "first"}, {Move: 2, Text: "second"}},
		Play: func(yield func(emit.Move, error) bool) {
			_ = yield(emit.Move{To: path.Point{X: 1}}, nil) &&
				yield(emit.Move{Kind: emit.Gap, To: path.Point{X: 2}, Speed: 10}, nil) &&
				yield(emit.Move{Kind: emit.Mark, To: path.Point{X: 3}, Speed: 10, Power: 0.5}, nil) &&
				yield(emit.Move{Kind: emit.Gap, To: path.Point{X: 4}, Speed: 10}, nil) &&
				yield(emit.Move{Kind: emit.Wait, WaitUS: 1e6}, nil)
		}}
	text := encode(t, m, gcode.Encoder{Profile: g, Comments: []string{"size"}})
	lines := strings.Split(text, "\n")
	require.Equal(t, []string{"(profile shop 01ab)", "(time 90.500 s)"}, lines[:2])
	require.Contains(t, lines[2], "60 x 40")
	require.Equal(t, []string{"(size)", "G21 G17 G90 G94", "G64", "M5 S0", "G54", "M3 S0", "(first)", "M8", "G0 X1 Y0",
		"G1 X2 F600", "(second)", "X3 S500", "X4 S0", "M5 S0", "M9", "G4 P1"}, lines[3:19])
	require.Equal(t, "M2", lines[20])
	got := decode(t, text, g).Header
	require.Equal(t, h.Time, got.Time)
	require.Equal(t, []any{"shop", "01ab", true}, []any{got.Profile, got.Hash, got.Whole})
	require.Equal(t, h.Blanks[:1], got.Blanks)
	m.Header = emit.Header{}
	require.Equal(t, "(size)", strings.Split(encode(t, m, gcode.Encoder{Profile: g,
		Comments: []string{"size"}}), "\n")[0])
}

// What turns the beam off, wherever it stands, with the power in S and in an output.
func TestBeamOffByHand(t *testing.T) {
	require.Equal(t, "M5 S0\n", string(gcode.BeamOff(machine.GCode{PowerWordMax: 1000, LineNumbers: true})))
	require.Equal(t, "M5 S0\nM67 E0 Q0\n", string(gcode.BeamOff(*byOutput().GCode)))
}

// Waits inside the work, by hand: where the controller has a dwell, before a movement and with
// the beam dark; a stop never.
func TestWaitsInsideTheWork(t *testing.T) {
	to := func(kind emit.Kind, x float64) emit.Move {
		mv := emit.Move{Kind: kind, To: path.Point{X: x}, Speed: 10}
		if kind == emit.Mark {
			mv.Power = 0.5
		}
		return mv
	}
	wait, hold := emit.Move{Kind: emit.Wait, WaitUS: 1500}, emit.Move{Kind: emit.Hold}
	for _, c := range []struct {
		dwell bool
		moves []emit.Move
		want  string // the lines behind the first move, or an error
	}{
		{true, []emit.Move{wait, to(emit.Gap, 2)}, "G4 P0.0015\nG1 X2 F600\n"},
		{true, []emit.Move{wait, wait, to(emit.Travel, 2)}, "G4 P0.0015\nG4 P0.0015\nX2\n"},
		{true, []emit.Move{to(emit.Mark, 2), wait, to(emit.Travel, 3)}, "a wait behind a mark, with the beam on"},
		{true, []emit.Move{hold, to(emit.Gap, 2)},
			"a wait or a stop inside the work, which the profile has no word for"},
		{false, []emit.Move{wait, to(emit.Gap, 2)},
			"a wait or a stop inside the work, which the profile has no word for"},
	} {
		g := machine.GCode{PowerWordMax: 1000, PowerMode: machine.PowerSteady, Dwell: c.dwell}
		var b strings.Builder
		err := gcode.Encoder{Profile: g}.Encode(&b, emit.Moves{Play: func(yield func(emit.Move, error) bool) {
			for _, mv := range append([]emit.Move{to(emit.Travel, 1)}, c.moves...) {
				if !yield(mv, nil) {
					return
				}
			}
		}})
		if err != nil {
			require.EqualError(t, err, c.want)
			continue
		}
		_, got, ok := strings.Cut(b.String(), "G0 X1 Y0\n")
		require.True(t, ok)
		got, _, _ = strings.Cut(got, "M5")
		require.Equal(t, c.want, got)
	}
	var b strings.Builder
	m := emit.Moves{Play: func(yield func(emit.Move, error) bool) {
		_ = yield(to(emit.Travel, 1), nil) && yield(to(emit.Mark, 2), nil)
	}}
	err := gcode.Encoder{Profile: plain, BeamOff: true}.Encode(&b, m)
	require.EqualError(t, err, "a mark in a file with the beam off")
}
