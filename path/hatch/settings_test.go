package hatch_test

import (
	"errors"
	"math"
	"testing"

	"furrow/path"
	"furrow/path/hatch"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// bar is a black rectangle of 4 x 2 mm of a group.
func bar(group int) path.Artwork {
	s := path.Shape{Paint: path.Paint{Opacity: 1}, Group: group}
	for i, p := range []path.Point{{X: 1, Y: 1}, {X: 5, Y: 1}, {X: 5, Y: 3}, {X: 1, Y: 3}} {
		if i == 0 {
			s.Path.MoveTo(p)
		} else {
			s.Path.LineTo(p)
		}
	}
	s.Path.Close()
	return path.Artwork{Shapes: []path.Shape{s}}
}

// Every value is taken up to its bounds, and refused beyond them, with the group that
// has it.
func TestBoundsOfSettings(t *testing.T) {
	inf, nan := math.Inf(1), math.NaN()
	good := func() hatch.Settings {
		return hatch.Settings{Groups: []hatch.Group{{Setting: path.Setting{SpacingMM: 0.5}},
			{Setting: path.Setting{SpacingMM: 0.5}}}}
	}
	for name, c := range map[string]struct {
		change func(s *hatch.Settings, g *hatch.Group)
		told   string // empty where it is taken
	}{
		"as it is":          {func(*hatch.Settings, *hatch.Group) {}, ""},
		"tolerance 0":       {func(s *hatch.Settings, _ *hatch.Group) { s.Tolerance = 0 }, ""},
		"tolerance":         {func(s *hatch.Settings, _ *hatch.Group) { s.Tolerance = -1e-9 }, "tolerance"},
		"no tolerance":      {func(s *hatch.Settings, _ *hatch.Group) { s.Tolerance = nan }, "tolerance"},
		"endless tolerance": {func(s *hatch.Settings, _ *hatch.Group) { s.Tolerance = inf }, "tolerance"},
		"bare":              {func(s *hatch.Settings, _ *hatch.Group) { s.BareAbove = nan }, "bare-above"},
		"fine": {func(_ *hatch.Settings, g *hatch.Group) { g.Setting.SpacingMM = path.MinSpacing / 1.01 },
			"group 1: spacing"},
		"wide": {func(_ *hatch.Settings, g *hatch.Group) { g.Setting.SpacingMM = path.MaxSpacing }, ""},
		"too wide": {func(_ *hatch.Settings, g *hatch.Group) { g.Setting.SpacingMM = path.MaxSpacing * 1.01 },
			"group 1: spacing"},
		"no rows, no spacing": {func(_ *hatch.Settings, g *hatch.Group) {
			g.Setting.SpacingMM, g.Outline.When, g.Outline.Setting = 0, hatch.Only, path.Setting{}
		}, ""},
		"angle":         {func(_ *hatch.Settings, g *hatch.Group) { g.Angles = []float64{0, nan} }, "angle NaN"},
		"cross":         {func(_ *hatch.Settings, g *hatch.Group) { g.Cross = inf }, "angle +Inf"},
		"turn":          {func(_ *hatch.Settings, g *hatch.Group) { g.PassTurn = -inf }, "angle -Inf"},
		"shortest":      {func(_ *hatch.Settings, g *hatch.Group) { g.Shortest = -1 }, "shortest span -1"},
		"gap":           {func(_ *hatch.Settings, g *hatch.Group) { g.CloseGaps = nan }, "gap to close NaN"},
		"width":         {func(_ *hatch.Settings, g *hatch.Group) { g.MarkWidth = inf }, "mark width +Inf"},
		"inset":         {func(_ *hatch.Settings, g *hatch.Group) { g.Inset = -0.1 }, "inset -0.1"},
		"largest inset": {func(_ *hatch.Settings, g *hatch.Group) { g.Inset = path.MaxSpacing }, ""},
		"too large inset": {func(_ *hatch.Settings, g *hatch.Group) { g.Inset = 1.01 * path.MaxSpacing },
			"inset 1010 mm: use 1000"},
		"overlap": {func(_ *hatch.Settings, g *hatch.Group) { g.Outline.Overlap = -2 }, "overlap -2"},
		"offset": {func(_ *hatch.Settings, g *hatch.Group) { g.Outline.Offset = -1.01 * path.MaxSpacing },
			"offset -1010"},
		"no offset":      {func(_ *hatch.Settings, g *hatch.Group) { g.Outline.Offset = nan }, "offset NaN"},
		"largest offset": {func(_ *hatch.Settings, g *hatch.Group) { g.Outline.Offset = -path.MaxSpacing }, ""},
		"passes":         {func(_ *hatch.Settings, g *hatch.Group) { g.Passes = 1000 }, ""},
		"fewer passes":   {func(_ *hatch.Settings, g *hatch.Group) { g.Passes = -1 }, "-1 passes"},
		"more passes":    {func(_ *hatch.Settings, g *hatch.Group) { g.Passes = 1001 }, "1001 passes"},
		"skip":           {func(_ *hatch.Settings, g *hatch.Group) { g.Skip = 1000 }, ""},
		"less skip":      {func(_ *hatch.Settings, g *hatch.Group) { g.Skip = -1 }, "skip -1"},
		"more skip":      {func(_ *hatch.Settings, g *hatch.Group) { g.Skip = 1001 }, "skip 1001"},
	} {
		s := good()
		c.change(&s, &s.Groups[1])
		_, _, err := hatch.Fill(bar(0), s)
		if c.told == "" {
			assert.NoError(t, err, name)
			continue
		}
		require.ErrorContains(t, err, c.told, name)
		var of *hatch.GroupError
		if errors.As(err, &of) {
			assert.Equal(t, 1, of.Group, name)
		}
	}
	for _, group := range []int{-1, 2} {
		_, _, err := hatch.Fill(bar(group), good())
		assert.ErrorContains(t, err, "which has no fill")
	}
}

// The sets of rows of two passes, crossed, each pass turned: their directions in degrees
// and their phases, by hand. Two skip groups of rows are two phases.
func TestAnglesAndPasses(t *testing.T) {
	for name, c := range map[string]struct {
		group hatch.Group
		want  []float64
	}{
		"plain":   {hatch.Group{}, []float64{0}},
		"one":     {hatch.Group{Angles: []float64{30}}, []float64{30}},
		"two":     {hatch.Group{Angles: []float64{30, 75}}, []float64{30, 75}},
		"crossed": {hatch.Group{Angles: []float64{10}, Cross: 90}, []float64{10, 100}},
		"twice":   {hatch.Group{Angles: []float64{10}, Passes: 2}, []float64{10, 10}},
		"turned":  {hatch.Group{Passes: 3, PassTurn: 20}, []float64{0, 20, 40}},
		"all together": {hatch.Group{Angles: []float64{5}, Cross: 60, Passes: 2, PassTurn: 15},
			[]float64{5, 65, 20, 80}},
	} {
		c.group.Setting.SpacingMM = 0.25
		marks, _, err := hatch.Fill(bar(0), hatch.Settings{Groups: []hatch.Group{c.group}})
		require.NoError(t, err, name)
		var got []float64
		for i := range marks.Rows {
			got = append(got, math.Atan2(marks.Rows[i].Dir.Y, marks.Rows[i].Dir.X)*180/math.Pi)
			assert.InEpsilon(t, 8, marks.Rows[i].Length()*0.25, 0.1, name)
		}
		require.Len(t, got, len(c.want))
		assert.InDeltaSlice(t, c.want, got, 1e-9, name)
	}
}
