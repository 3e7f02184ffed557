package work

import (
	"errors"
	"testing"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/path"
	"furrow/path/hatch"

	"github.com/stretchr/testify/require"
)

// Every value of a fill is felt in the group that is hatched, and none in another's.
func TestGroupOfAFill(t *testing.T) {
	m, err := settings.FindMachine("example-fibre")
	require.NoError(t, err)
	plain := hatchGroup(asFill(path.Setting{SpeedMMPerS: 100, Power: 0.4, SpacingMM: 0.1}), &m)
	require.Equal(t, hatch.Group{
		Setting: path.Setting{SpeedMMPerS: 100, Power: 0.4, SpacingMM: 0.1}, Angles: []float64{0}, Passes: 1, Skip: 1,
		Shortest: 0.006, CloseGaps: 0.006, Outline: hatch.Outline{Setting: path.Setting{SpeedMMPerS: 100, Power: 0.4}},
	}, plain)
	yes, before := true, "before"
	f := asFill(path.Setting{SpeedMMPerS: 100.4, Power: 0.40004, SpacingMM: 0.1, FrequencyHz: 50_000})
	f.Angle, f.Cross, f.Passes, f.PassTurn = &value.Angles{10, 20}, value.Given(value.Number(90)),
		value.Given(value.Count(3)), value.Given(value.Number(7))
	f.OneWay, f.Stretch, f.Contours, f.Air, f.Interleave = &yes, &yes, &yes, &yes, value.Given(value.Count(4))
	f.Shortest, f.CloseGaps, f.MarkWidth = value.Given(value.Length(0.5)), value.Given(value.Length(0.6)),
		value.Given(value.Length(0.08))
	f.Outline, f.Offset, f.Overlap = &before, value.Given(value.Length(-0.2)), value.Given(value.Length(0.3))
	f.OutlineSpeed, f.OutlinePower = value.Given(value.Number(30)), value.Given(value.Number(15))
	set := path.Setting{SpeedMMPerS: 100, Power: 0.4, SpacingMM: 0.1, FrequencyHz: 50_000, PulseNS: 100, Air: true}
	edge := set
	edge.SpacingMM, edge.SpeedMMPerS, edge.Power = 0, 30, 0.15
	want := hatch.Group{
		Setting: set, Angles: []float64{10, 20}, Cross: 90, Passes: 3, PassTurn: 7, OneWay: true, Stretch: true,
		Contours: true, Skip: 4,
		Shortest: 0.5, CloseGaps: 0.6, MarkWidth: 0.08, Inset: 0.04,
		Outline: hatch.Outline{When: hatch.Before, Setting: edge, Offset: -0.2, Overlap: 0.3},
	}
	require.Equal(t, want, hatchGroup(f, &m))
	f.Inset, f.Pulse = value.Given(value.Length(0.07)), value.Given(value.Number(20))
	want.Inset, want.Setting.PulseNS, want.Outline.Setting.PulseNS = 0.07, 20, 20
	require.Equal(t, want, hatchGroup(f, &m))
	f.OutlineSpeed, f.OutlinePower = nil, nil
	got := hatchGroup(f, nil) // as asked for
	require.InDelta(t, 100.4, got.Outline.Setting.SpeedMMPerS, 1e-9)
	require.InDelta(t, 0.40004, got.Setting.Power, 1e-9)
	require.Zero(t, got.Setting.PulseNS)
	for word, when := range map[string]hatch.When{"none": hatch.NoOutline, "before": hatch.Before, "after": hatch.After,
		"only": hatch.Only} {
		require.Equal(t, when, outlineWhen(word))
	}
}

// A code has plain rows on a grid of its own, as often as the fill goes over its area.
func TestGroupsOfCodes(t *testing.T) {
	from := hatch.Group{
		Setting: path.Setting{SpeedMMPerS: 100, SpacingMM: 0.1}, Angles: []float64{0, 45}, Cross: 90, Passes: 2,
		PassTurn: 3, OneWay: true, Skip: 3,
		MarkWidth: 0.08, Inset: 0.04, Shortest: 0.5, Outline: hatch.Outline{When: hatch.After},
	}
	in := Input{Drawing: Drawing{Codes: []CodeFill{{Fill: 1, Angle: 30, SpacingMM: 0.07},
		{Fill: 0, Angle: 0, SpacingMM: 0.2}}}}
	fills := []hatch.Group{rows(1), from}
	all := in.withCodes(fills)
	require.Len(t, fills, 2)
	require.Len(t, all, 4)
	require.Equal(t, hatch.Group{Setting: path.Setting{SpeedMMPerS: 100, SpacingMM: 0.07}, Angles: []float64{30},
		Passes: 8, OneWay: true, Skip: 3,
		MarkWidth: 0.08, Grid: 1}, all[2])
	require.Equal(t, 2, all[3].Grid)
	require.Equal(t, 0.2, all[3].Setting.SpacingMM)
	in.Turned = true
	require.Equal(t, []float64{120}, in.withCodes(fills)[2].Angles)
}

