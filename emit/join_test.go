package emit_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/path"
)

// line is a program of one stroke.
func line(set path.Setting, from, to path.Point) path.Program {
	prog := path.Program{Settings: []path.Setting{set}}
	prog.Append(path.Stroke{Kind: path.LineStroke}, from, to)
	return prog
}

func plan(t *testing.T, prog path.Program, p machine.Profile) emit.Moves {
	t.Helper()
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	return m
}

func joinedMoves(t *testing.T, pieces ...emit.Piece) emit.Moves {
	t.Helper()
	m, err := emit.Join(pieces)
	require.NoError(t, err)
	return m
}

// By hand: three pieces, held before the second.
func TestJoin(t *testing.T) {
	p, other := fibre(t), fill
	other.Power = 0.25
	m := joinedMoves(t,
		emit.Piece{Moves: plan(t, line(fill, pt(1, 0), pt(2, 0)), p), Note: "part 1"},
		emit.Piece{Moves: plan(t, line(other, pt(0, 0), pt(0, 5)), p), Note: "part 2", Hold: true},
		emit.Piece{Moves: plan(t, line(fill, pt(-3, 0), pt(-4, 0)), p)},
	)
	moves := collect(t, m)
	assert.Equal(t, []emit.Note{{Move: 0, Text: "part 1"}, {Move: 2, Text: "part 2"}}, m.Notes)
	require.Equal(t, "JMHJMJM", kinds(moves))
	assert.Equal(t, pt(2, 0), moves[2].To, "held where the last part ended")
	assert.Equal(t, pt(0, 0), moves[3].To)
	require.Len(t, m.Settings, 2)
	require.Len(t, m.Scanner, 2)
	assert.Equal(t, []uint16{0, 1, 0}, []uint16{moves[1].Setting, moves[4].Setting, moves[6].Setting})
	assert.Equal(t, 0.25, m.Settings[moves[4].Setting].Power)

	prog, err := m.Program()
	require.NoError(t, err)
	require.Len(t, prog.Strokes, 3)
	assert.Equal(t, []path.Point{pt(0, 0), pt(0, 5)}, prog.PointsOf(1))
}

// Parts at rest between them take their times and the travel from one to the
// next, worked by hand from the profile's jump speed and delay.
func TestTimeOfJoined(t *testing.T) {
	p := fibre(t)
	part := plan(t, line(fill, pt(40, 0), pt(40, 30)), p)
	next := plan(t, line(fill, pt(-40, 30), pt(-40, 0)), p)
	seconds := func(m emit.Moves) float64 {
		r, err := clock.Run(m, p)
		require.NoError(t, err)
		return r.Total().Seconds()
	}
	sum := seconds(part) + seconds(next)
	sum -= 50 / p.Galvo.JumpSpeedMMPerS // from the middle to -40, 30
	sum += 80 / p.Galvo.JumpSpeedMMPerS // from 40, 30; both wait the full delay
	assert.InDelta(t, sum, seconds(joinedMoves(t, emit.Piece{Moves: part}, emit.Piece{Moves: next})), 1e-6)
}

func TestJoinOfAGantry(t *testing.T) {
	p := gantry(nil)
	prog := path.Program{Settings: setting(100)}
	row(&prog, 0, false, [2]float64{0, 10})
	part := plan(t, prog, p)
	next := plan(t, prog.Transform(path.Translate(70, 100)), p)
	m := joinedMoves(t, emit.Piece{Moves: part}, emit.Piece{Moves: next, Note: "part 2"})
	moves := list(t, m)
	want := append(list(t, part), list(t, next)...)
	assert.Equal(t, want, moves)
	assert.Equal(t, len(list(t, part)), m.Notes[0].Move)
}

// A piece that begins at 0,0 was planned without a move to there.
func TestJoinOfAPieceAtZero(t *testing.T) {
	p := gantry(nil)
	first := plan(t, line(setting(100)[0], pt(5, 0), pt(5, 5)), p)
	atZero := plan(t, line(setting(100)[0], pt(0, 0), pt(0, 5)), p)
	require.Equal(t, emit.Mark, list(t, atZero)[0].Kind)
	m := joinedMoves(t, emit.Piece{Moves: first}, emit.Piece{Moves: atZero})
	prog, err := m.Program()
	require.NoError(t, err)
	require.Len(t, prog.Strokes, 2)
	assert.Equal(t, []path.Point{pt(0, 0), pt(0, 5)}, prog.PointsOf(1))
}

func TestJoinOfOthers(t *testing.T) {
	m := joinedMoves(t)
	assert.Empty(t, list(t, m))
	_, err := emit.Join([]emit.Piece{{Moves: plan(t, line(fill, pt(1, 0), pt(2, 0)), fibre(t))}, {Moves: plan(t, line(fill, pt(1, 0), pt(2, 0)), gantry(nil))}})
	assert.Error(t, err)
}
