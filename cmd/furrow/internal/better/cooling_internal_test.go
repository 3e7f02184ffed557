package better

import (
	"math"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit/heat"
	"furrow/path"
	"furrow/path/hatch"

	"github.com/stretchr/testify/require"
)

// What is said of a cooler sequence, and of one that was not worth it.
func TestWordsOfASpread(t *testing.T) {
	for want, s := range map[string]Spread{
		"one row in 4 first: hottest +50 K in place of +80 K, 0:20 longer": {
			Interleave: 4, PlainK: 80, HottestK: 50, PlainS: 100, Seconds: 120,
		},
		"rows in 6 cells, marked far apart: hottest +50 K in place of +80 K, 0:20 shorter": {
			Interleave: 1, Cells: 6, PlainK: 80, HottestK: 50, PlainS: 120, Seconds: 100,
		},
		"one row in 2 first, rows in 6 cells, marked far apart: hottest +5.5 K in place of +8.2 K, in the same time": {
			Interleave: 2, Cells: 6, PlainK: 8.2, HottestK: 5.5, PlainS: 100, Seconds: 100.4,
		},
		"kept the plain sequence: none of 6 other ways is cooler at its hottest, +80 K": {
			Kept: true, Tried: 6, PlainK: 80, HottestK: 80,
		},
		"kept the plain sequence: of 1 other way none is worth it, the best has its hottest at +79 K " +
			"in place of +80 K, in the same time": {
			Kept: true, Tried: 1, PlainK: 80, HottestK: 79,
		},
	} {
		require.Equal(t, want, s.Words())
	}
	for d, want := range map[float64]string{0.5: "0.50 s longer", 0.49: "in the same time", -0.5: "0.50 s shorter",
		-0.49: "in the same time"} {
		require.Equal(t, want, (&Spread{PlainS: 10, Seconds: 10 + d}).cost())
	}
}

func TestWordsOfPauses(t *testing.T) {
	require.Equal(t, "none needed: hottest +55 K, below +60 K", (&Paused{WithoutK: 55, LimitK: 60}).Words())
	p := &Paused{Pauses: 2, Seconds: 5, LongerS: 70, WithoutK: 90, HottestK: 59, LimitK: 60}
	require.Equal(t, "2 pauses, 0:05.0 in all: hottest +59 K in place of +90 K; the job takes 1:10 longer", p.Words())
	p.StillOver = true
	require.Contains(t, p.Words(), "; that is above +60 K, and pauses between rows get it no lower")
	var c Cooling
	require.Empty(t, c.Lines())
	require.Equal(t, heat.Options{}, c.MapOptions())
	c.Spread = &Spread{StepS: 0.25}
	require.Equal(t, heat.Options{StepS: 0.25}, c.MapOptions())
	require.Equal(t, [][2]string{{"spread", c.Spread.Words()}}, c.Lines())
	c.Paused = &Paused{StepS: 0.5}
	require.Equal(t, heat.Options{StepS: 0.5}, c.MapOptions())
	require.Equal(t, [][2]string{{"spread", c.Spread.Words()}, {"pauses", c.Paused.Words()}}, c.Lines())
}

// Rows are interleaved but for groups of which the job says it, and those without rows.
func TestInterleavedGroups(t *testing.T) {
	in := work.Input{Groups: []hatch.Group{{}, {Skip: 1}, {Skip: 3}, {Contours: true}}}
	var skips []int
	for _, g := range interleaved(in, 8) {
		skips = append(skips, g.Skip)
	}
	require.Equal(t, []int{8, 8, 3, 0}, skips)
	require.Zero(t, in.Groups[0].Skip)
	var s *Spread
	require.Equal(t, in, s.on(in))
	require.Equal(t, in, (&Spread{Kept: true, Cells: 6, Interleave: 2}).on(in))
	out := (&Spread{Cells: 6, Interleave: 2}).on(in)
	require.Equal(t, 6, out.Cells)
	require.Equal(t, 2, out.Groups[0].Skip)
}

// Ways are ranked on 80 cells along the longer side, a quarter of a millimetre at the
// least, and a thousandth of the time, a millisecond at the least.
func TestRoughGrid(t *testing.T) {
	at := func(w, h, seconds float64) heat.Options {
		j := job.Job{}
		j.Blank.Width, j.Blank.Height = value.Given(value.Length(w)), value.Given(value.Length(h))
		b := work.Work{Input: work.Input{Resolved: job.Resolved{Job: j, Machine: &settings.Machine{}}}}
		b.Art.Page = path.Rect{Max: path.Point{X: w, Y: h}}
		b.Clock.Mark = time.Duration(seconds * float64(time.Second))
		o, err := roughly(b)
		require.NoError(t, err)
		return o
	}
	require.Equal(t, heat.Options{CellMM: 1, StepS: 0.01}, at(80, 40, 10))
	require.Equal(t, heat.Options{CellMM: 2, StepS: 0.001}, at(40, 160, 0.1))
	require.Equal(t, 0.25, at(10, 10, 10).CellMM)
	_, err := roughly(work.Work{})
	require.ErrorContains(t, err, "heat needs the machine")
}

// Another sequence is taken where it is a twentieth cooler and takes a quarter longer at
// most, and stands for a simpler one where its score is more than a hundredth better; pauses
// for a limit of 60 K that let it get a tenth warmer are placed anew for 54 K.
func TestWhichSequenceIsTaken(t *testing.T) {
	require.True(t, worthTaking(95, 100))
	require.False(t, worthTaking(95.1, 100))
	require.False(t, tooLong(1.25))
	require.True(t, tooLong(1.26))
	require.True(t, beats(98.9, 100))
	require.False(t, beats(99, 100))
	require.InDelta(t, 54, lowered(60, 1.1), 1e-9)
}

// What was found for the first part stays, whatever is found for others.
func TestPausesOfTheFirstPart(t *testing.T) {
	in := work.Input{}
	c := Cooling{Paused: &Paused{LimitK: 7}}
	_, err := c.Pause(in, work.Strokes{})
	require.NoError(t, err)
	require.Equal(t, &Paused{LimitK: 7}, c.Paused)
	in.Job.PauseAt = value.Given(value.Number(9))
	_, err = c.Pause(in, work.Strokes{})
	require.ErrorContains(t, err, "heat needs the machine")
	require.Equal(t, 7.0, c.Paused.LimitK)
	c = Cooling{}
	_, err = c.Pause(in, work.Strokes{})
	require.Error(t, err)
	require.Equal(t, 9.0, c.Paused.LimitK)
}

// A pause's limit is lowered where the work with it passes it; what the pauses cost is the
// difference of two clocks.
func TestWhatPausesCost(t *testing.T) {
	var without, with work.Work
	without.Clock.Mark, with.Clock.Mark = 10*time.Second, 16*time.Second
	with.Program.Rests = []path.Rest{{For: 2 * time.Second}, {For: 3 * time.Second}, {For: time.Second}}
	p := Paused{LongestS: 100}
	p.tell(without, with)
	require.Equal(t, Paused{Pauses: 3, Seconds: 6, LongestS: 3, LongerS: 6}, p)
	require.False(t, math.IsNaN(p.LimitK))
}
