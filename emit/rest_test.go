package emit_test

import (
	"bytes"
	"testing"
	"time"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/gcode"
	"furrow/emit/gcode/minimal"
	"furrow/emit/machine"
	"furrow/emit/machine/byhand"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// paused is two rows, an outline and another row, with a pause before the second row, the
// outline and the last row.
func paused(set []path.Setting) path.Program {
	p := path.Program{Settings: set}
	row(&p, 0, false, [2]float64{0, 10}, [2]float64{12, 20})
	row(&p, 0.1, true, [2]float64{0, 20})
	p.Append(path.Stroke{Kind: path.LineStroke}, pt(0, 5), pt(5, 5), pt(5, 8))
	row(&p, 9, false, [2]float64{0, 20})
	p.Rests = []path.Rest{{Before: 2, For: 1500 * time.Millisecond}, {Before: 3, For: 2 * time.Second},
		{Before: 4, For: 100 * time.Millisecond}}
	return p
}

// A head stands still where the next stroke is begun from, after travel, which leaves the
// beam off. The run-out of the row before is the whole of it: no sidestep is made.
func TestRestsOfAGantry(t *testing.T) {
	prog := paused(setting(100))
	p := gantry(nil)
	moves := planned(t, prog, p)
	plain := prog
	plain.Rests = nil
	waited, at := []int64{}, path.Point{}
	last := emit.Move{}
	for _, m := range moves {
		if m.Kind == emit.Wait {
			require.Equal(t, emit.Travel, last.Kind)
			require.Equal(t, at, m.To)
			waited = append(waited, m.WaitUS)
		}
		at, last = m.To, m
	}
	require.Equal(t, []int64{1_500_000, 2_000_000, 100_000}, waited)
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	r, err := clock.Run(m, p)
	require.NoError(t, err)
	require.Equal(t, 3600*time.Millisecond, r.Wait)
	unpaused, err := emit.Plan(plain, p)
	require.NoError(t, err)
	without, err := clock.Run(unpaused, p)
	require.NoError(t, err)
	require.InDelta(t, 3.6, (r.Total() - without.Total()).Seconds(), 0.1, "and a step in place of a sidestep")
	require.Equal(t, without.MarkMM, r.MarkMM)
}

// A file holds the pauses as G4 with seconds (RS274/NGC 3.5.4), with S at 0, where the
// profile has the word; the strict reader and a player of its own agree.
func TestRestsInAFile(t *testing.T) {
	prog := paused(setting(100))
	for name, change := range map[string]func(*machine.GCode){
		"S":      func(*machine.GCode) {},
		"output": func(c *machine.GCode) { c.PowerWord = "M67 E0 Q" },
	} {
		p := gantry(func(_ *machine.Gantry, c *machine.GCode) { change(c); c.Dwell = true })
		m, err := emit.Plan(prog, p)
		require.NoError(t, err)
		var b bytes.Buffer
		require.NoError(t, gcode.Encoder{Profile: *p.GCode}.Encode(&b, m), name)
		require.Contains(t, b.String(), "\nG4 P1.5\n", name)
		require.Contains(t, b.String(), "\nG4 P2\n", name)
		require.Contains(t, b.String(), "\nG4 P0.1\n", name)
		_, err = minimal.Play(b.String())
		require.NoError(t, err, name)
		read, err := gcode.Read(bytes.NewReader(b.Bytes()), *p.GCode)
		require.NoError(t, err, name)
		require.Equal(t, list(t, m), list(t, read), name)

		p.GCode.Dwell = false
		require.ErrorIs(t, gcode.Encoder{Profile: *p.GCode}.Encode(&b, m), gcode.ErrNoDwell, name)
	}
}

// A wait right behind a mark is never written: the beam might stay on.
func TestNoWaitBehindAMark(t *testing.T) {
	p := gantry(func(_ *machine.Gantry, c *machine.GCode) { c.Dwell = true })
	m := emit.Moves{Settings: setting(100), Play: func(yield func(emit.Move, error) bool) {
		_ = yield(emit.Move{Kind: emit.Travel, To: pt(1, 1)}, nil) &&
			yield(emit.Move{Kind: emit.Mark, To: pt(2, 1), Speed: 100, Power: 0.3}, nil) &&
			yield(emit.Move{Kind: emit.Wait, To: pt(2, 1), WaitUS: 1e6}, nil) &&
			yield(emit.Move{Kind: emit.Travel, To: pt(1, 1)}, nil)
	}}
	require.ErrorContains(t, gcode.Encoder{Profile: *p.GCode}.Encode(&bytes.Buffer{}, m), "behind a mark")

	prog := path.Program{Settings: setting(100)}
	prog.Append(path.Stroke{Kind: path.LineStroke}, pt(0, 0), pt(5, 0))
	prog.Append(path.Stroke{Kind: path.LineStroke}, pt(5, 0), pt(5, 5)) // goes on where the last one ended
	prog.Rests = []path.Rest{{Before: 1, For: time.Second}}
	for _, mv := range planned(t, prog, p) {
		require.NotEqual(t, emit.Wait, mv.Kind)
	}
}

// A list waits behind the chain, before the jump, and never before its first vector.
func TestRestsOfAGalvo(t *testing.T) {
	prog := paused([]path.Setting{{SpeedMMPerS: 1000, Power: 0.5, FrequencyHz: 50_000, PulseNS: 100}})
	prog.Rests = append([]path.Rest{{Before: 0, For: time.Second}}, prog.Rests...)
	m, err := emit.Plan(prog, byhand.Fibre())
	require.NoError(t, err)
	var waited []int64
	last := emit.Move{}
	for _, mv := range list(t, m) {
		if last.Kind == emit.Wait {
			require.Equal(t, emit.Travel, mv.Kind)
		}
		if mv.Kind == emit.Wait {
			require.Equal(t, last.To, mv.To)
			waited = append(waited, mv.WaitUS)
		}
		last = mv
	}
	require.Equal(t, []int64{1_500_000, 2_000_000, 100_000}, waited)
}

// By hand: a galvo's strokes that meet are one in its moves, and one shorter than the
// grid is none.
func TestOrigins(t *testing.T) {
	prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 1000, Power: 0.5, FrequencyHz: 50_000, PulseNS: 100}}}
	line := path.Stroke{Kind: path.LineStroke}
	prog.Append(line, pt(0, 0), pt(5, 0))
	prog.Append(line, pt(5, 0), pt(5, 5))       // goes on
	prog.Append(line, pt(1, 1), pt(1, 1.00001)) // a tenth of a step
	prog.Append(line, pt(2, 2), pt(3, 2))
	row(&prog, 4, false, [2]float64{0, 1}, [2]float64{3, 4})
	of, err := emit.Origins(prog, byhand.Fibre())
	require.NoError(t, err)
	require.Equal(t, []int{0, 3, 4, 5}, of)
	m, err := emit.Plan(prog, byhand.Fibre())
	require.NoError(t, err)
	marked, err := m.Program()
	require.NoError(t, err)
	require.Len(t, marked.Strokes, len(of))
}
