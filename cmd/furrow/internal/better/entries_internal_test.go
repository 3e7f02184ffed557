package better

import (
	"errors"
	"fmt"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/hatch"

	"github.com/stretchr/testify/require"
)

func size(w, h float64) path.Rect { return path.Rect{Max: path.Point{X: w, Y: h}} }

// Machines are ranked by the hours of the quantity, loading included, and those alike by
// their name; lists without any are lists.
func TestRanks(t *testing.T) {
	c := &Comparison{Quantity: 120, LoadingS: 30}
	for _, m := range []struct {
		id string
		s  float64
	}{{"b", 60}, {"c", 30}, {"a", 60}} {
		c.add(&Entry{Machine: m.id, Ranked: &Ranked{Figures: figures.Figures{Seconds: m.s}}})
	}
	c.add(&Entry{Machine: "d", Fits: "no"})
	c.add(&Entry{Machine: "e"})
	c.rank()
	var got []string
	for _, e := range c.Machines {
		got = append(got, fmt.Sprintf("%s %g", e.Machine, e.Hours))
	}
	require.Equal(t, []string{"c 2", "a 3", "b 3"}, got)
	require.Equal(t, "d", c.Unfit[0].Machine)
	require.Equal(t, "e", c.Unranked[0].Machine)
	require.Equal(t, c.Machines[:2], c.Looked())
	c.Machines = c.Machines[:1]
	require.Len(t, c.Looked(), 1)
	none := &Comparison{}
	none.rank()
	require.NotNil(t, none.Machines)
	require.NotNil(t, none.Unfit)
	require.NotNil(t, none.Unranked)
}

// Settings that no recipe gives are named by where they come from.
func TestWhatStandsInForARecipe(t *testing.T) {
	require.Equal(t, "flags", standIn("", "command line"))
	require.Equal(t, "the job", standIn("", "tag.toml"))
	require.Equal(t, "mine and flags", standIn("mine", "command line"))
	require.Equal(t, "mine and the job", standIn("mine", "tag.toml"))
}

// Another machine than the job's own does not get what follows from its beam, nor clamps.
func TestJobOnAnotherMachine(t *testing.T) {
	j := job.Job{Machine: "example-co2", Recipe: "example-co2-birch", KeepOut: []machine.Clamp{{0, 0, 1, 1}}}
	j.Fill.Speed, j.Fill.Spacing = value.Given(value.Number(100)), &value.Spacing{MM: 1}
	j.Fill.Angle = &value.Angles{30}
	at := func(id string) job.Job { return jobFor(j, settings.Machine{Profile: machine.Profile{ID: id}}) }
	own, other := at("example-co2"), at("example-diode")
	require.Empty(t, own.Recipe+other.Recipe)
	require.NotNil(t, own.Fill.Speed)
	require.NotEmpty(t, own.KeepOut)
	require.Nil(t, other.Fill.Speed)
	require.NotNil(t, other.Fill.Angle)
	require.Empty(t, other.KeepOut)
	j.Machine, j.Recipe = "", ""
	require.NotNil(t, at("example-diode").Fill.Speed)
}

// Set-ups of 110 x 60 mm: 200 x 50 mm are two upright, 50 x 200 are two turned.
func TestSetUps(t *testing.T) {
	room := path.Point{X: 110, Y: 60}
	for size, want := range map[path.Point]int{
		{X: 200, Y: 50}: 2, {X: 50, Y: 200}: 2, {X: 110, Y: 60}: 1, {X: 110.1, Y: 60.1}: 2, {X: 110.1, Y: 110.1}: 4,
		{X: 220, Y: 120}: 4, {X: 60, Y: 330}: 3,
	} {
		require.Equal(t, want, setUps(size, room), size)
	}
	at := func(x, y float64) path.Point { return path.Point{X: x, Y: y} }
	require.Equal(t, "if moved", fitWords(size(10, 10), at(130, 60), at(130, 60)))
	require.Equal(t, "if turned", fitWords(size(10, 10), at(60, 130), at(130, 60)))
	require.Equal(t, "no", fitWords(size(10, 10), at(140, 20), at(130, 60)), "run-ups as long as the bed")
	require.Equal(t, "no", fitWords(size(10, 10), at(90, 140), at(130, 60)), "and as high")
	require.Equal(t, "in 3 set-ups", fitWords(size(250, 10), at(280, 10), at(130, 60)))
}

