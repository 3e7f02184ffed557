package view

import (
	"testing"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/hatch"
	"furrow/raster/density"

	"github.com/stretchr/testify/assert"
)

func rows(spacing float64, angles ...float64) hatch.Group {
	return hatch.Group{Setting: path.Setting{SpacingMM: spacing}, Angles: angles}
}

// A caption names every group by what picks it, and nothing where all are alike.
func TestCaptionNamesEveryGroup(t *testing.T) {
	var w work.Work
	w.Groups = []hatch.Group{rows(0.1, 45)}
	w.Job.Groups = []job.Group{{Pick: "#name"}, {Pick: ".small"}}
	assert.Equal(t, []string{"0.1 mm at 45 degrees"}, fillFacts(w))
	w.Groups = []hatch.Group{rows(0.1, 45), rows(0.1, 45), rows(0.1, 45)}
	assert.Equal(t, []string{"0.1 mm at 45 degrees"}, fillFacts(w))
	w.Groups = []hatch.Group{rows(0.1, 45), rows(0.05, 0), rows(0.1, 45)}
	assert.Equal(t, []string{"the rest, .small: 0.1 mm at 45 degrees", "#name: 0.05 mm at 0 degrees"}, fillFacts(w))
	w.Groups = []hatch.Group{rows(0.1, 45), rows(0, 0), rows(0.2, 0)}
	assert.Equal(t, []string{"the rest: 0.1 mm at 45 degrees", ".small: 0.2 mm at 0 degrees"}, fillFacts(w))
}

// square is work of a size in mm on a machine, -1 for none.
func square(side float64, machineNo int) Subject {
	var s Subject
	s.Program.Append(path.Stroke{}, path.Point{X: -side / 2, Y: -side / 2}, path.Point{X: side / 2, Y: side / 2})
	if machineNo >= 0 {
		s.setMachine(&settings.Machine{Profile: machine.Examples()[machineNo]})
		s.Opts.Caption.Facts = []string{"the machine", "9 s"}
	}
	return s
}

// Marks of 0.3 mm along 9.7 mm reach over 10 mm, and the caption says so behind the
// machine.
func TestCaptionGivesTheMarkedSize(t *testing.T) {
	s := square(9.7, 0)
	s.Opts.MarkWidthMM = 0.3
	assert.Equal(t, []string{"the machine", "10.0 x 10.0 mm marked", "9 s"}, Picture{}.over(s).Caption.Facts)
	assert.Equal(t, []string{"the machine", "9 s"}, s.Opts.Caption.Facts)
	assert.Equal(t, []string{"9.8 x 9.8 mm marked"}, Picture{}.over(square(9.7, -1)).Caption.Facts,
		"0.1 mm where nothing is known")
}

// A row along X is as wide as the spot is high.
func TestMarksAreAsWideAsTheSpotAcrossThem(t *testing.T) {
	assert.Equal(t, 0.12, square(1, 1).Opts.MarkWidthMM)
}

// Work that takes little of a galvo's field is shown alone, with an inset of the field;
// a gantry has its bed, and a window is what was asked for.
func TestSmallWorkIsShownInAnInsetOfTheField(t *testing.T) {
	window := Window{Max: path.Point{X: 1, Y: 1}}
	assert.True(t, Picture{}.over(square(139, 2)).Inset, "of 175 mm")
	assert.False(t, Picture{}.over(square(141, 2)).Inset)
	assert.False(t, Picture{}.over(square(300, 2)).Inset, "past the field")
	assert.False(t, Picture{Window: &window}.over(square(50, 2)).Inset)
	assert.False(t, Picture{}.over(square(50, 0)).Inset)
	assert.False(t, Picture{}.over(square(50, -1)).Inset)
	on := square(50, 2)
	on.Opts.Blank = path.Rect{Min: path.Point{X: -80, Y: -10}, Max: path.Point{X: 80, Y: 10}}
	assert.False(t, Picture{}.over(on).Inset, "with its blank it takes most of it")
}

// The finish is shown where it is known, and not asked for otherwise.
func TestFinishIsTheDefaultWhereItIsKnown(t *testing.T) {
	rows := "rows"
	colour := value.Colour{A: 255}
	for _, tt := range []struct {
		name  string
		blank string
		tone  *Tone
		of    *value.Colour
		want  density.Show
	}{
		{"nothing", "page", nil, nil, density.ShowDensity},
		{"a blank", "blank", nil, nil, density.ShowDensity},
		{"a tone", "page", &Tone{Word: toneDarker}, nil, density.ShowDensity},
		{"both", "blank", &Tone{Word: toneDarker}, nil, density.ShowFinish},
		{"its colour", "blank", nil, &colour, density.ShowFinish},
	} {
		s := square(10, 0)
		s.Opts.BlankName, s.Tone, s.blank = tt.blank, tt.tone, tt.of
		assert.Equal(t, tt.want, Picture{}.over(s).Show, tt.name)
		assert.Equal(t, density.ShowRows, Picture{Show: &rows}.over(s).Show, tt.name)
	}
}

// The reach is all that is passed over, with the beam on or off: the way from X0 Y0, a
// run-up and a run-out beside the mark, and the way back.
func TestReachHoldsTheWayWithTheBeamOff(t *testing.T) {
	at := func(kind emit.Kind, x, y float64) emit.Move {
		return emit.Move{Kind: kind, To: path.Point{X: x, Y: y}, Speed: 100, Power: 0.5}
	}
	list := []emit.Move{
		at(emit.Travel, -3, 8), at(emit.Gap, 1, 8), at(emit.Mark, 5, 8), at(emit.Gap, 9, 8), at(emit.Travel, 2, -4),
	}
	var s Subject
	s.moves.Play = func(yield func(emit.Move, error) bool) {
		for _, mv := range list {
			if !yield(mv, nil) {
				return
			}
		}
	}
	var o density.Options
	assert.NoError(t, s.addTravel(&o, machine.Examples()[0]))
	assert.Equal(t, path.Rect{Min: path.Point{X: -3, Y: -4}, Max: path.Point{X: 9, Y: 8}}, o.Reach)
	pt := func(x, y float64) path.Point { return path.Point{X: x, Y: y} }
	assert.Equal(t, [][]path.Point{{pt(0, 0), pt(-3, 8), pt(1, 8)}, {pt(5, 8), pt(9, 8), pt(2, -4)}}, o.Travel)
}
