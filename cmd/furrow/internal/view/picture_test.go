package view

import (
	"bytes"
	"fmt"
	"image/color"
	"image/png"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/raster/density"
)

// Every flag of a picture is felt in its options, and none in another's.
func TestFlagsOfAPicture(t *testing.T) {
	plain := Picture{}.over(square(10, 0))
	require.Zero(t, plain.DPI)
	require.Zero(t, plain.Size)
	require.Equal(t, path.Rect{}, plain.Window)
	dpi, size, inch := value.Number(300), Pixels(700), "in"
	window := Window{Min: path.Point{X: 1, Y: 2}, Max: path.Point{X: 4, Y: 6}}
	got := Picture{Window: &window, Crop: true, Units: &inch, DPI: &dpi, Size: &size, Dark: true}.over(square(10, 0))
	want := plain
	want.Window, want.Crop, want.Inches, want.DPI, want.Size, want.Dark = path.Rect(window), true, true, 300, 700, true
	require.Equal(t, want, got)
	require.Equal(t, "X0 Y0", plain.Zero)
	require.Equal(t, "reach of the beam", square(10, 2).Opts.ReachName)
	require.Empty(t, square(10, 2).Opts.Zero)
	require.Equal(t, "field", square(10, 2).Opts.BedName)
	require.Equal(t, 175.0, square(10, 2).Opts.Bed.W())
}

func TestWindowsAreRectangles(t *testing.T) {
	for text, want := range map[string]path.Rect{
		"1,2,3mm,4":               {Min: path.Point{X: 1, Y: 2}, Max: path.Point{X: 4, Y: 6}},
		"-1in,0,1in,0.001":        {Min: path.Point{X: -25.4}, Max: path.Point{Y: 0.001}},
		"20000,-20000,20000,0.01": {Min: path.Point{X: 20000, Y: -20000}, Max: path.Point{X: 40000, Y: -19999.99}},
	} {
		var w Window
		require.NoError(t, w.Set(text), text)
		require.InDelta(t, 0, w.Min.Dist(want.Min)+w.Max.Dist(want.Max), 1e-9, text)
	}
	for text, want := range map[string]string{
		"1,2,3": "is not X,Y,W,H", "1,2,3,4,5": "is not X,Y,W,H", "a,2,3,4": "a", "1,2,0,4": "mm wide and high",
		"1,2,3,0.0009": "mm wide and high",
		"1,2,20001,4":  "mm wide and high", "1,2,3,20001": "mm wide and high",
		"20001,0,1,1":  "begins more than 20000 mm from X0 Y0",
		"0,-20001,1,1": "begins more than 20000 mm from X0 Y0",
	} {
		require.ErrorContains(t, new(Window).Set(text), want, text)
	}
	var p Pixels
	require.NoError(t, p.Set(" 700 "))
	require.Equal(t, []float64{700}, p.Numbers())
	require.ErrorContains(t, p.Set("7.5"), "is not a whole number from 300 to 20000")
}

// The blank and the marks on it: by the flags, else by the job and its recipe, else dark on
// the page; a lighter tone has a dark blank where no colour is known.
func TestColoursOfAFinish(t *testing.T) {
	red := value.Colour{R: 200, G: 100, B: 0, A: 255}
	blue := value.Colour{B: 200, A: 255}
	lighter, blueTone := &Tone{Word: "lighter"}, &Tone{}
	require.NoError(t, blueTone.Set("#0000c8"))
	s := square(10, 0)
	s.Program.Settings = make([]path.Setting, 2)
	for _, tt := range []struct {
		own, asked   *value.Colour
		tone, wanted *Tone
		ground, mark color.RGBA
	}{
		{nil, nil, nil, nil, color.RGBA{}, color.RGBA{}},
		{&red, nil, nil, nil, color.RGBA(red), color.RGBA{R: 70, G: 35, A: 255}}, // 0.35 of it
		{&red, nil, lighter, nil, color.RGBA(red), color.RGBA{R: 236, G: 201, B: 166, A: 255}},
		// 0.65 of the way to 255
		{&red, &blue, lighter, &Tone{Word: "darker"}, color.RGBA(blue), color.RGBA{B: 70, A: 255}}, // what is asked for
		{nil, nil, lighter, nil, color.RGBA{R: 70, G: 72, B: 74, A: 255}, color.RGBA{R: 190, G: 191, B: 192, A: 255}},
		{&red, nil, nil, blueTone, color.RGBA(red), color.RGBA(blue)},
	} {
		s.blank, s.Tone = tt.own, tt.tone
		ground, tones := Picture{Blank: tt.asked, Tone: tt.wanted}.finish(s)
		require.Equal(t, tt.ground, ground, "%+v", tt)
		require.Equal(t, []color.RGBA{tt.mark, tt.mark}, tones, "%+v", tt)
		o := Picture{Blank: tt.asked, Tone: tt.wanted}.over(s)
		require.Equal(t, []any{ground, tones}, []any{o.Ground, o.Tones})
	}
	require.Nil(t, ToneOf(nil))
	require.Nil(t, ToneOf(&settings.Recipe{}))
	require.Equal(t, "lighter", ToneOf(&settings.Recipe{Recipe: machine.Recipe{Tone: "lighter"}}).Word)
	require.ErrorContains(t, new(Tone).Set("shiny"), `"shiny" is none of lighter, darker`)
}

