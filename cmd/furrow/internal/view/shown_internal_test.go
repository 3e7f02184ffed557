package view

import (
	"bytes"
	"image/color"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/warmth"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit"
	"furrow/emit/heat"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/raster/density"
)

func pt(x, y float64) path.Point { return path.Point{X: x, Y: y} }

func rect(x0, y0, x1, y1 float64) path.Rect { return path.Rect{Min: pt(x0, y0), Max: pt(x1, y1)} }

// playing are the moves of a list.
func playing(list ...emit.Move) emit.Moves {
	return emit.Moves{Play: func(yield func(emit.Move, error) bool) {
		for _, mv := range list {
			if !yield(mv, nil) {
				return
			}
		}
	}}
}

// Work is small where what is drawn about it is more than 20 times as wide or high, be it
// the bed or the blank; not where an inset shows the field.
func TestSmallWork(t *testing.T) {
	s := square(10, 0)
	require.False(t, s.IsSmall(), "nothing is about it")
	for blank, want := range map[path.Rect]bool{
		rect(-5, -5, 195, 5): false, rect(-5, -5, 195.1, 5): true, rect(-5, -5, 5, 195): false,
		rect(-5, -5, 5, 196): true,
	} {
		s.Opts.Blank = blank
		require.Equal(t, want, s.IsSmall(), "%v", blank)
	}
	s.Opts.Blank, s.Opts.Bed = path.Rect{}, rect(0, 0, 600, 400)
	require.True(t, s.IsSmall())
	var far Subject
	far.Program.Append(path.Stroke{}, pt(500, 500), pt(510, 510))
	require.False(t, far.IsSmall(), "nothing is drawn of a blank that is not known")
	var flat Subject // 2 x 10 mm, with 100 mm about it
	flat.Program.Append(path.Stroke{}, pt(0, 0), pt(2, 10))
	flat.Opts.Blank = rect(0, 0, 100, 10)
	require.False(t, flat.IsSmall())
	galvo := square(5, 2)
	require.False(t, galvo.IsSmall())
	galvo.Program = path.Program{}
	galvo.Program.Append(path.Stroke{}, pt(200, 200), pt(201, 201))
	require.True(t, galvo.IsSmall(), "beyond the field there is no inset")
	// An inset is drawn up to 0.8 of the field, the wider way.
	wide := square(5, 2)
	wide.Opts.Blank = rect(-2, -70, 2, 69.9)
	require.True(t, wide.inField())
	wide.Opts.Blank = rect(-2, -70, 2, 70)
	require.False(t, wide.inField())
	// Each way of the field by itself, a thin blank too.
	wide.Opts.Bed, wide.Opts.Blank = rect(-100, -20, 100, 20), rect(-79, -2, 79, 2)
	require.True(t, wide.inField())
	wide.Opts.Blank = rect(-81, -2, 81, 2)
	require.False(t, wide.inField())
	wide.Opts.Blank = rect(-0.4, -17, 0.4, 17)
	require.False(t, wide.inField())
}

// A galvo's field lies about its middle; a bed is drawn where X0 Y0 is that of the bed, and
// clamps of the profile and of the job on a gantry.
func TestWhatLiesAboutTheWork(t *testing.T) {
	p := machine.Examples()[2]
	p.Galvo.FieldMM = [2]float64{100, 60}
	f, name := field(p)
	require.Equal(t, rect(-50, -30, 50, 30), f)
	require.Equal(t, "field", name)
	g := machine.Examples()[0]
	f, name = field(g)
	require.Equal(t, path.Rect{}, f)
	require.Empty(t, name)
	bed := *g.Gantry
	bed.Zero, bed.KeepOutMM = machine.ZeroBed, []machine.Clamp{{1, 2, 3, 4}}
	g.Gantry = &bed
	f, name = field(g)
	require.Equal(t, rect(0, 0, 600, 400), f)
	require.Equal(t, "bed", name)
	var s Subject
	s.setMachine(&settings.Machine{Profile: g})
	require.Equal(t, []path.Rect{rect(1, 2, 3, 4)}, s.Opts.Keep)
	require.Empty(t, s.Opts.ReachName)
	s = Subject{}
	s.setMachine(nil)
	require.Nil(t, s.profile)
	fibre, err := OfWork(made(t, "example-fibre", func(j *job.Job) { j.KeepOut = nil }))
	require.NoError(t, err)
	require.Equal(t, 0.06, fibre.Opts.MarkWidthMM, "the spot's, where no mark was measured")
}

