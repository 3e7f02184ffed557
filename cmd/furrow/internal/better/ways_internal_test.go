package better

import (
	"errors"
	"slices"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/path"
	"furrow/path/hatch"

	"github.com/stretchr/testify/require"
)

func changes(all []way) (said []string) {
	for _, o := range all {
		said = append(said, o.change)
	}
	return said
}

// The ways to do rows otherwise: turned, the part turned, one direction of two, and at
// the angle that takes the least time, where that is not along or across.
func TestOtherWaysOfRows(t *testing.T) {
	ways := func(degrees float64, change func(*job.Job)) (done, []way) {
		w, err := work.Make(drawing(t, bar("a", degrees), change))
		require.NoError(t, err)
		all, err := done{w}.otherWays()
		require.NoError(t, err)
		return done{w}, all
	}
	const rowsTurned, partTurned = "rows turned by 90 degrees",
		"the part turned by 90 degrees, rows along the same axis"
	_, all := ways(0, nil)
	require.Equal(t, []string{rowsTurned, partTurned}, changes(all))
	require.False(t, all[0].turned)
	require.True(t, all[1].turned)
	require.Nil(t, all[1].fill)
	f := hatch.Group{Angles: []float64{20}}
	all[0].fill(0, &f)
	require.Equal(t, []float64{110}, f.Angles)
	b, all := ways(30, func(j *job.Job) { j.Fill.Cross = value.Given(value.Number(45)) })
	require.Equal(t, "one direction of rows instead of two", all[2].change)
	f = hatch.Group{Cross: 45}
	all[2].fill(0, &f)
	require.Zero(t, f.Cross)
	require.Len(t, all, 4)
	for group, want := range [][]float64{all[3].anglesOf(0), {7}} {
		f = hatch.Group{Angles: []float64{7}}
		all[3].fill(group, &f)
		require.Equal(t, want, f.Angles)
	}
	_, all = ways(30, nil)
	require.Equal(t, "rows at 30 degrees", all[2].change)
	require.Equal(t, []float64{30}, all[2].anglesOf(0))
	_, all = ways(90, nil)
	require.Equal(t, []string{rowsTurned, partTurned}, changes(all), "upright is a quarter turn")
	b.Groups[0].Contours = true
	all, err := b.otherWays()
	require.NoError(t, err)
	require.Empty(t, all)
}

func (o way) anglesOf(group int) []float64 {
	var f hatch.Group
	o.fill(group, &f)
	return f.Angles
}

// A variant is the work made anew: turned back where it was turned, and none where the
// machine has no room.
func TestVariants(t *testing.T) {
	w, err := work.Make(drawing(t, bar("a", 0), nil))
	require.NoError(t, err)
	b := done{w}
	b.Observe.Stage = func(string, func() error) error { return errors.New("nobody hears of it") }
	_, err = b.atSpeed(50, false)
	require.NoError(t, err)
	v, err := b.variant(quarterTurn(false, true))
	require.NoError(t, err)
	require.True(t, v.Turned)
	require.InDelta(t, w.Program.Bounds().W(), v.Program.Bounds().W(), 60)
	back, err := v.variant(quarterTurn(true, true))
	require.NoError(t, err)
	require.False(t, back.Turned)
	require.Equal(t, []float64{90}, back.Groups[0].Angles)
	require.Equal(t, []float64{0}, b.Groups[0].Angles)
	none, err := unlessUnfit(work.Work{}, &work.UnfitError{})
	require.NoError(t, err)
	require.Nil(t, none)
	_, err = unlessUnfit(work.Work{}, errors.New("broken"))
	require.EqualError(t, err, "broken")
	some, err := unlessUnfit(w, nil)
	require.NoError(t, err)
	require.Equal(t, w.Clock, some.Clock)
}

// Half of 40 W at 100 mm/s in rows 0.1 mm apart are 200 J/cm2; in rows 0.2 mm apart 100.
func TestDrawbacks(t *testing.T) {
	at := func(spacing, speed float64) done {
		return doneOn(t, "example-co2", path.Setting{SpeedMMPerS: speed, Power: 0.5, SpacingMM: spacing})
	}
	o := way{quality: "lines visible"}
	require.Equal(t, "lines visible; same dose", o.drawback(at(0.1, 100), at(0.1, 100)))
	require.Equal(t, "lines visible; dose 100 instead of 200 J/cm2", o.drawback(at(0.1, 100), at(0.2, 100)))
	require.Equal(t, "same dose", at(0.1, 100).speedPrice(at(0.2, 50)))
	require.Equal(t, "dose 100 instead of 200 J/cm2: prove it on scrap", at(0.1, 100).speedPrice(at(0.1, 200)))
	require.Equal(t, "rows at 200 mm/s instead of 100.4", at(0.1, 100.4).speedWords(at(0.1, 200), false))
	require.Equal(t, "rows at 200 mm/s instead of 100, power 50 % instead of 50", at(0.1, 100).
		speedWords(at(0.1, 200), true))
	require.Equal(t, "x; dose 133.3 instead of 66.7 J/cm2", way{quality: "x"}.drawback(at(0.3, 100), at(0.15, 100)))
	require.Equal(t, "dose 133.3 instead of 66.7 J/cm2: prove it on scrap", at(0.3, 100).speedPrice(at(0.15, 100)))
	third := at(0.1, 100)
	third.Groups[0].Setting.Power = 1. / 3
	require.Equal(t, "rows at 200 mm/s instead of 100.1, power 33.3 % instead of 50", at(0.1, 100.123).
		speedWords(third.faster(200.345), true))
	require.Equal(t, "rows at 100 mm/s instead of 100, power 50 % instead of 33.3",
		third.speedWords(at(0.1, 100), true))
	require.Equal(t, 100.0, at(0.1, 100).rowSpeed())
	outline := at(0.1, 100)
	outline.Groups[0].Outline.When = hatch.Only
	require.Zero(t, outline.rowSpeed())
	require.Equal(t, 200.0, at(0.1, 100).doseSpeed(100), "half of the power is twice as much at the most")
	// 50 kHz at 100 mm/s are 500 pulses a mm of 0.06 mm: they overlap by 1 - 1/30.
	pulses := doneOn(t, "example-fibre", path.Setting{SpeedMMPerS: 100, Power: 0.5, SpacingMM: 0.1,
		FrequencyHz: 50_000, PulseNS: 100})
	require.Equal(t, "same dose; pulses overlap by 97 %", pulses.speedPrice(pulses))
	// At 3600 mm/s they are 0.072 mm from each other, 1.2 of their 0.06 mm.
	pulses.Groups[0].Setting.SpeedMMPerS = 3600
	require.Equal(t, "same dose; pulses stand apart, 20 % of a mark between them", pulses.speedPrice(pulses))
	require.Equal(t, "", at(0.1, 100).otherGroups())
	two := doneOn(t, "example-co2", path.Setting{SpeedMMPerS: 100}, hatch.Group{})
	require.Equal(t, " (other groups in the same ratio)", two.otherGroups())
}

