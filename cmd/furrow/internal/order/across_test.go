package order_test

import (
	"fmt"
	"path/filepath"
	"testing"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/words"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// Rows across two parts side by side are marked as one, and half of their time is each
// one's. That is done where it saves time, and the words tell how much of the time of one
// load that is; on a gantry whose rows lie 15 mm apart it saves turns.
func TestRowsAcrossParts(t *testing.T) {
	across := "across"
	with := func(j *job.Job) { j.Fixture.Sequence = &across }
	for _, machine := range []string{"example-co2", "example-fibre"} {
		plain, together := plan(t, input(t, machine, 4, nil)), plan(t, input(t, machine, 4, with))
		one, err := plain.Make(plain.Loads[0])
		require.NoError(t, err)
		two, err := together.Make(together.Loads[0])
		require.NoError(t, err)
		require.Len(t, one.Runs, 4)
		require.Len(t, two.Runs, 2)
		require.Len(t, one.Moves.Notes, 4)
		require.Equal(t, "pockets 1, 2", two.Moves.Notes[0].Text)
		require.Equal(t, "pockets 3, 4", two.Moves.Notes[1].Text)
		require.Len(t, two.Parts, 4)
		require.Equal(t, two.Parts[0], two.Parts[1])
		require.Equal(t, two.Parts[2], two.Parts[3])
		require.InDelta(t, two.Clock.Total().Seconds(), 2*(two.Parts[0]+two.Parts[2]).Seconds(), 1e-6)
		p, err := two.Moves.Program()
		require.NoError(t, err)
		require.Len(t, p.Strokes, 40)
		// Ten rows of each of the two, and then those of the other two, 25 mm above.
		marked := [4]int{}
		low, left := p.Bounds().Min.Y, p.Bounds().Min.X
		for i := range p.Strokes {
			at := path.BoundsOf(p.PointsOf(i)).Centre()
			n := 0
			if at.X > left+17.5 {
				n++
			}
			if at.Y > low+17.5 {
				n += 2
			}
			marked[n]++
			require.Equal(t, i >= 20, n >= 2)
		}
		require.Equal(t, [4]int{10, 10, 10, 10}, marked)
		saved := one.Clock.Total() - two.Clock.Total()
		_, w := made(t, input(t, machine, 4, with), filepath.Join(t.TempDir(), "out"))
		if saved > 0 {
			require.Equal(t, fmt.Sprintf("rows run across parts: saves %s a load; a stop leaves up to 2 parts half "+
				"done",
				words.Saving(saved, two.Clock.Total())), w.Across)
			require.Equal(t, two.Clock.Total(), w.Files[0].Time)
		} else {
			require.Equal(t, fmt.Sprintf("part after part: rows across them would take %s more",
				words.Saving(-saved, one.Clock.Total())), w.Across)
			require.Equal(t, one.Clock.Total(), w.Files[0].Time)
		}
	}
	_, w := made(t, input(t, "example-fibre", 4, nil), filepath.Join(t.TempDir(), "out"))
	require.Empty(t, w.Across)
}

// 40 % of 50 W at 100 mm/s in rows 1 mm apart are 20 J/cm2. Pictures of a blank of 20 mm
// have 200 dots an inch.
func TestWhatASheetSaysOfSettings(t *testing.T) {
	o := plan(t, input(t, "example-fibre", 2, nil))
	s := o.SheetSettings()
	require.Len(t, s, 1)
	got := map[string]string{}
	for _, f := range s[0].Facts {
		got[f.Label] = f.Text
	}
	pulses := got["Pulses"]
	delete(got, "Pulses")
	require.Equal(t, map[string]string{
		"Speed": "100 mm/s", "Power": "40 percent", "Spacing": "1 mm", "Fill": "rows at 0 degrees", "Dose": "20 J/cm2",
		"Focus": "on the material's surface", "Air": "off",
	}, got)
	require.Regexp(t, `^50 kHz, \d+ ns$`, pulses)
	p, err := o.FirstPicture()
	require.NoError(t, err)
	img, err := p.Image()
	require.NoError(t, err)
	require.InDelta(t, float64(img.Bounds().Dx())*25.4/200, p.WMM, 1e-9)
	require.InDelta(t, float64(img.Bounds().Dy())*25.4/200, p.HMM, 1e-9)
	require.Greater(t, p.WMM, 22.0, "with its rulers")
	require.Equal(t, "tree tags", o.Title())
	require.Equal(t, "20 x 20 mm", o.BlankWords())
	require.Equal(t, 2, o.Quantity())
}