// A mark in an arc reaches beyond its ends: half a circle of 5 mm about 0,0 from 5,0. With
// the beam off a way goes on through travel and gaps in any sequence, and begins anew behind
// a mark.
func TestReachOfArcsAndWays(t *testing.T) {
	half := emit.Move{Kind: emit.Mark, To: pt(-5, 0), Turn: emit.CounterClockwise, Centre: pt(0, 0),
		Speed: 100, Power: 0.5}
	to := func(kind emit.Kind, x, y float64) emit.Move {
		return emit.Move{Kind: kind, To: pt(x, y), Speed: 100, Power: 0.5}
	}
	s := Subject{moves: playing(to(emit.Gap, 4, 0), to(emit.Travel, 5, 0), half, to(emit.Mark, -6, 0),
		to(emit.Travel, -7, 0),
		to(emit.Travel, -7, 1), to(emit.Mark, -7, 2), to(emit.Gap, -7, 3))}
	var o density.Options
	require.NoError(t, s.addTravel(&o, machine.Examples()[0]))
	require.InDelta(t, 0, o.Reach.Min.Dist(pt(-7, 0))+o.Reach.Max.Dist(pt(5, 5)), 1e-9)
	require.Equal(t, [][]path.Point{{pt(0, 0), pt(4, 0), pt(5, 0)}, {pt(-6, 0), pt(-7, 0), pt(-7, 1)},
		{pt(-7, 2), pt(-7, 3)}}, o.Travel)
}

// A map of heat in the picture is the rise by all of the beam times the most that may be
// taken in, and a film has each of its states so.
func TestHeatInAPicture(t *testing.T) {
	var asked int
	e := warmth.Estimate{Most: 0.25, From: "recipe", Seconds: 7}
	e.Map = &heat.Map{Rect: rect(0, 0, 4, 2), NX: 2, NY: 1, Highest: []float32{8, 40},
		Frames: [][]float32{{4, 0}, {8, 40}}}
	s := Subject{heat: func(frames int) (*warmth.Estimate, error) {
		asked = frames
		return &e, nil
	}}
	o := density.Options{}
	o.Caption.Facts = []string{"a fact"}
	require.NoError(t, s.addHeat(&o, 2))
	require.Equal(t, 2, asked)
	require.Equal(t, density.HeatMap{Rect: rect(0, 0, 4, 2), NX: 2, NY: 1, RiseK: []float32{2, 10}, EndS: 7,
		Frames: [][]float32{{1, 0}, {2, 10}}}, o.Heat)
	require.Equal(t, []string{"a fact", "an estimate, with 25 % of the beam taken in"}, o.Caption.Facts)
	e.Most = 0.2504
	o.Caption.Facts = o.Caption.Facts[:1]
	require.NoError(t, s.addHeat(&o, 0))
	require.Equal(t, "an estimate, with 25 % of the beam taken in", o.Caption.Facts[1], "whole percents")
	e.From = ""
	require.NoError(t, s.addHeat(&o, 0))
	require.Equal(t, "an estimate, as if all of the beam were taken in", o.Caption.Facts[2])
}

