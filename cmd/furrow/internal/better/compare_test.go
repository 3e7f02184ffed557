package better_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/better"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"

	"github.com/stretchr/testify/require"
)

// strip is long and narrow: rows along it take the least time.
const strip = `<svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="100mm">
<rect width="100%" height="100%"/></svg>`

// question asks for a strip on the example gantry, with settings of the command line.
func question(t *testing.T) better.Question {
	t.Helper()
	m, err := settings.FindMachine("example-co2")
	require.NoError(t, err)
	speed, power := value.Number(150), value.Number(40)
	return better.Question{
		Name: "strip.svg", Job: job.Job{Furrow: 1, Artwork: job.Artwork{File: "strip.svg"}},
		Asked:    job.Request{Fill: job.Fill{Spacing: &value.Spacing{MM: 0.5}, Speed: &speed, Power: &power}},
		Machines: []settings.Machine{m}, Quantity: 1,
		Read:    func(j job.Resolved) (work.Drawing, error) { return work.Read(strings.NewReader(strip), j) },
		Observe: func(string) work.Observer { return work.Observer{} },
		Step:    func() {},
	}
}

// What is better is found on work made anew: the work itself stays as it was. The rows
// along the strip save what the clock says of the work done so.
func TestBetterLeavesTheWorkAlone(t *testing.T) {
	c, err := better.Compare(question(t))
	require.NoError(t, err)
	e := c.Machines[0]
	require.Equal(t, []float64{0}, e.Work.Groups[0].Angles)
	require.False(t, e.Work.Turned)
	again, err := work.Make(e.Work.Input)
	require.NoError(t, err)
	require.Equal(t, e.Work.Clock, again.Clock)
	require.Equal(t, e.Work.Program, again.Program)

	i := slices.IndexFunc(e.Better, func(b better.Improvement) bool { return b.Change == "rows turned by 90 degrees" })
	require.GreaterOrEqual(t, i, 0)
	in := e.Work.Input
	in.Groups = slices.Clone(in.Groups)
	in.Groups[0].Angles = []float64{90}
	along, err := work.Make(in)
	require.NoError(t, err)
	require.InDelta(t, (e.Work.Clock.Total() - along.Clock.Total()).Seconds(), e.Better[i].Saved, 1e-9)
	require.Positive(t, e.Better[i].Saved)
}

// The best angle of a strip is along it.
func TestBestAngleRunsAlongTheStrip(t *testing.T) {
	q := question(t)
	q.Asked.Fill.Angle = &value.Angles{}
	c, err := better.Compare(q)
	require.NoError(t, err)
	require.Equal(t, []float64{90}, c.Machines[0].Work.Groups[0].Angles)
}

// An error is not "does not fit": only a machine without room makes work unfit.
func TestErrorsAreNoMisfits(t *testing.T) {
	q := question(t)
	broken := errors.New("the disk is gone")
	q.Read = func(job.Resolved) (work.Drawing, error) { return work.Drawing{}, broken }
	_, err := better.Compare(q)
	require.ErrorIs(t, err, broken)

	q = question(t)
	long := value.Length(500)
	q.Asked.Artwork.Height = &long
	c, err := better.Compare(q)
	require.NoError(t, err)
	require.Empty(t, c.Machines)
	require.Equal(t, "if turned", c.Unfit[0].Fits) // 50 x 500 mm on a bed of 600 x 400 mm
}

// Hours are those of all parts with loading, and so are the hours that a change saves.
func TestHoursAreOfTheQuantity(t *testing.T) {
	q := question(t)
	q.Quantity, q.LoadingS = 12, 30
	c, err := better.Compare(q)
	require.NoError(t, err)
	e := c.Machines[0]
	require.InDelta(t, 12*(e.Figures.Seconds+30)/3600, e.Hours, 1e-9)
	require.NotEmpty(t, e.Better)
	for _, b := range e.Better {
		require.InDelta(t, 12*b.Saved/3600, b.Hours, 1e-9)
		require.InDelta(t, e.Figures.Seconds-b.Saved, b.Seconds, 1e-6)
	}
}

// The part that is turned is the work made with it turned: rows as long as the strip.
func TestTurnedPartIsMadeTurned(t *testing.T) {
	c, err := better.Compare(question(t))
	require.NoError(t, err)
	e := c.Machines[0]
	in := e.Work.Input
	in.Turned = true
	turned, err := work.Make(in)
	require.NoError(t, err)
	require.Equal(t, 20, turned.Hatched.Rows) // 10 mm in rows 0.5 mm apart
	i := slices.IndexFunc(e.Better, func(b better.Improvement) bool {
		return strings.HasPrefix(b.Change, "the part turned")
	})
	require.GreaterOrEqual(t, i, 0)
	require.InDelta(t, (e.Work.Clock.Total() - turned.Clock.Total()).Seconds(), e.Better[i].Saved, 1e-9)
}