// Why a machine cannot do the work: what it lacks in room, with what would help.
func TestWhyItDoesNotFit(t *testing.T) {
	bed := &emit.BedError{Bed: size(130, 60), Travel: size(220, 50)}
	var e Entry
	e.unfit(fault.Workf("%w", bed), size(200, 50))
	require.Equal(t, "in 2 set-ups", e.Fits)
	require.Equal(t, bed.Hint(), e.Hint)
	require.Contains(t, e.Why, "does not fit")
	field := &emit.FieldError{Field: path.Point{X: 100, Y: 100}, Bounds: size(150, 80)}
	e = Entry{}
	e.unfit(field, size(150, 80))
	require.Equal(t, "in 2 set-ups", e.Fits)
	travel, room, ok := travelAndRoom(bed)
	require.True(t, ok)
	require.Equal(t, []path.Point{{X: 220, Y: 50}, {X: 130, Y: 60}}, []path.Point{travel, room})
	e = Entry{}
	e.unfit(errors.New("too fast"), size(1, 1))
	require.Equal(t, Entry{Why: "too fast", Fits: "no"}, e)
}

// A machine without settings says so by the material, or why the settings do not hold.
func TestNotRanked(t *testing.T) {
	pick := &picker{material: "slate"}
	err := fault.Usagef("no speed").Hintf("add --speed")
	require.Equal(t, &Entry{Why: "no recipe for slate", Hint: noRecipeHint}, (&Entry{}).notRanked(err, pick))
	require.Equal(t, &Entry{Settings: "mine", Why: "no speed", Hint: "add --speed"}, (&Entry{Settings: "mine"}).
		notRanked(err, pick))
	pick.own = "bench"
	require.Equal(t, "no recipe for slate: the job's settings are for bench", (&Entry{}).notRanked(err, pick).Why)
	pick.material = ""
	require.Equal(t, &Entry{Why: "no speed", Hint: "add --speed"}, (&Entry{}).notRanked(err, pick))
	require.Equal(t, &Entry{Why: "broken"}, (&Entry{}).notRanked(errors.New("broken"), pick))
}

// A recipe of the shop's own that was never tried on scrap is told; so is what its material
// takes in, of the energy that the beam puts out.
func TestMeasuredEntry(t *testing.T) {
	w, err := work.Make(drawing(t, bar("a", 0), nil))
	require.NoError(t, err)
	w.Recipe = &settings.Recipe{Recipe: machine.Recipe{AbsorbedFraction: 0.25}}
	w.Warnings = []work.Warning{{Message: "look out"}}
	var e Entry
	require.NoError(t, e.measure(w))
	require.Equal(t, "yes", e.Fits)
	require.Equal(t, []string{"look out"}, e.Warnings)
	// 15 rows of 50 mm at 100 mm/s with 4 W.
	require.InDelta(t, 15*50/100.*4, e.EnergyJ, 0.05*30)
	require.InDelta(t, e.EnergyJ/4, e.AbsorbedJ, 1e-9)
	require.InDelta(t, e.EnergyJ/w.Clock.Total().Seconds(), e.MeanPowerW, 1e-9)
	require.InDelta(t, w.Clock.Total().Seconds(), e.Figures.Seconds, 1e-9)
	require.InDelta(t, 4/(100*0.2)*100, e.DoseJPerCM2, 1e-9)
	require.Equal(t, 100.0, e.SpeedMMPerS)
	require.NotNil(t, e.Better)
	w.Warnings = nil
	require.NoError(t, e.measure(w))
	require.NotNil(t, e.Warnings)
	require.Nil(t, e.Heat, "no blank is known")
	require.Greater(t, w.Clock.Total(), 7*time.Second)
}

// How warm the blank gets is told where the job says what it is of.
func TestHeatOfAnEntry(t *testing.T) {
	w, err := work.Make(drawing(t, bar("a", 0), func(j *job.Job) {
		j.Blank = job.Blank{Material: "slate", Width: value.Given(value.Length(60)),
			Height: value.Given(value.Length(60)), Thickness: value.Given(value.Length(5))}
	}))
	require.NoError(t, err)
	var e Entry
	require.NoError(t, e.measure(w))
	require.NotNil(t, e.Heat)
	require.Equal(t, "slate", e.Heat.Material)
}

// A galvo's curve falls by all that its speed decides: marks, and gaps that are swept. 2 m
// and 0.5 m take 2.5/1 - 2.5/2 s less at 2 m/s than at 1.
func TestCurveOfGaps(t *testing.T) {
	b := doneOn(t, "example-fibre", path.Setting{SpeedMMPerS: 1000, Power: 0.5, SpacingMM: 0.1,
		FrequencyHz: 50_000, PulseNS: 100})
	b.Machine.Galvo.MaxSpeedMMPerS = 2000
	b.Clock.MarkMM, b.Clock.GapMM = 2000, 500
	e := &Entry{Machine: "x", Work: &b.Work}
	c, ok := e.Curve()
	require.True(t, ok)
	require.InDelta(t, 2000, c.Points[120].X, 1e-6)
	require.InDelta(t, 2.5-1.25, c.Now.Y-c.Points[120].Y, 1e-9)
	b.Groups[0].Outline.When = hatch.Only
	_, ok = e.Curve()
	require.False(t, ok, "an outline alone")
}
