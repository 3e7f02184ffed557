package order_test

import (
	"fmt"
	"image"
	"path/filepath"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/sheet"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
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
		if machine == "example-co2" { // a quarter of a second in eight; on the galvo a seventieth in four
			require.Equal(t, fmt.Sprintf("rows run across parts: saves %s a load; a stop leaves up to 2 parts half "+
				"done",
				words.Saving(saved, two.Clock.Total())), w.Across)
			require.Equal(t, two.Clock.Total(), w.Files[0].Time)
		} else {
			require.Equal(t, "part after part: rows across them would take as long", w.Across)
			require.Equal(t, one.Clock.Total(), w.Files[0].Time)
		}
	}
	_, w := made(t, input(t, "example-fibre", 4, nil), filepath.Join(t.TempDir(), "out"))
	require.Empty(t, w.Across)
	_, w = made(t, input(t, "example-fibre", 1, with), filepath.Join(t.TempDir(), "out"))
	require.Empty(t, w.Across, "there is nothing beside it")
}

// Three bars of half a millimetre, of which two lie side by side, take as long either way on
// a gantry, to half a percent: part after part a stop leaves no two of them half done.
func TestRowsAcrossThatSaveNothing(t *testing.T) {
	const bar = `<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20">
<rect x="9" y="1" width="0.5" height="18"/></svg>`
	across := "across"
	with := func(j *job.Job) { j.Fixture.Sequence = &across }
	one := plan(t, of(t, input(t, "example-co2", 3, nil), bar))
	plain, err := one.Make(one.Loads[0])
	require.NoError(t, err)
	two := plan(t, of(t, input(t, "example-co2", 3, with), bar))
	together, err := two.Make(two.Loads[0])
	require.NoError(t, err)
	require.Len(t, together.Runs, 2)
	require.InEpsilon(t, plain.Clock.Total(), together.Clock.Total(), 0.0025)
	_, w := made(t, of(t, input(t, "example-co2", 3, with), bar), filepath.Join(t.TempDir(), "out"))
	require.Equal(t, "part after part: rows across them would take as long", w.Across)
	require.Equal(t, plain.Clock.Total(), w.Files[0].Time)
	require.Equal(t, plain.Parts, w.Files[0].Parts)
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

// Speeds to a thousandth of a millimetre in a second, powers to a hundredth of a percent,
// spacings to a tenth of a micrometre, frequencies to a hertz. By hand 40 W in thousandths
// of which the gantry takes 333, over 33.333 mm/s and 0.123456 mm, is 323.7 J/cm2.
func TestHowFinelySettingsAreTold(t *testing.T) {
	speed, power, spacing := value.Number(33.33349), value.Number(33.33349), value.Spacing{MM: 0.123456}
	with := func(j *job.Job) {
		j.Fill.Speed, j.Fill.Power, j.Fill.Spacing = &speed, &power, &spacing
		if j.Machine == "example-fibre" {
			j.Fill.Frequency = &value.Frequency{Hz: 33_333.49}
		}
	}
	told := func(machine string) map[string]string {
		all := map[string]string{}
		for _, f := range plan(t, input(t, machine, 1, with)).SheetSettings()[0].Facts {
			all[f.Label] = f.Text
		}
		return all
	}
	got := told("example-co2")
	require.Equal(t, []string{"33.333 mm/s", "33.33 percent (33.3 in the controller's steps)", "0.1235 mm",
		"323.7 J/cm2", "", "off"}, []string{
		got["Speed"], got["Power"], got["Spacing"], got["Dose"], got["Pulses"], got["Air"]})
	got = told("example-fibre")
	require.Regexp(t, `^33\.333 kHz, \d+ ns$`, got["Pulses"])
	require.Equal(t, "33.33 percent", got["Power"])
	// Outlines alone have no rows.
	only := "only"
	o := plan(t, input(t, "example-co2", 1, func(j *job.Job) { j.Fill.Outline = &only }))
	var labels []string
	for _, f := range o.SheetSettings()[0].Facts {
		labels = append(labels, f.Label)
	}
	require.NotContains(t, labels, "Spacing")
	require.NotContains(t, labels, "Dose")
}

// The proof's picture is of the first part that is made, on its blank; a page of the same
// size stands for a blank that nobody gave the size of.
func TestPictureOfTheFirstPart(t *testing.T) {
	draw := func(change func(*job.Job)) (sheet.Picture, image.Image) {
		p, err := plan(t, input(t, "example-co2", 1, change)).FirstPicture()
		require.NoError(t, err)
		img, err := p.Image()
		require.NoError(t, err)
		return p, img
	}
	single := func(j *job.Job) { j.Fixture = job.Fixture{} }
	_, blank := draw(single)
	_, page := draw(func(j *job.Job) { j.Fixture, j.Blank = job.Fixture{}, job.Blank{} })
	require.Equal(t, blank, page)

	in := input(t, "example-co2", 3, func(j *job.Job) { j.Fixture, j.Blank = job.Fixture{}, job.Blank{} })
	for i := range in.Source.Parts {
		in.Source.Parts[i].Look = i
	}
	in.Source.Draw = func(look int) (work.Drawing, error) { // of 20, 40 and 60 mm
		art := strings.NewReplacer(`"20mm"`, fmt.Sprintf(`"%dmm"`, 20*(look+1)), "0 0 20 20",
			fmt.Sprintf("0 0 %d %d", 20*(look+1), 20*(look+1))).Replace(square)
		return work.Read(strings.NewReader(art), in.Resolved)
	}
	in.Numbers = []int{2, 3}
	o := plan(t, in)
	_, err := o.Make(o.Loads[len(o.Loads)-1]) // the other is drawn last
	require.NoError(t, err)
	p, err := o.FirstPicture()
	require.NoError(t, err)
	require.InDelta(t, 40, p.WMM, 2)
	require.InDelta(t, 40, p.HMM, 2)
}