// made is work on a blank of 40 x 30 x 1 mm.
func made(t *testing.T, id string, change func(*job.Job)) work.Work {
	t.Helper()
	length := func(v float64) *value.Length { l := value.Length(v); return &l }
	speed, power, effort := value.Number(100), value.Number(40), "quick"
	j := job.Job{
		Furrow: 1, Machine: id, Effort: &effort, Artwork: job.Artwork{File: "dir/tag.svg"},
		Blank: job.Blank{Width: length(40), Height: length(30), Thickness: length(1), Material: "slate"},
		Fill:  job.Fill{Spacing: &value.Spacing{MM: 1}, Speed: &speed, Power: &power}, KeepOut: []machine.Clamp{{50, 50,
			60, 60}},
	}
	if id == "example-fibre" {
		j.Fill.Frequency = &value.Frequency{Hz: 50_000}
	}
	if change != nil {
		change(&j)
	}
	r, err := job.Resolve(j, job.Request{}, id == "")
	require.NoError(t, err)
	d, err := work.Read(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm"><rect `+
		`width="100%" height="100%"/></svg>`), r)
	require.NoError(t, err)
	w, err := work.Make(work.NewInput(r, d))
	require.NoError(t, err)
	return w
}

// What a picture shows of work: its blank, clamps, mark and caption, and what it needs.
func TestSubjectOfWork(t *testing.T) {
	name, width := "slategrey", value.Length(0.3)
	w := made(t, "example-co2", func(j *job.Job) { j.Blank.Colour, j.Fill.MarkWidth = &name, &width })
	s, err := OfWork(w)
	require.NoError(t, err)
	require.Equal(t, path.Rect{Max: path.Point{X: 40, Y: 30}}, s.Opts.Blank)
	require.Equal(t, "blank", s.Opts.BlankName)
	require.Equal(t, value.Colour{R: 112, G: 128, B: 144, A: 255}, *s.blank) // SVG 1.1, 4.4
	require.Equal(t, []path.Rect{{Min: path.Point{X: 50, Y: 50}, Max: path.Point{X: 60, Y: 60}}}, s.Opts.Keep)
	require.Equal(t, 0.3, s.Opts.MarkWidthMM)
	require.Equal(t, "tag.svg", s.Opts.Caption.Name)
	require.Equal(t, "example CO2 gantry", s.Opts.Caption.Facts[0])
	require.Equal(t, "1 mm at 0 degrees", s.Opts.Caption.Facts[1])
	require.Len(t, s.Opts.Caption.Facts, 3)
	show := "dose"
	o, err := Picture{Show: &show}.Options(s, 0)
	require.NoError(t, err)
	require.Len(t, o.Marking, len(s.Program.Strokes))
	sum := 0.0
	for _, m := range o.Marking {
		sum += m.EnergyJ
	}
	require.InDelta(t, 20*20/100.*16, sum, 1.5, "20 rows of 20 mm less the inset at 100 mm/s, 40 % of 40 W")

	show = "heat"
	o, err = Picture{Show: &show}.Options(s, 0)
	require.NoError(t, err)
	require.Equal(t, path.Rect{Max: path.Point{X: 40, Y: 30}}, o.Heat.Rect)
	require.Equal(t, "an estimate, with 100 % of the beam taken in", o.Caption.Facts[len(o.Caption.Facts)-1])
	w.Recipe = &settings.Recipe{Recipe: machine.Recipe{AbsorbedFraction: 0.25}}
	s, err = OfWork(w)
	require.NoError(t, err)
	quarter, err := Picture{Show: &show}.Options(s, 0)
	require.NoError(t, err)
	require.Equal(t, "an estimate, with 25 % of the beam taken in", quarter.Caption.Facts[len(quarter.Caption.Facts)-1])
	for i, k := range o.Heat.RiseK {
		require.InDelta(t, k/4, quarter.Heat.RiseK[i], 1e-4)
	}
}

