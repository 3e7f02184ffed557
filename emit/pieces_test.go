package emit_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/emit/machine/byhand"
	"furrow/path"
)

// line is a program of one stroke.
func line(set path.Setting, from, to path.Point) path.Program {
	prog := path.Program{Settings: []path.Setting{set}}
	prog.Append(path.Stroke{Kind: path.LineStroke}, from, to)
	return prog
}

func pieces(t *testing.T, p machine.Profile, all ...emit.Piece) emit.Moves {
	t.Helper()
	for i := range all {
		if all[i].Place == (path.Matrix{}) {
			all[i].Place = path.Identity
		}
	}
	m, err := emit.PlanPieces(all, p)
	require.NoError(t, err)
	return m
}

// By hand: three pieces, held before the second.
func TestPieces(t *testing.T) {
	p, other := byhand.Fibre(), fill
	other.Power = 0.25
	m := pieces(t, p,
		emit.Piece{Program: line(fill, pt(1, 0), pt(2, 0)), Note: "part 1"},
		emit.Piece{Program: line(other, pt(0, 0), pt(0, 5)), Note: "part 2", Hold: true},
		emit.Piece{Program: line(fill, pt(3, 0), pt(4, 0)), Place: path.Rotate(180)},
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

// Parts take their times and the travel from one to the next, worked by hand from
// the profile's jump speed and delay.
func TestTimeOfPieces(t *testing.T) {
	p := byhand.Fibre()
	seconds := func(all ...emit.Piece) float64 {
		r, err := clock.Run(pieces(t, p, all...), p)
		require.NoError(t, err)
		return r.Total().Seconds()
	}
	part := emit.Piece{Program: line(fill, pt(40, 0), pt(40, 30))}
	next := emit.Piece{Program: line(fill, pt(-40, 30), pt(-40, 0))}
	sum := seconds(part) + seconds(next)
	sum -= 50 / p.Galvo.JumpSpeedMMPerS // from the middle to -40, 30
	sum += 80 / p.Galvo.JumpSpeedMMPerS // from 40, 30; both wait the full delay
	assert.InDelta(t, sum, seconds(part, next), 1e-6)
}

// On a gantry every part is what it would be alone, between the user's own lines.
func TestPiecesOfAGantry(t *testing.T) {
	p := gantry(nil)
	prog := path.Program{Settings: setting(100)}
	row(&prog, 0, false, [2]float64{0, 10})
	places := []path.Matrix{path.Translate(0, 5), path.Translate(70, 100)}
	var want []emit.Move
	for _, place := range places {
		want = append(want, planned(t, prog.Transform(place), p)...)
	}
	p.GCode.StartLines, p.GCode.EndLines = []string{"M8"}, []string{"M9", "G4 P2"}
	m := pieces(t, p, emit.Piece{Program: prog, Place: places[0]},
		emit.Piece{Program: prog, Place: places[1], Note: "part 2"})
	moves := list(t, m)
	assert.Equal(t, emit.Wait, moves[len(moves)-1].Kind)
	assert.Equal(t, want, moves[:len(moves)-1])
	assert.Equal(t, len(want)/2, m.Notes[0].Move)
}

// A piece that begins at 0,0 was planned without a move to there.
func TestPieceAtZero(t *testing.T) {
	p := gantry(nil)
	atZero := line(setting(100)[0], pt(0, 0), pt(0, 5))
	require.Equal(t, emit.Mark, planned(t, atZero, p)[0].Kind)
	m := pieces(t, p, emit.Piece{Program: line(setting(100)[0], pt(5, 0), pt(5, 5))}, emit.Piece{Program: atZero})
	prog, err := m.Program()
	require.NoError(t, err)
	require.Len(t, prog.Strokes, 2)
	assert.Equal(t, []path.Point{pt(0, 0), pt(0, 5)}, prog.PointsOf(1))
}

func TestNoPieces(t *testing.T) {
	assert.Empty(t, list(t, pieces(t, gantry(nil))))
}

// Who stops listening is not called again, wherever that is.
func TestPiecesCanBeLeft(t *testing.T) {
	p := byhand.Fibre()
	m := pieces(t, p,
		emit.Piece{Program: line(fill, pt(1, 0), pt(2, 0))},
		emit.Piece{Program: line(fill, pt(0, 0), pt(0, 5)), Hold: true},
		emit.Piece{Program: line(fill, pt(3, 0), pt(4, 0))})
	all := len(collect(t, m))
	for n := range all {
		got := 0
		for range m.All() {
			if got++; got > n {
				break
			}
		}
		require.Equal(t, n+1, got)
	}
}
