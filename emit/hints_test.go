package emit_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// piece is work for a gantry: straight strokes and a few arcs, with travel between.
// The first move goes to it, and the last may go back to X0 Y0.
type piece struct {
	moves []emit.Move
	back  bool
}

// at returns the moves of the piece with the work moved by d.
func (w piece) at(d path.Point) emit.Moves {
	var list []emit.Move
	for _, mv := range w.moves {
		mv.To = micron(mv.To.Add(d))
		mv.Centre = micron(mv.Centre.Add(d))
		list = append(list, mv)
	}
	if w.back {
		list = append(list, to(0, 0))
	}
	return moves(list...)
}

func micron(p path.Point) path.Point {
	return path.Point{X: math.Round(p.X*1000) / 1000, Y: math.Round(p.Y*1000) / 1000}
}

// between returns a number of whole micrometres in lo..hi mm.
func between(r *rand.Rand, lo, hi float64) float64 {
	return math.Round(1000*(lo+r.Float64()*(hi-lo))) / 1000
}

// anyPiece returns work within a rectangle of random place and size.
func anyPiece(r *rand.Rand, reach, largest float64) piece {
	x, y := between(r, -reach, reach), between(r, -reach, reach)
	w, h := between(r, 1, largest), between(r, 1, largest)
	place := func() path.Point { return path.Point{X: x + between(r, 0, w), Y: y + between(r, 0, h)} }
	out := piece{back: r.IntN(2) == 0}
	for range 1 + r.IntN(6) {
		from, end := place(), place()
		mark := burn(end.X, end.Y, 100, 0.5)
		if r.IntN(4) == 0 {
			mark.Centre = micron(from.Add(end).Mul(0.5))
			mark.Turn = emit.Clockwise
		}
		out.moves = append(out.moves, to(from.X, from.Y), mark)
	}
	return out
}

func anyBox(r *rand.Rand, reach float64) path.Rect {
	x, y := between(r, -reach, reach), between(r, -reach, reach)
	return path.Rect{Min: pt(x, y), Max: pt(x+between(r, 5, reach/2), y+between(r, 5, reach/2))}
}

var (
	bedHint  = regexp.MustCompile(`^it fits when the page is moved by (\S+), (\S+) mm`)
	workHint = regexp.MustCompile(`^move the work (\S+) mm (to the left|to the right|up|down)`)
	ways     = map[string]path.Point{"to the left": {X: -1}, "to the right": {X: 1}, "up": {Y: 1}, "down": {Y: -1}}
)

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

// What the hints say of moving the work is true, as they say it: the work moved so
// passes the same check.
func TestHintsAreTrue(t *testing.T) {
	seen := map[string]int{}
	for seed := range uint64(6000) {
		r := rand.New(rand.NewPCG(seed, 31))
		p := machine.Examples()[0]
		if r.IntN(2) == 0 {
			p = onBed(between(r, -50, 650), between(r, 0, 400))
		}
		work := anyPiece(r, 500, 500)
		var boxes []path.Rect
		for range r.IntN(4) {
			boxes = append(boxes, anyBox(r, 300))
		}
		err := emit.Check(work.at(path.Point{}), p, boxes...)
		var bed *emit.BedError
		if errors.As(err, &bed) {
			seen[bedHintHolds(t, bed, work, p, boxes, seed)]++
		}
		var clamp *emit.KeepOutError
		if errors.As(err, &clamp) {
			seen[clampHintHolds(t, clamp, work, p, boxes, seed)]++
		}
	}
	for _, kind := range []string{"page", "page and clamps", "turned", "too large", "work", "clamp", "zero"} {
		require.Greater(t, seen[kind], 20, "hints seen: %v", seen)
	}
}

func bedHintHolds(t *testing.T, e *emit.BedError, work piece, p machine.Profile, boxes []path.Rect,
	seed uint64) string {
	t.Helper()
	hint := e.Hint()
	m := bedHint.FindStringSubmatch(hint)
	if m == nil {
		neverFits(t, work, p, seed)
		if strings.HasPrefix(hint, "turned") {
			return "turned"
		}
		return "too large"
	}
	d := path.Point{X: number(t, m[1]), Y: number(t, m[2])}
	err := emit.Check(work.at(d), p)
	require.NoError(t, err, "seed %d: %s", seed, hint)
	if strings.HasSuffix(hint, "mm") {
		require.NoError(t, emit.Check(work.at(d), p, boxes...), "seed %d: %s", seed, hint)
		return "page"
	}
	return "page and clamps"
}

// neverFits tries the places where the work could lie.
func neverFits(t *testing.T, work piece, p machine.Profile, seed uint64) {
	t.Helper()
	for x := -900.0; x <= 900; x += 100 {
		for y := -900.0; y <= 900; y += 100 {
			require.Error(t, emit.Check(work.at(path.Point{X: x, Y: y}), p), "seed %d: it fits at %g, %g", seed, x, y)
		}
	}
}

func clampHintHolds(t *testing.T, e *emit.KeepOutError, work piece, p machine.Profile, boxes []path.Rect,
	seed uint64) string {
	t.Helper()
	hint := e.Hint()
	if e.Zero {
		return "zero"
	}
	m := workHint.FindStringSubmatch(hint)
	if m == nil {
		return "clamp"
	}
	mm := number(t, m[1])
	require.Positive(t, mm, "seed %d: %s", seed, hint)
	d := ways[m[2]].Mul(mm)
	require.NoError(t, emit.Check(work.at(d), p, boxes...), "seed %d: %s", seed, hint)
	return "work"
}