// What a picture cannot be made of without a machine.
func TestPicturesNeedTheirMachine(t *testing.T) {
	s, err := OfWork(made(t, "", nil))
	require.NoError(t, err)
	require.Equal(t, []string{"1 mm at 0 degrees"}, s.Opts.Caption.Facts)
	for show, want := range map[string]string{
		"dose": "dose needs to know the machine's laser", "sequence": "times need to know the machine",
		"travel": "travel needs to know the machine",
		"heat":   "heat needs the machine", "density": "", "rows": "", "finish": "",
	} {
		o, err := Picture{Show: &show}.Options(s, 0)
		if want != "" {
			require.ErrorContains(t, err, want)
			continue
		}
		require.NoError(t, err)
		require.Nil(t, o.Marking)
	}
	rows := "rows"
	_, err = Picture{Show: &rows}.Options(s, 15)
	require.ErrorContains(t, err, "times need to know the machine", "a film")
}

// A file of which no machine is known says what a picture of it guesses.
func TestSubjectOfAFile(t *testing.T) {
	text := "G21 G17 G90 G94\nM5 S0\nM3 S0\nG0 X5 Y5\nG1 X25 F600 S500\n" +
		"X26 S0\nG0 X25 Y6\nG1 X5 S500\nG0 S0 X5 Y7\nG1 X25 S500\nX26 S0\nM5 S0\nM2\n"
	f, err := proof.Prove("dir/a.nc", strings.NewReader(text), nil)
	require.NoError(t, err)
	s, err := OfFile(f)
	require.NoError(t, err)
	require.Equal(t, "a.nc", s.Opts.Caption.Name)
	require.Equal(t, []string{"1 mm at 0 degrees"}, s.Opts.Caption.Facts)
	require.Equal(t, []string{"no machine profile: mark width of 0.1 mm is a guess",
		"latency of the beam is left out"}, Guesses(f, 0))
	require.Equal(t, []string{"latency of the beam is left out"}, Guesses(f, 0.2))
	m, err := settings.FindMachine("example-co2")
	require.NoError(t, err)
	f, err = proof.Prove("a.nc", strings.NewReader(text), &m)
	require.NoError(t, err)
	s, err = OfFile(f)
	require.NoError(t, err)
	require.Empty(t, Guesses(f, 0))
	require.Equal(t, []string{"example CO2 gantry", "1 mm at 0 degrees"}, s.Opts.Caption.Facts[:2])
	require.Len(t, s.Opts.Caption.Facts, 3, "and its time")
	require.Equal(t, []string{"0.1 mm at 0 and 90 degrees", "0.2 mm at 45 degrees"}, rowsFacts([]density.Rows{
		{SpacingMM: 0.1, Degrees: 90}, {SpacingMM: 0.2, Degrees: 45}, {SpacingMM: 0.1, Degrees: 0}, {SpacingMM: 0.1,
			Degrees: 90},
	}))
}

// Each format by its first bytes; what is too large is misuse, what cannot be drawn is not.
func TestFormatsOfPictures(t *testing.T) {
	s := square(10, 0)
	s.Program.Settings = make([]path.Setting, 1)
	o := Picture{}.over(s)
	for format, start := range map[string]string{FormatPNG: "\x89PNG", FormatSVG: "<svg", FormatPDF: "%PDF"} {
		write, err := Encoder(s.Program, o, format)
		require.NoError(t, err)
		var b bytes.Buffer
		require.NoError(t, write(&b))
		require.True(t, strings.HasPrefix(b.String(), start), "%s: %.20q", format, b.String())
		if format == FormatPNG {
			img, err := png.Decode(&b)
			require.NoError(t, err)
			require.InDelta(t, density.DefaultSize, max(img.Bounds().Dx(), img.Bounds().Dy()), density.DefaultSize/4.)
		}
	}
	for _, tt := range []struct {
		dpi  float64
		code int
	}{{90_000, fault.CodeUsage}, {0.5, fault.CodeWork}} {
		o.DPI = tt.dpi
		_, err := Encoder(s.Program, o, FormatPNG)
		var f *fault.Failure
		require.ErrorAs(t, err, &f)
		require.Equal(t, tt.code, f.Code, "%g", tt.dpi)
		require.Equal(t, tt.code == fault.CodeUsage, f.Hint != "")
	}
	var b bytes.Buffer
	require.Error(t, FilmEncoder(s.Program, o, 0.1)(&b))
	require.NoError(t, asWork(nil))
	require.Equal(t, "a", fmt.Sprint(asWork(fmt.Errorf("a"))))
}
