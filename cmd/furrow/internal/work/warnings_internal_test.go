package work

import (
	"testing"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/emit/pulse"
	"furrow/path"
	"furrow/path/hatch"

	"github.com/stretchr/testify/require"
)

// on is work that was not made, on a machine, with fills of groups.
func on(t *testing.T, id string, groups ...hatch.Group) *Work {
	t.Helper()
	m, err := settings.FindMachine(id)
	require.NoError(t, err)
	w := &Work{}
	w.Machine, w.Groups, w.Fills = &m, groups, make([]job.ResolvedFill, len(groups))
	for i, g := range groups {
		w.Fills[i].Spec = asFill(g.Setting)
	}
	return w
}

func asFill(s path.Setting) job.Fill {
	f := job.Fill{Speed: value.Given(value.Number(s.SpeedMMPerS)), Power: value.Given(value.Number(100 * s.Power)),
		Spacing: &value.Spacing{MM: s.SpacingMM}}
	if s.FrequencyHz > 0 {
		f.Frequency = &value.Frequency{Hz: s.FrequencyHz}
	}
	return f
}

// rows are a fill of half the power at 100 mm/s.
func rows(spacing float64) hatch.Group {
	return hatch.Group{Setting: path.Setting{SpeedMMPerS: 100, Power: 0.5, SpacingMM: spacing}, Angles: []float64{0}}
}

func told(all []Warning) (messages []string) {
	for _, w := range all {
		messages = append(messages, w.Message)
	}
	return messages
}

// shapes of rectangles of these sizes, in a row, on a page that holds them.
func shapes(sizes ...path.Point) path.Artwork {
	art := path.Artwork{Page: path.Rect{Max: path.Point{X: 1000, Y: 1000}}}
	x := 0.0
	for i, s := range sizes {
		var p path.Path
		p.MoveTo(path.Point{X: x})
		p.LineTo(path.Point{X: x + s.X})
		p.LineTo(path.Point{X: x + s.X, Y: s.Y})
		p.LineTo(path.Point{X: x, Y: s.Y})
		p.Close()
		art.Shapes = append(art.Shapes, path.Shape{Path: p, Paint: path.Paint{Opacity: 1},
			Source: path.Source{Element: "rect", Line: i + 1}})
		x += s.X + 1
	}
	return art
}

// Twenty lines on each place of a spot of 0.15 mm lie 0.0075 mm apart: closer ones are told.
func TestRowsThatLieTooClose(t *testing.T) {
	require.Empty(t, on(t, "example-co2", rows(0.0076)).closeWarnings())
	require.Equal(t, []string{"hatch: rows 0.005 mm apart put 30 lines on each place: check the spacing",
		"group 1: rows 0.0074 mm apart put 20 lines on each place: check the spacing"},
		told(on(t, "example-co2", rows(0.005), rows(0.00744)).closeWarnings()))
	outline := rows(0)
	require.Empty(t, on(t, "example-co2", outline).closeWarnings(), "an outline has no rows")
}

// 20 W at 100 mm/s in rows 0.1 mm apart are 200 J/cm2: told where that is more than five
// times the strongest recipe. Such a recipe of 20 W at 500 mm/s has 40 J/cm2.
func TestDosesFarAboveRecipes(t *testing.T) {
	w := on(t, "example-co2", rows(0.1), rows(0.05))
	require.Empty(t, w.doseWarnings())
	alike := func(id string, speed float64) job.Alike {
		return job.Alike{Machine: *w.Machine, Recipe: settings.Recipe{Recipe: machine.Recipe{ID: id, SpeedMMPerS: speed,
			PowerPercent: 50, SpacingMM: 0.1}}}
	}
	require.InDelta(t, 40, doseOf(alike("a", 500)), 1e-9)
	w.Alike = []job.Alike{alike("weak", 900), alike("mine", 500), alike("weaker", 1000)}
	require.Equal(t, []string{"group 1 lays down 400 J/cm2, 10 times the 40 of recipe mine: check speed, power and " +
		"spacing"}, told(w.doseWarnings()))
	w.Alike = []job.Alike{alike("mine", 501)}
	require.Len(t, w.doseWarnings(), 2)
	w.Alike = []job.Alike{{Machine: *w.Machine,
		Recipe: settings.Recipe{Recipe: machine.Recipe{ID: "x", SpeedMMPerS: 100, PowerPercent: 50,
			SpacingMM: 0.1, Passes: 3}}}}
	require.InDelta(t, 600, doseOf(w.Alike[0]), 1e-9, "three passes")
}