// Why there is nothing to mark: what is covered, what is light, what was left out, or an
// empty file.
func TestWhyThereIsNothingToMark(t *testing.T) {
	in := on(t, "example-co2", rows(1)).Input
	dark := shapes(path.Point{X: 1, Y: 1}, path.Point{X: 1, Y: 1})
	light := shapes(path.Point{X: 1, Y: 1})
	light.Shapes[0].Paint.Opacity = 0.01
	for want, s := range map[string]Strokes{
		"nothing to mark: nothing is left of 2 dark shapes":       {Art: dark},
		"nothing to mark: the artwork paints nothing dark enough": {Art: light},
		"nothing to mark: the artwork holds no shape that is understood": {
			Warnings: []Warning{{Message: "pictures are left out"}},
		},
		"nothing to mark: the artwork paints nothing": {},
	} {
		f := in.nothingToMark(s)
		require.EqualError(t, f, want)
		require.NotEmpty(t, f.Hint)
	}
	require.Equal(t, "pictures are left out",
		in.nothingToMark(Strokes{Warnings: []Warning{{Message: "pictures are left out"}}}).Hint)
	require.Contains(t, in.nothingToMark(Strokes{Art: light}).Hint, "of its 1 shape none is dark")
	one := value.Number(1.1)
	in.Job.Artwork.BareAbove = &one
	require.EqualError(t, in.nothingToMark(Strokes{Art: light}), "nothing to mark: nothing is left of 1 dark shape")
}

// A fill that cannot be hatched is named as the job names it.
func TestFillThatIsWrongIsNamed(t *testing.T) {
	in := Input{Groups: make([]hatch.Group, 3)}
	in.Job.Groups = []job.Group{{Pick: "#a"}, {Pick: "#b"}}
	wrong := errors.New("wrong")
	for group, want := range map[int]string{0: "wrong", 1: `group "#a": wrong`, 2: `group "#b": wrong`,
		3: "code 1: wrong", 4: "code 2: wrong"} {
		require.EqualError(t, in.unhatched(&hatch.GroupError{Group: group, Err: wrong}), want)
	}
	var f *fault.Failure
	require.ErrorAs(t, in.unhatched(wrong), &f)
	require.EqualError(t, f, "wrong")
}

// The parts of strokes, each with the settings that it uses and no others.
func TestPartsOfStrokes(t *testing.T) {
	p := path.Program{ToleranceMM: 0.3, Settings: []path.Setting{{Name: "a"}, {Name: "b"}, {Name: "c"}}}
	for i, set := range []uint16{0, 2, 2, 1, 2} {
		p.Append(path.Stroke{Setting: set}, path.Point{X: float64(i)}, path.Point{X: float64(i), Y: 1})
	}
	own := &settings.Machine{}
	s := Strokes{Program: p, Parts: []Part{{First: 0, Note: "one"}, {First: 1, Note: "two", Hold: true,
		Profile: &own.Profile}}}
	all := s.pieces()
	require.Len(t, all, 2)
	require.Equal(t, []path.Setting{{Name: "a"}}, all[0].Program.Settings)
	require.Len(t, all[0].Program.Strokes, 1)
	require.Equal(t, path.Identity, all[1].Place)
	require.Equal(t, "two", all[1].Note)
	require.True(t, all[1].Hold)
	require.False(t, all[0].Hold)
	require.Same(t, &own.Profile, all[1].Profile)
	two := all[1].Program
	require.Equal(t, []path.Setting{{Name: "c"}, {Name: "b"}}, two.Settings)
	require.Equal(t, 0.3, two.ToleranceMM)
	var used []uint16
	for i := range two.Strokes {
		used = append(used, two.Strokes[i].Setting)
		require.Equal(t, p.PointsOf(i+1), two.PointsOf(i))
	}
	require.Equal(t, []uint16{0, 0, 1, 0}, used)
}

// Directions of rows, as a line tells them.
func TestWordsOfAngles(t *testing.T) {
	for want, g := range map[string]hatch.Group{
		"30 degrees": {Angles: []float64{30}}, "0 and 90 degrees": {Angles: []float64{0}, Cross: 90},
		"10, 55 and 20.125 degrees":   {Angles: []float64{10, 55, 20.125}},
		"10, 100, 20 and 110 degrees": {Angles: []float64{10, 20}, Cross: 90},
	} {
		require.Equal(t, want, AngleWords(g))
	}
}

// Very many spans are not kept: of 10,000,000 they would take 160 MB.
func TestFewSpansAreKept(t *testing.T) {
	marks := path.Marks{ToleranceMM: 0.1}
	require.Equal(t, &marks, kept(marks, 1_000_000))
	require.Nil(t, kept(marks, 1_000_001))
}