// Where there are moves a travel picture and a film have their ways, times and energies.
func TestFactsThatAPictureNeeds(t *testing.T) {
	s, err := OfWork(made(t, "example-co2", nil))
	require.NoError(t, err)
	for _, show := range []density.Show{density.ShowTravel, density.ShowDose, density.ShowSequence} {
		o := s.Opts
		o.Show = show
		require.NoError(t, s.AddFacts(&o, 0))
		require.Len(t, o.Marking, len(s.Program.Strokes))
		require.NotEmpty(t, o.Travel)
		require.Greater(t, o.Reach.W(), s.Program.Bounds().W())
	}
	o := s.Opts
	o.Show = density.ShowRows
	require.NoError(t, s.AddFacts(&o, 1))
	require.Len(t, o.Marking, len(s.Program.Strokes), "a film of one")
	o = s.Opts
	o.Show = density.ShowRows
	require.NoError(t, s.AddFacts(&o, 0))
	require.Empty(t, o.Marking)
	require.Empty(t, o.Travel)
	// Of a file whose machine is not known there are moves, and no times.
	s.timed, s.profile = false, nil
	o.Show = density.ShowTravel
	require.NoError(t, s.AddFacts(&o, 0))
	require.NotEmpty(t, o.Travel)
	require.ErrorContains(t, s.AddFacts(&o, 1), "times need to know the machine")
}

// A file's picture has the blank that the file was made for, and strokes as they will be
// marked: the beam comes 300 us late at 100 mm/s, 0.03 mm behind its command.
func TestFileAsItWillBeMarked(t *testing.T) {
	move := func(kind emit.Kind, x float64) emit.Move {
		return emit.Move{Kind: kind, To: pt(x, 0), Speed: 100, Power: 0.5}
	}
	f := proof.File{Name: "dir/a.nc", Moves: playing(move(emit.Travel, 1), move(emit.Gap, 2), move(emit.Mark, 12),
		move(emit.Gap, 13))}
	f.Moves.Header.Blanks = []emit.Blank{{Rect: rect(0, 0, 40, 30)}}
	s, err := OfFile(f)
	require.NoError(t, err)
	require.Equal(t, rect(0, 0, 40, 30), s.Opts.Blank)
	require.Equal(t, "blank", s.Opts.BlankName)
	f.Moves.Header.Blanks = append(f.Moves.Header.Blanks, emit.Blank{Rect: rect(50, 0, 90, 30)})
	many, err := OfFile(f)
	require.NoError(t, err)
	require.Equal(t, []density.Pocket{{Rect: rect(0, 0, 40, 30)}, {Rect: rect(50, 0, 90, 30)}}, many.Opts.Pockets)
	require.Equal(t, path.Rect{}, many.Opts.Blank)
	require.InDelta(t, 2, s.Program.Bounds().Min.X, 1e-9)
	m, err := settings.FindMachine("example-co2")
	require.NoError(t, err)
	f.Moves.Header.Blanks = []emit.Blank{{Rect: rect(0, 0, 40, 30), Turn: 20, Round: true}}
	aslant, err := OfFile(f)
	require.NoError(t, err)
	require.Equal(t, []density.Pocket{{Rect: rect(0, 0, 40, 30), Turn: 20}}, aslant.Opts.Pockets)
	require.True(t, aslant.Opts.Round)
	f.Machine, f.Moves.Header.Blanks = &m, nil
	s, err = OfFile(f)
	require.NoError(t, err)
	require.Empty(t, s.Opts.BlankName)
	require.InDelta(t, 2.03, s.Program.Bounds().Min.X, 1e-9)
	require.InDelta(t, 12.03, s.Program.Bounds().Max.X, 1e-9)
	require.NotContains(t, strings.Join(s.Opts.Caption.Facts, " "), "0:00", "it is not timed")
}