// A long shape is as wide as twice its area over its edge: of 10 x 2 mm, 40/24. Shapes
// narrower than the spacing are told, but for those that an inset, an outline or a stroke
// looks after.
func TestShapesNarrowerThanTheSpacing(t *testing.T) {
	art := shapes(path.Point{X: 10, Y: 2}, path.Point{X: 100, Y: 0.9}, path.Point{X: 100, Y: 1.1})
	require.InDelta(t, 40/24.0, meanWidth(art.Shapes[0].Path, 0.1), 1e-9)
	both := art.Shapes[0].Path
	more := shapes(path.Point{X: 1, Y: 1}, path.Point{X: 30, Y: 4}).Shapes[1].Path
	both.Verbs, both.Points = append(append([]path.Verb(nil), both.Verbs...), more.Verbs...),
		append(append([]path.Point(nil), both.Points...), more.Points...)
	require.InDelta(t, 2*(20+120)/(24+68.0), meanWidth(both, 0.1), 1e-9, "of two rings")
	in := on(t, "example-co2", rows(1)).Input
	found := in.narrowWarnings(Strokes{Art: art})
	require.Len(t, found, 1)
	require.Equal(t, 2, found[0].Line)
	require.Contains(t, found[0].Message, "narrower than the spacing, and marked in pieces or not at all; "+
		"--mark-width keeps such parts")
	for _, change := range []func(*hatch.Group, *path.Shape){
		func(g *hatch.Group, _ *path.Shape) { g.Inset = 0.1 }, func(g *hatch.Group,
			_ *path.Shape) {
			g.Outline.When = hatch.Only
		},
		func(_ *hatch.Group, s *path.Shape) { s.Width = 0.5 }, func(_ *hatch.Group,
			s *path.Shape) {
			s.Paint.Opacity = 0.01
		},
	} {
		in := on(t, "example-co2", rows(1)).Input
		one := shapes(path.Point{X: 100, Y: 0.5})
		require.Len(t, in.narrowWarnings(Strokes{Art: one}), 1)
		change(&in.Groups[0], &one.Shapes[0])
		require.Empty(t, in.narrowWarnings(Strokes{Art: one}))
	}
}

// What a fill leaves out or does in another way is told with its amount.
func TestWhatAFillTells(t *testing.T) {
	in := on(t, "example-co2", rows(1)).Input
	s := Strokes{Art: shapes(path.Point{X: 5, Y: 5}, path.Point{X: 5, Y: 5})}
	require.Empty(t, in.fillWarnings(s))
	s.Hatched = hatch.Report{Thin: 1, ThinMM: 2500, Dust: hatch.Dust{Spans: 3, MM: 0.0312},
		Pale: []hatch.Pale{{Shape: 1, Area: 12.346}}}
	require.Equal(t, []string{
		"1 place too narrow for the inset, marked as one centre line (2.5 m in all)",
		"3 spans left out (0.031 mm in all): too short to show; --shortest 0mm marks them",
		"pale paint will be marked: 12.35 mm2; --bare-above 0.75 leaves it bare",
	}, told(in.fillWarnings(s)))
	require.Equal(t, 2, in.paleWarnings(s)[0].Line)
	for range 4 {
		s.Hatched.Pale = append(s.Hatched.Pale, hatch.Pale{Area: 1})
	}
	require.Len(t, in.paleWarnings(s), 5)
	s.Hatched.Pale = append(s.Hatched.Pale, hatch.Pale{Area: 1})
	require.Equal(t, []string{"pale paint will be marked on 6 shapes: 17.35 mm2 in all; --bare-above 0.75 leaves it " +
		"bare"}, told(in.paleWarnings(s)))
	s.Hatched.Traced = []int{0, 1}
	s.Art.Shapes[0].Width, s.Art.Shapes[1].Width = path.MinSpacing, 0.05
	traced := in.tracedWarnings(s)
	require.Len(t, traced, 1, "a hairline is meant as one")
	require.Equal(t, 2, traced[0].Line)
	require.Contains(t, traced[0].Message, "thinner than a marked line, and traced once along the middle")
	// A step of 1 um in G-code.
	require.Equal(t, []string{"rows 0.0009 mm apart are closer than the file's grid of 0.001 mm, and fall on each " +
		"other"}, told(in.rowWarnings(rows(0.0009))))
	require.Empty(t, in.rowWarnings(rows(0.001)))
	outline := rows(0)
	outline.Outline.When = hatch.Only
	require.Empty(t, in.rowWarnings(outline))
}