// faster is the same at another speed of the rows.
func (b done) faster(mmPerS float64) done {
	b.Groups = slices.Clone(b.Groups)
	b.Groups[0].Setting.SpeedMMPerS = mmPerS
	return b
}

// A galvo without pulses is as quick as its scanner; the words say what bounds it.
func TestWhatBoundsAGalvo(t *testing.T) {
	set := path.Setting{SpeedMMPerS: 1000, Power: 0.5, SpacingMM: 0.1, FrequencyHz: 50_000, PulseNS: 100}
	b := doneOn(t, "example-fibre", set)
	b.Machine.Galvo.MaxSpeedMMPerS = 7000
	require.Equal(t, "fastest without gaps between pulses", b.quickestWords(7000))
	require.Equal(t, "as fast as the scanner goes", b.quickestWords(1500))
	b.Groups[0].Setting.SpeedMMPerS = 1500
	require.Empty(t, b.quickestWords(7000))
	l := b.Machine.Laser
	l.FrequencyKHz = nil
	b.Machine.Laser = l
	require.Equal(t, 7000.0, b.quickestSpeed())
	b.Groups[0].Setting.SpeedMMPerS = 7500
	require.Equal(t, 7500.0, b.quickestSpeed())
	require.Equal(t, "quickest", doneOn(t, "example-co2", set).quickestWords(1))
}

// At half of the speed with half of the power rows lay down the same; outlines stay.
func TestSpeedsOfEveryFill(t *testing.T) {
	w, err := work.Make(drawing(t, bar("a", 0)+bar("b", 90), func(j *job.Job) {
		before := "before"
		j.Fill.Outline, j.Fill.OutlineSpeed = &before, value.Given(value.Number(30))
		j.Groups = []job.Group{{Pick: "#b", Fill: job.Fill{Speed: value.Given(value.Number(60)),
			Power: value.Given(value.Number(20))}}}
	}))
	require.NoError(t, err)
	for _, same := range []bool{false, true} {
		v, err := done{w}.atSpeed(50, same)
		require.NoError(t, err)
		power := map[bool][]float64{false: {0.4, 0.2}, true: {0.2, 0.1}}[same]
		for i, g := range v.Groups {
			require.InDelta(t, []float64{50, 30}[i], g.Setting.SpeedMMPerS, 0.02)
			require.InDelta(t, power[i], g.Setting.Power, 0.001)
		}
		for i, s := range v.Program.Settings {
			was := w.Program.Settings[i]
			if was.SpacingMM == 0 {
				require.Equal(t, was, s, "an outline")
			} else {
				require.InDelta(t, was.SpeedMMPerS/2, s.SpeedMMPerS, 0.02)
			}
		}
		odd, err := done{w}.atSpeed(37.7, same)
		require.NoError(t, err)
		for _, s := range append(slices.Clone(odd.Program.Settings), odd.Groups[0].Setting) {
			require.Equal(t, w.Machine.Rounded(s), s, "as the file has it")
		}
		require.InDelta(t, 40, 100*w.Groups[0].Setting.Power, 0, "the work itself stays")
		require.Greater(t, v.Clock.Total(), w.Clock.Total())
	}
}

// What saves a hundredth of the time is noted, with the hours of the quantity.
func TestNotedImprovements(t *testing.T) {
	var w, quick work.Work
	w.Clock.Mark, quick.Clock.Mark = 100*time.Second, 99*time.Second
	e := &Entry{Work: &w, Ranked: &Ranked{}}
	e.note(36, done{quick}, "a", "b")
	require.Equal(t, []Improvement{{Change: "a", Seconds: 99, Saved: 1, Hours: 0.01, Drawback: "b"}}, e.Better)
	quick.Clock.Mark += time.Millisecond
	e.note(36, done{quick}, "c", "d")
	require.Len(t, e.Better, 1)
}

// A galvo's rows are as quick either way: there is nothing to advise.
func TestNoAdviceForAGalvo(t *testing.T) {
	w, err := work.Make(drawing(t, bar("a", 90), func(j *job.Job) {
		j.Machine, j.Fill.Frequency = "example-fibre", &value.Frequency{Hz: 50_000}
	}))
	require.NoError(t, err)
	all, err := Advise(w)
	require.NoError(t, err)
	require.Empty(t, all)
}