// A trace marks nothing: its picture shows where the guide and the head go, a way that is gone
// again and again once, and with no size of what is marked.
func TestTraceToLookAt(t *testing.T) {
	m, err := settings.FindMachine("example-fibre")
	require.NoError(t, err)
	trace, err := emit.Trace([]emit.Outline{{Points: []path.Point{pt(10, 0), pt(20, 0), pt(20, 5)}},
		{Points: []path.Point{pt(0, 30), pt(1, 30)}}}, m.Profile, 20)
	require.NoError(t, err)
	s, err := OfFile(proof.File{Name: "trace.mvl", Moves: trace, Machine: &m})
	require.NoError(t, err)
	require.Equal(t, density.ShowTravel, s.Opts.Show)
	require.False(t, s.IsSmall() || s.inField())
	o := Picture{}.over(s)
	require.Equal(t, []string{m.Name, "nothing marked"}, o.Caption.Facts)
	require.NoError(t, s.AddFacts(&o, 0))
	require.Equal(t, [][]path.Point{{pt(10, 0), pt(20, 0), pt(20, 5)}, {pt(0, 30), pt(1, 30)}}, o.Guide)
	// The first move of all, the way between both, and back to the first.
	require.Equal(t, [][]path.Point{{{}, pt(10, 0)}, {pt(20, 5), pt(0, 30)}, {pt(1, 30), pt(10, 0)}}, o.Travel)
	_, err = density.Picture(s.Program, o)
	require.NoError(t, err)
	o.Show = density.ShowRows
	_, err = density.Picture(s.Program, o)
	require.ErrorIs(t, err, density.ErrNothing)
}

// Pages for paper are laid out in millimetres, and pictures for the screen in pixels.
func TestPagesAreForPaper(t *testing.T) {
	s := square(10, 0)
	s.Program.Settings = make([]path.Setting, 1)
	size := Pixels(900)
	o := Picture{Size: &size}.over(s)
	_, err := Encoder(s.Program, o, FormatPNG)
	require.NoError(t, err)
	write, err := Encoder(s.Program, o, FormatSVG)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, write(&b))
	paper := o
	paper.Paper = true
	p, err := density.Picture(s.Program, paper)
	require.NoError(t, err)
	var want bytes.Buffer
	require.NoError(t, p.EncodeSVG(&want))
	require.Equal(t, want.Len(), b.Len())
	write, err = Encoder(s.Program, o, FormatPNG)
	require.NoError(t, err)
	p, err = density.Picture(s.Program, o)
	require.NoError(t, err)
	b.Reset()
	want.Reset()
	require.NoError(t, write(&b))
	require.NoError(t, p.EncodePNG(&want))
	require.Equal(t, want.Len(), b.Len())
	var film bytes.Buffer
	require.NoError(t, s.AddFacts(&density.Options{}, 0))
	require.Error(t, FilmEncoder(s.Program, o, math.NaN())(&film))
	require.Zero(t, film.Len())
}

// Four decimals of a spacing are told.
func TestSpacingInACaption(t *testing.T) {
	w, err := work.Make(made(t, "example-co2", nil).Input)
	require.NoError(t, err)
	w.Groups[0].Setting.SpacingMM = 0.123456
	require.Equal(t, []string{"0.1235 mm at 0 degrees"}, fillFacts(w))
}