// Settings are told by the groups that have them, and of all by none.
func TestSettingsThatAreOdd(t *testing.T) {
	w := on(t, "example-co2", rows(0.2), rows(0.1), rows(0.2))
	const part = "lines do not touch: they are 0.2 mm apart, and the spot is 0.15 mm wide"
	require.Equal(t, []string{"hatch, group 2: " + part}, told(w.laserWarnings()))
	require.Equal(t, []string{part}, told(on(t, "example-co2", rows(0.2), rows(0.2)).laserWarnings()))
	fast := rows(0.05)
	fast.Setting.SpeedMMPerS, fast.Setting.FrequencyHz, fast.Setting.PulseNS = 8000, 90_000, 100
	galvo := on(t, "example-fibre", fast)
	galvo.Machine.Galvo.MaxSpeedMMPerS = 7000
	require.EqualError(t, galvo.withinMachine(), "speed 8000 mm/s is above the scanner's most, 7000 mm/s")
	galvo.Groups[0].Setting.SpeedMMPerS = 7000
	require.NoError(t, galvo.withinMachine())
	galvo = on(t, "example-fibre", fast, rows(0.05), fast)
	galvo.Machine.Galvo.MaxSpeedMMPerS = 7000
	galvo.Groups[0].Setting.PulseNS, galvo.Groups[1].Setting.FrequencyHz = 5, 50_000
	err := galvo.withinMachine()
	require.EqualError(t, err, "hatch: pulse length 5 ns is none of the source's: 100 ns; "+
		"hatch, group 2: speed 8000 mm/s is above the scanner's most, 7000 mm/s")
	var unfit *UnfitError
	require.ErrorAs(t, err, &unfit)
	gantry := on(t, "example-co2", rows(0.1))
	gantry.Groups[0].Setting.FrequencyHz = 1
	require.NoError(t, gantry.withinMachine())
}

// What a galvo has instead is said of each value: nothing of a source without pulses.
func TestRemedies(t *testing.T) {
	galvo := on(t, "example-fibre", rows(0.05)).Machine
	wrong := "; if the machine has it, its profile example-fibre is wrong"
	for _, c := range []struct {
		lack  pulse.Lack
		speed float64
		want  string
	}{
		{pulse.Lack{Key: "frequency", Use: "20kHz to 80kHz"}, 100, "use 20kHz to 80kHz" + wrong},
		{pulse.Lack{Key: "frequency"}, 100, "leave --frequency out"},
		{pulse.Lack{Key: "power", Use: "8 or more"}, 100, "use 8 or more" + wrong},
		{pulse.Lack{Key: "pulse", Use: "100 ns"}, 100, "use one of these, or leave --pulse out" + wrong},
		{pulse.Lack{Key: "speed", Use: "6543 or less"}, 60_000,
			"use 6543 or less; speeds are in mm/s: 60000 mm/min is 1000 mm/s" + wrong},
		{pulse.Lack{Key: "speed", Use: "6543 or less"}, 600_000, "use 6543 or less" + wrong},
	} {
		require.Equal(t, c.want, remedy(galvo, path.Setting{SpeedMMPerS: c.speed}, c.lack))
	}
}

