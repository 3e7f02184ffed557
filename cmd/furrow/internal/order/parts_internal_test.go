package order

import (
	"testing"

	"furrow/cmd/furrow/internal/fixture"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit/clock"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

func pt(x, y float64) path.Point { return path.Point{X: x, Y: y} }

func rect(x0, y0, x1, y1 float64) path.Rect { return path.Rect{Min: pt(x0, y0), Max: pt(x1, y1)} }

// bare is an order on a machine that nothing was made of: blanks of 30 x 20 mm, whose page
// lies at 5,5, and parts of these looks.
func bare(t *testing.T, machine string, looks ...int) *Order {
	t.Helper()
	m, err := settings.FindMachine(machine)
	require.NoError(t, err)
	o := &Order{
		Input: Input{Resolved: job.Resolved{Machine: &m}, Name: "load"},
		Blank: fixture.Blank{Size: pt(30, 20)}, parts: map[int]Part{},
	}
	o.One.Art.Page = rect(5, 5, 35, 25)
	for i, l := range looks {
		p := Part{Number: i + 1, Look: l}
		o.Numbers, o.Source.Parts, o.parts[i+1] = append(o.Numbers, i+1), append(o.Source.Parts, p), p
	}
	return o
}

// Rows run across blanks of one look that lie side by side and are not turned, where they
// are asked to.
func TestRunsOfSeats(t *testing.T) {
	o := bare(t, "example-co2", 7, 7, 7, 8, 7, 7, 7, 7, 7)
	l := Load{Load: fixture.Load{Number: 1}}
	for i, p := range []fixture.Pocket{{At: pt(0, 0)}, {At: pt(40, 0)}, {At: pt(80, 0)}, {At: pt(120, 0)}, {At: pt(0,
		30)},
		{At: pt(40, 30)}, {At: pt(80, 30), Turn: 180}, {At: pt(120, 30)}, {At: pt(160, 30)}} {
		p.Number = i + 1
		l.Seats = append(l.Seats, fixture.Seat{Part: i + 1, Pocket: p})
	}
	require.Equal(t, []run{{0, 1}, {1, 2}, {2, 3}, {3, 4}, {4, 5}, {5, 6}, {6, 7}, {7, 8}, {8, 9}}, o.runs(l))
	across := "across"
	o.Job.Fixture.Sequence = &across
	require.Equal(t, []run{{0, 3}, {3, 4}, {4, 6}, {6, 7}, {7, 9}}, o.runs(l))
}

// How far the head goes about a blank: on a gantry with its moves, on a galvo with its
// marks, both turned with the blank. Of 30 x 20 mm, x and y turned by 90 degrees come to
// 20 - y and x.
func TestBeyondABlank(t *testing.T) {
	near := func(want, got path.Rect) {
		t.Helper()
		require.InDelta(t, 0, want.Min.Dist(got.Min)+want.Max.Dist(got.Max), 1e-9, "%v", got)
	}
	gantry, galvo := bare(t, "example-co2"), bare(t, "example-fibre")
	for _, o := range []*Order{gantry, galvo} {
		o.One.Clock = clock.Report{Moves: rect(3, 8, 37, 20), Marks: rect(7, 8, 33, 20)}
	}
	near(rect(-2, 3, 32, 15), gantry.beyond(0))
	near(rect(2, 3, 28, 15), galvo.beyond(0))
	near(rect(5, -2, 17, 32), gantry.beyond(90))
	near(rect(2, 5, 28, 17), galvo.beyond(180))
	// By hand, X0 Y0 of the first blank has to be 2 mm in the bed.
	bed := gantry.Machine.Gantry.BedMM
	near(rect(-2, 0, bed[0]-2, bed[1]), gantry.area().Room)
	gantry.One.Clock.Moves = rect(6, 1, 37, 20)
	near(rect(0, -4, bed[0], bed[1]-4), gantry.area().Room)
	gantry.Machine.Gantry.Zero = "bed"
	near(gantry.Machine.Gantry.Bed(), gantry.area().Room)
	field := galvo.Machine.Galvo.FieldMM
	near(rect(-field[0]/2, -field[1]/2, field[0]/2, field[1]/2), galvo.area().Room)
	galvo.Job.Fixture.Gap = []value.Length{3, 5}
	require.InDelta(t, 5, galvo.area().GapMM, 0)
	galvo.Job.Fixture.Gap = []value.Length{6, 5}
	require.InDelta(t, 6, galvo.area().GapMM, 0)
}

// Pockets are a pitch apart, or a gap beyond the room that a turned blank takes.
func TestGridOfTheJob(t *testing.T) {
	o := bare(t, "example-co2")
	require.Equal(t, fixture.Grid{Columns: 1, Rows: 1, Pitch: pt(30, 20)}, o.grid())
	columns, rows, turn, yes := value.Count(3), value.Count(2), value.Number(90), true
	f := &o.Job.Fixture
	f.Columns, f.Rows, f.Turn, f.HalfTurns = &columns, &rows, &turn, &yes
	f.Gap, f.First = []value.Length{4, 6}, []value.Length{7, 9}
	g := o.grid()
	require.InDelta(t, 0, g.Pitch.Dist(pt(24, 36)), 1e-9)
	g.Pitch = path.Point{}
	require.Equal(t, fixture.Grid{Columns: 3, Rows: 2, First: pt(7, 9), Turn: 90, HalfTurns: true}, g)
	f.Pitch = []value.Length{50, 60}
	require.Equal(t, pt(50, 60), o.grid().Pitch)
	require.Equal(t, path.Point{}, pair([]value.Length{4}))
}
