package order

import (
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/fixture"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/path"
)

// A round blank that lies aslant fills less than the room of its rectangle: a circle of 60 mm
// 60 mm, an oval of 60 x 20 mm at 30 degrees 2·√(900·3/4 + 100/4) = 52.915 mm across and
// 2·√(900/4 + 100·3/4) = 34.641 mm up. Only of the circle does a file tell then.
func TestRoundBlankAslant(t *testing.T) {
	for _, tt := range []struct {
		blank, fills path.Point
		turn         float64
		told         int
	}{
		{path.Point{X: 60, Y: 60}, path.Point{X: 60, Y: 60}, 45, 1},
		{path.Point{X: 60, Y: 20}, path.Point{X: 52.915, Y: 34.641}, 30, 0},
		{path.Point{X: 60, Y: 20}, path.Point{X: 20, Y: 60}, 90, 1},
	} {
		o := &Order{}
		o.Blank, o.Job.Blank.Shape = tt.blank, value.Given(job.ShapeRound)
		w, h := value.Length(tt.blank.X), value.Length(tt.blank.Y)
		o.Job.Blank.Width, o.Job.Blank.Height = &w, &h
		p := fixture.Pocket{Number: 1, At: path.Point{X: 5, Y: 7}, Turn: tt.turn}
		r := o.blankIn(p)
		require.InDelta(t, tt.fills.X, r.W(), 1e-3)
		require.InDelta(t, tt.fills.Y, r.H(), 1e-3)
		middle := p.Place(tt.blank).Apply(tt.blank.Mul(0.5))
		require.InDelta(t, 0, r.Centre().Dist(middle), 1e-9)
		told := o.blanks(Load{Load: fixture.Load{Seats: []fixture.Seat{{Pocket: p, Part: 1}}}})
		require.Len(t, told, tt.told)
		o.Job.Blank.Shape = nil
		require.Equal(t, p.Room(tt.blank), o.blankIn(p))
	}
}