// What is laid down: rows and outlines that differ from them, with how often and at which
// angles.
func TestWhatIsLaid(t *testing.T) {
	names := func(w *Work) (all []string) {
		for _, l := range w.Laid() {
			all = append(all, l.Name)
		}
		return all
	}
	w := on(t, "example-co2", rows(0.1), rows(0.2))
	edge := path.Setting{SpeedMMPerS: 100, Power: 0.5}
	require.Equal(t, []string{"hatch", "group 1"}, names(w))
	w.Groups[0].Outline = hatch.Outline{When: hatch.After, Setting: edge}
	require.Equal(t, []string{"hatch", "group 1"}, names(w), "an outline alike")
	w.Groups[0].Outline.Setting.Power = 0.6
	require.Equal(t, []string{"hatch", "hatch outline", "group 1"}, names(w))
	w.Groups[1].Outline = hatch.Outline{When: hatch.Only, Setting: edge}
	require.Equal(t, []string{"hatch", "hatch outline", "group 1 outline"}, names(w))
	w.Groups[0].Outline.When = hatch.NoOutline
	require.Equal(t, []string{"hatch", "group 1 outline"}, names(w))

	g := hatch.Group{Angles: []float64{10, 20}, Cross: 90, Passes: 2, PassTurn: 5}
	require.Equal(t, []float64{10, 100, 20, 110, 15, 105, 25, 115}, rowAngles(g))
	require.Equal(t, []float64{10, 20}, rowAngles(hatch.Group{Angles: []float64{10, 20}}))
	g.Contours = true
	require.Empty(t, rowAngles(g))
	require.Equal(t, "hatch", GroupName(0))
	require.Equal(t, "group 2", GroupName(2))
	// 20 W at 100 mm/s and 0.1 mm apart, three times.
	w = on(t, "example-co2", rows(0.1))
	w.Groups[0].Passes = 3
	require.InDelta(t, 600, w.Laid()[0].Facts().DoseJPerCM2, 1e-9)
	f := asFill(rows(0.1).Setting)
	f.Passes = value.Given(value.Count(3))
	require.InDelta(t, 600, FactsOf(f, w.Machine).DoseJPerCM2, 1e-9)
}

// Where the head slows down the dose is told from half as much again: three times 200
// J/cm2. An outline's is that over the narrower width of the beam: 20 W over 100 mm/s and
// 0.15 mm.
func TestWhereTheDoseIsHighest(t *testing.T) {
	w := on(t, "example-co2", rows(0.1))
	w.Moves.Settings = []path.Setting{{SpeedMMPerS: 100, SpacingMM: 0.1}, {SpeedMMPerS: 100}}
	h := clock.Hottest{At: path.Point{X: 1.234, Y: -5}, Times: 3, Power: 0.5}
	require.Contains(t, w.hotWords(h), "the mark that begins at X1.23 Y-5 gets 600 J/cm2 instead of 200: ")
	h.Setting = 1
	require.Contains(t, w.hotWords(h), "gets 400 J/cm2 instead of 133.3: ")
	for times, want := range map[float64]int{1.49: 0, 1.5: 1} {
		w.Clock.Hottest = clock.Hottest{Times: times, Power: 0.5}
		require.Len(t, w.motionWarnings(), want)
	}
}

// Rectangles that touch have nothing in common.
func TestDisjoint(t *testing.T) {
	page := box(0, 0, 10, 10)
	for _, r := range []path.Rect{box(10, 0, 12, 5), box(-2, 0, 0, 5), box(0, 10, 5, 12), box(0, -2, 5, 0)} {
		require.True(t, disjoint(r, page))
		require.True(t, disjoint(page, r))
		require.False(t, disjoint(box(r.Min.X-0.1, r.Min.Y-0.1, r.Max.X+0.1, r.Max.Y+0.1), page))
	}
}

// Half of the page is not small, to the last bit.
func TestHalfOfAPage(t *testing.T) {
	for size, small := range map[path.Point]bool{{X: 9, Y: 4}: true, {X: 10, Y: 4}: false, {X: 9, Y: 5}: false} {
		art := shapes(size)
		art.Page = box(0, 0, 20, 10)
		require.Equal(t, small, len(DrawingWarnings(job.Artwork{}, art)) == 1, "%v", size)
	}
}
