package work_test

import (
	"testing"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// twoDiscs are filled otherwise each: crossed rows with an edge, and slower ones.
const twoDiscs = `<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="20mm" viewBox="0 0 40 20">
<circle id="a" cx="10" cy="10" r="8"/><path id="b" d="M22 2h16v16h-16z M24 4v12h12v-12z"/></svg>`

func discs(t *testing.T, machine string, mmPerS value.Number) work.Input {
	return input(t, twoDiscs, machine, func(j *job.Job) {
		crossed, after, inset, slower := value.Number(90), "after", value.Length(0.3), mmPerS/2
		j.Fill.Speed, j.Fill.Cross, j.Fill.Outline, j.Fill.Inset = &mmPerS, &crossed, &after, &inset
		edge := value.Number(60)
		j.Fill.OutlineSpeed = &edge
		j.Groups = []job.Group{{Pick: "#b", Fill: job.Fill{Speed: &slower}}}
	})
}

// At other speeds the marks of the first time give what hatching anew gives, to the last
// point: the second way is to make the work from the start.
func TestResequencedIsMadeAnew(t *testing.T) {
	for _, machine := range []string{"example-co2", "example-fibre"} {
		w, err := work.Make(discs(t, machine, 100))
		require.NoError(t, err)
		have := w.Program.Settings[0].SpeedMMPerS
		faster := discs(t, machine, 250)
		want, err := work.Make(faster)
		require.NoError(t, err)

		w.Strokes = w.WithSettings(func(s path.Setting) path.Setting {
			if s.SpacingMM > 0 {
				s.SpeedMMPerS *= 2.5
			}
			return s
		})
		got, err := w.Resequenced(faster)
		require.NoError(t, err)
		require.Equal(t, want.Program, got.Program)
		require.Equal(t, want.Hatched, got.Hatched)
		require.Equal(t, want.Clock, got.Clock)
		require.Equal(t, want.Warnings, got.Warnings)
		require.NotEqual(t, have, got.Program.Settings[0].SpeedMMPerS)
	}
}

// What is resequenced is what was kept: half of the rows give half of the work. Settings
// of the work itself stay as they are.
func TestResequencedHatchesNothing(t *testing.T) {
	w, err := work.Make(input(t, square, "example-fibre", nil))
	require.NoError(t, err)
	half := *w.Marks
	half.Rows = []path.RowSet{half.Rows[0]}
	half.Rows[0].Start = half.Rows[0].Start[:6] // five rows of ten
	half.Rows[0].Spans = half.Rows[0].Spans[:5]
	before := w.Strokes
	before.Marks = &half
	w.Strokes = before.WithSettings(func(s path.Setting) path.Setting { s.SpeedMMPerS = 50; return s })
	got, err := w.Resequenced(w.Input)
	require.NoError(t, err)
	require.InDelta(t, 50, got.Clock.MarkMM, 1e-3)
	require.InDelta(t, 1, got.Clock.Mark.Seconds(), 1e-5) // 50 mm at 50 mm/s
	require.InDelta(t, 100.0, half.Settings[0].SpeedMMPerS, 1e-9)

	w.Marks = nil
	got, err = w.Resequenced(w.Input)
	require.NoError(t, err)
	require.InDelta(t, 100, got.Clock.MarkMM, 1e-3, "hatched anew where nothing was kept")
}