// A line as driven is kept where it comes into the window, or no farther beside it than a mark
// is wide; and where all is shown. It is a copy: the points are used again.
func TestLinesInSight(t *testing.T) {
	window := rect(10, 10, 20, 20)
	for _, tt := range []struct {
		window   path.Rect
		from, to path.Point
		want     int
	}{
		{window, pt(12, 12), pt(13, 13), 1}, {window, pt(0, 15), pt(30, 15), 1}, {window, pt(0, 15), pt(9.95, 15), 1},
		{window, pt(0, 15), pt(9.85, 15), 0}, {window, pt(12, 20.05), pt(13, 20.05), 1},
		{window, pt(12, 20.15), pt(13, 21), 0},
		{path.Rect{}, pt(-500, 0), pt(-400, 0), 1},
		{rect(10, 10, 10.5, 10.5), pt(12, 12), pt(13, 13), 0},
	} {
		o := density.Options{Window: tt.window, MarkWidthMM: 0.1}
		c := collector{undo: func(p path.Point) path.Point { return p }, o: &o}
		sent := []path.Point{tt.from, tt.to}
		c.line(sent)
		require.Len(t, o.Driven, tt.want, "%v", tt)
		require.Equal(t, 2*tt.want, c.points)
		if sent[0] = pt(7, 7); tt.want > 0 {
			require.Equal(t, []path.Point{tt.from, tt.to}, o.Driven[0])
		}
	}
	o := density.Options{Window: window}
	c := collector{undo: func(p path.Point) path.Point { return p.Add(pt(12, 12)) }, o: &o, points: 4_999_998}
	c.line([]path.Point{pt(1, 2), pt(3, 4)})
	require.Equal(t, [][]path.Point{{pt(13, 14), pt(15, 16)}}, o.Driven, "where the beam goes, not where it is sent")
	require.NoError(t, c.tooMuch())
	c.points++
	require.EqualError(t, c.tooMuch(), "the marks as driven have more than 5 million points")
}

// Strokes alone have no density that shows, and one set of rows has.
func TestFilesOfLinesAreShownAsRows(t *testing.T) {
	at := func(kind emit.Kind, x, y float64) emit.Move {
		return emit.Move{Kind: kind, To: pt(x, y), Speed: 100, Power: 0.5}
	}
	line := []emit.Move{at(emit.Travel, 0, 1), at(emit.Mark, 20, 1), at(emit.Mark, 20, 9)}
	s, err := OfFile(proof.File{Moves: playing(line...)})
	require.NoError(t, err)
	require.Equal(t, density.ShowRows, s.Opts.Show)
	var rows []emit.Move
	for y := range 6 {
		rows = append(rows, at(emit.Travel, -1, float64(y)), at(emit.Gap, 0, float64(y)),
			at(emit.Mark, 20, float64(y)), at(emit.Gap, 21, float64(y)))
	}
	s, err = OfFile(proof.File{Moves: playing(rows...)})
	require.NoError(t, err)
	require.Equal(t, density.ShowDensity, s.Opts.Show)
	require.Equal(t, []string{"1 mm at 0 degrees"}, s.Opts.Caption.Facts)
}

// Work on a machine is shown as its moves mark it, and in the tone of its recipe; without one
// as it was asked for.
func TestWorkIsShownAsItWillBeMarked(t *testing.T) {
	w := made(t, "example-fibre", func(j *job.Job) { j.KeepOut = nil })
	w.Moves = playing(emit.Move{Kind: emit.Travel, To: pt(3, 4), Speed: 100},
		emit.Move{Kind: emit.Mark, To: pt(7, 4), Speed: 100, Power: 0.5})
	w.Recipe = &settings.Recipe{Recipe: machine.Recipe{Tone: "lighter"}}
	s, err := OfWork(w)
	require.NoError(t, err)
	require.Equal(t, rect(3, 4, 7, 4), s.Program.Bounds())
	require.Equal(t, "lighter", s.Tone.Word)
	w = made(t, "", nil)
	s, err = OfWork(w)
	require.NoError(t, err)
	require.Equal(t, w.Program, s.Program)
	require.NotEmpty(t, s.Program.Strokes)
}

// The last of several tones counts.
func TestTonesOfTheCommandLine(t *testing.T) {
	var tone Tone
	for _, word := range []string{"lighter", "darker"} {
		require.NoError(t, tone.Set(word))
		require.Equal(t, Tone{Word: word}, tone)
	}
	require.NoError(t, tone.Set("#102030"))
	require.Equal(t, color.RGBA{R: 16, G: 32, B: 48, A: 255}, tone.on(color.RGBA{R: 200, A: 255}))
	require.Error(t, tone.Set("shiny"))
	require.Equal(t, color.RGBA{R: 16, G: 32, B: 48, A: 255}, tone.on(color.RGBA{R: 200, A: 255}))
}
