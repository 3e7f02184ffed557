package emit_test

import (
	"errors"
	"testing"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// late is a gantry whose beam comes on 1 ms late and goes off 3 ms late, with 0.2 mm of
// lost motion of X and 0.5 mm of Y.
func late() machine.Profile {
	return gantry(func(g *machine.Gantry, _ *machine.GCode) {
		g.BeamOnLatencyUS, g.BeamOffLatencyUS, g.BacklashMM, g.Reversal = 1000, 3000, [2]float64{0.2, 0.5}, nil
	})
}

func gapTo(x, y float64) emit.Move { return emit.Move{Kind: emit.Gap, To: pt(x, y), Speed: 100} }

// At 100 mm/s the beam comes on 0.1 mm behind its command and goes off 0.3 mm behind; a
// head that comes back lies its lost motion farther. Only where a gap meets a mark, and
// along the way. By hand, both ways and along Y.
func TestWhereTheBeamIs(t *testing.T) {
	for name, c := range map[string]struct{ moves, want []emit.Move }{
		"forth": {
			[]emit.Move{to(0, 0.5), gapTo(5, 0.5), burn(8, 0.5, 100, 0.5), gapTo(12, 0.5),
				burn(15, 0.5, 100, 0.5), gapTo(20, 0.5)},
			[]emit.Move{to(0, 0.5), gapTo(5.1, 0.5), burn(8.3, 0.5, 100, 0.5), gapTo(12.1, 0.5),
				burn(15.3, 0.5, 100, 0.5), gapTo(20, 0.5)},
		},
		"back": {
			[]emit.Move{to(20, 1), gapTo(15, 1), burn(12, 1, 100, 0.5), gapTo(5, 1)},
			[]emit.Move{to(20, 1), gapTo(14.9+0.2, 1), burn(11.7+0.2, 1, 100, 0.5), gapTo(5, 1)},
		},
		"down": {
			[]emit.Move{to(3, 20), gapTo(3, 15), burn(3, 12, 100, 0.5), gapTo(3, 5)},
			[]emit.Move{to(3, 20), gapTo(3, 14.9+0.5), burn(3, 11.7+0.5, 100, 0.5), gapTo(3, 5)},
		},
		"an outline, at rest at both ends": {
			[]emit.Move{to(20, 1), burn(15, 1, 100, 0.5), burn(15, 9, 100, 0.5), to(1, 1)},
			[]emit.Move{to(20, 1), burn(15, 1, 100, 0.5), burn(15, 9, 100, 0.5), to(1, 1)},
		},
		"gaps alone": {[]emit.Move{gapTo(5, 1), gapTo(9, 1), to(1, 1)},
			[]emit.Move{gapTo(5, 1), gapTo(9, 1), to(1, 1)}},
		"the last is a mark": {[]emit.Move{gapTo(5, 0), burn(9, 0, 100, 0.5)},
			[]emit.Move{gapTo(5.1, 0), burn(9, 0, 100, 0.5)}},
		"a gap of no length": {[]emit.Move{to(5, 1), gapTo(5, 1), burn(9, 1, 100, 0.5)},
			[]emit.Move{to(5, 1), gapTo(5, 1), burn(9, 1, 100, 0.5)}},
		"slower, less behind": {[]emit.Move{{Kind: emit.Gap, To: pt(5, 0), Speed: 50}, burn(9, 0, 50, 1), gapTo(12, 0)},
			[]emit.Move{{Kind: emit.Gap, To: pt(5.05, 0), Speed: 50}, burn(9.15, 0, 50, 1), gapTo(12, 0)}},
		"an arc stays": {
			[]emit.Move{gapTo(5, 0), {Kind: emit.Mark, To: pt(7, 0), Centre: pt(6, 0), Turn: emit.Clockwise, Speed: 100,
				Power: 1}, gapTo(9, 0)},
			[]emit.Move{gapTo(5.1, 0), {Kind: emit.Mark, To: pt(7, 0), Centre: pt(6, 0), Turn: emit.Clockwise,
				Speed: 100, Power: 1}, gapTo(9, 0)},
		},
	} {
		got := list(t, emit.AsMarked(moves(c.moves...), late()))
		require.Len(t, got, len(c.want), name)
		for i, mv := range got {
			require.InDelta(t, 0, c.want[i].To.Dist(mv.To), 1e-9, "%s: move %d ends at %v", name, i, mv.To)
			mv.To = c.want[i].To
			require.Equal(t, c.want[i], mv, name)
		}
		n := 0
		for range emit.AsMarked(moves(c.moves...), late()).All() { // who stops listening is not called again
			if n++; n == 2 {
				break
			}
		}
	}
}

// A measured table is the whole of what lies between forth and back.
func TestWhereTheBeamIsByATable(t *testing.T) {
	p := late()
	p.Gantry.Reversal = []machine.Reversal{{SpeedMMPerS: 100, OffsetMM: 0.4}}
	got := list(t, emit.AsMarked(moves(to(20, 1), gapTo(15, 1), burn(12, 1, 100, 0.5), gapTo(5, 1)), p))
	lead := p.Gantry.Lead(pt(-1, 0), 100)
	require.InDelta(t, 15+lead.On, got[1].To.X, 1e-9)
	require.InDelta(t, 0.4, -lead.On, 1e-9)
	require.InDelta(t, 12-0.4, got[2].To.X, 1e-9)
}

func TestErrorsComeThroughAsMarked(t *testing.T) {
	broken := errors.New("broken")
	m := emit.AsMarked(emit.Moves{Play: func(yield func(emit.Move, error) bool) {
		_ = yield(to(1, 1), nil) && yield(emit.Move{}, broken) && yield(to(2, 2), nil)
	}}, late())
	n, failed := 0, error(nil)
	for _, err := range m.All() {
		n, failed = n+1, err
	}
	require.Equal(t, 2, n)
	require.ErrorIs(t, failed, broken)
}

// Rows of several directions and settings are told once each: those marked both ways in one
// with the greatest and the least speed, and each by its own steps.
func TestRowWarningsOfEachDirection(t *testing.T) {
	stepper := gantry(func(g *machine.Gantry, _ *machine.GCode) { g.StepsPerMM = [2]float64{80, 100} })
	prog := path.Program{Settings: []path.Setting{
		{SpeedMMPerS: 150, Power: 0.3, SpacingMM: 0.055}, {SpeedMMPerS: 50, Power: 0.3, SpacingMM: 0.055},
	}}
	line := func(kind path.StrokeKind, set uint16, a, b path.Point) {
		prog.Append(path.Stroke{Kind: kind, Setting: set}, a, b)
	}
	line(path.LineStroke, 0, pt(0, 0), pt(0, 9)) // no row
	line(path.LineStroke, 0, pt(0, 9), pt(0, 0))
	line(path.SpanStroke, 0, pt(0, 0), pt(9, 0))
	line(path.SpanStroke, 0, pt(9, 0), pt(9, 0)) // no direction
	line(path.SpanStroke, 0, pt(0, 1), pt(9, 1))
	line(path.SpanStroke, 1, pt(0, 0), pt(9, 0))
	line(path.SpanStroke, 1, pt(9, 1), pt(0, 1))
	line(path.SpanStroke, 1, pt(1, 0), pt(1, 9))
	line(path.SpanStroke, 1, pt(2, 0), pt(2, 9))
	line(path.SpanStroke, 0, pt(0, 0), pt(9, 9))
	line(path.SpanStroke, 0, pt(9, 9), pt(0, 0))
	var got []string
	for _, w := range emit.RowWarnings(prog, stepper) {
		got = append(got, w.Message)
	}
	require.Equal(t, []string{
		"forward and return rows may be misaligned by up to 0.25 mm at 150 mm/s, 0.15 mm at 50 mm/s: the profile has " +
			"neither latency nor backlash",
		"a spacing of 0.055 mm is 5.5 motor steps of Y, so rows will lie unevenly; 0.06 mm is a whole number",
		"a spacing of 0.055 mm is 4.4 motor steps of X, so rows will lie unevenly; 0.05 mm is a whole number",
	}, got)
}
