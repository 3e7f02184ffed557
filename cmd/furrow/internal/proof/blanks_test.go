package proof_test

import (
	"fmt"
	"hash/crc32"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/gcode"
	"furrow/emit/markvec"
	"furrow/path"
)

// onBlanks is the file of rows of 20 mm from these places on, that names its blanks.
func onBlanks(t *testing.T, rows []path.Point, blanks ...emit.Blank) string {
	t.Helper()
	co2 := find(t, "example-co2")
	prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 100, Power: 0.4}}}
	for _, at := range rows {
		prog.Append(path.Stroke{}, at, path.Point{X: at.X + 20, Y: at.Y})
	}
	m, err := emit.Plan(prog, co2.Profile)
	require.NoError(t, err)
	m.Header.Blanks = blanks
	var b strings.Builder
	require.NoError(t, gcode.Encoder{Profile: co2.Controller(), Comments: []string{"furrow 0.1.0"}}.Encode(&b, m))
	return b.String()
}

func blank(x0, y0, x1, y1, bleed float64) emit.Blank {
	return emit.Blank{Rect: path.Rect{Min: path.Point{X: x0, Y: y0}, Max: path.Point{X: x1, Y: y1}}, Bleed: bleed}
}

// Marks from 5,5 to 25,5 lie on the blank that the file names, or over its edge by no more
// than it says.
func TestMarksLieOnTheBlank(t *testing.T) {
	row := []path.Point{{X: 5, Y: 5}}
	for _, tt := range []struct {
		blank emit.Blank
		words string // or what is refused
		taken bool
	}{
		{blank(0, 0, 30, 10, 0), "the marks lie on the blank of 30.0 x 10.0 mm", true},
		{blank(5, 5, 25, 10, 0), "the marks lie on the blank of 20.0 x 5.0 mm", true},
		{blank(0, 0, 20, 10, 5.25), "the marks lie on the blank of 20.0 x 10.0 mm, or over its edge by 5.25 mm at most",
			true},
		{blank(0, 0, 20, 10, 0), "marks reach past the blank of 20.0 x 10.0 mm that the file names: 5.00 mm right",
			false},
		{blank(0, 0, 20, 10, 4), "marks reach past the blank of 20.0 x 10.0 mm that the file names: 5.00 mm right",
			false},
		{blank(0, 7, 30, 10, 0), "marks reach past the blank of 30.0 x 3.0 mm that the file names: 2.00 mm", false},
	} {
		text := onBlanks(t, row, tt.blank)
		if tt.taken {
			f := proved(t, text, nil)
			require.Contains(t, f.Proved(), tt.words)
			continue
		}
		r := refusal(t, text, nil)
		require.Len(t, r.Problems, 1)
		require.Equal(t, "blank", r.Problems[0].Rule)
		require.ErrorContains(t, r, tt.words)
		require.Equal(t, "write the file again", r.Hint())
	}
	none := proved(t, onBlanks(t, row), nil)
	require.NotContains(t, strings.Join(none.Proved(), "\n"), "the marks lie on")
}

// Of several blanks each mark lies on one, whichever it is; between them is off, and the
// nearest is named.
func TestEachMarkLiesOnABlank(t *testing.T) {
	three := []emit.Blank{blank(0, 0, 30, 10, 0), blank(40, 0, 70, 10, 0), blank(80, 0, 110, 10, 0)}
	rows := []path.Point{{X: 85, Y: 5}, {X: 5, Y: 5}, {X: 45, Y: 5}, {X: 50, Y: 9}, {X: 10, Y: 1}}
	f := proved(t, onBlanks(t, rows, three...), nil)
	require.Contains(t, f.Proved(), "each mark lies on one of the 3 blanks that the file names")
	r := refusal(t, onBlanks(t, append(rows, path.Point{X: 58, Y: 4}), three...), nil)
	require.Equal(t, "blank", r.Problems[0].Rule)
	require.ErrorContains(t, r, "reaches past the nearest of the 3 blanks that the file names: 8.00 mm right")
	require.ErrorContains(t, refusal(t, onBlanks(t, rows, three[:2]...), nil), "the nearest of the 2 blanks")
	bleed := []emit.Blank{blank(0, 0, 30, 10, 8), blank(40, 0, 70, 10, 8)}
	f = proved(t, onBlanks(t, []path.Point{{X: 58, Y: 4}, {X: 5, Y: 5}}, bleed...), nil)
	require.Contains(t, f.Proved(),
		"each mark lies on one of the 2 blanks that the file names, or over its edge by 8 mm at most")
}

// Rows 12 mm below the middle of a circle of 15 mm radius, 10 mm to both sides, end 15.62 mm
// from it: in its square, and off it.
func TestMarksLieOnARoundBlank(t *testing.T) {
	round := func(x0, bleed float64) emit.Blank {
		b := blank(x0, 0, x0+30, 30, bleed)
		b.Round = true
		return b
	}
	on := []path.Point{{X: 5, Y: 15}, {X: 5, Y: 5}}
	off := append(on, path.Point{X: 5, Y: 3})
	says := func(rows []path.Point, of emit.Blank, text string) {
		f := proved(t, onBlanks(t, rows, of), nil)
		require.Contains(t, f.Proved(), text)
	}
	says(on, round(0, 0), "the marks lie on the round blank of 30.0 x 30.0 mm")
	says(off, blank(0, 0, 30, 30, 0), "the marks lie on the blank of 30.0 x 30.0 mm")
	r := refusal(t, onBlanks(t, off, round(0, 0)), nil)
	require.Equal(t, "blank", r.Problems[0].Rule)
	require.ErrorContains(t, r, "reaches past the blank that the file names: 0.62 mm past its round edge")
	says(off, round(0, 1), "the marks lie on the round blank of 30.0 x 30.0 mm, or over its edge by 1 mm at most")
	both := append(on, path.Point{X: 45, Y: 15})
	proved(t, onBlanks(t, both, round(0, 0), round(40, 0)), nil)
	r = refusal(t, onBlanks(t, append(both, path.Point{X: 45, Y: 3}), round(0, 0), round(40, 0)), nil)
	require.ErrorContains(t, r, "the nearest of the 2 blanks that the file names: 0.62 mm past its round edge")
}

// A blank of 60 x 24 mm about 30,12 that lies aslant by 90 degrees is on X 18 to 42 and Y -18 to
// 42: rows of 20 mm from 20 on lie on it, and those from 24 on 2 mm past its side. On the oval in
// it they lie within 30·√(1 - (10/12)²) = 16.58 mm of its middle.
func TestMarksLieOnABlankAslant(t *testing.T) {
	b := blank(0, 0, 60, 24, 0)
	b.Turn = 90
	f := proved(t, onBlanks(t, []path.Point{{X: 20, Y: 12}, {X: 20, Y: 41}, {X: 20, Y: -17}}, b), nil)
	require.Contains(t, f.Proved(), "the marks lie on the blank of 60.0 x 24.0 mm, turned by 90 degrees")
	off := onBlanks(t, []path.Point{{X: 20, Y: 12}, {X: 24, Y: 12}}, b)
	require.ErrorContains(t, refusal(t, off, nil), "reaches past the blank that the file names: 2.00 mm past its edge")
	b.Round = true
	f = proved(t, onBlanks(t, []path.Point{{X: 20, Y: 12}, {X: 20, Y: 28.5}}, b), nil)
	require.Contains(t, f.Proved(), "the marks lie on the oval blank of 60.0 x 24.0 mm, turned by 90 degrees")
	off = onBlanks(t, []path.Point{{X: 20, Y: 12}, {X: 20, Y: 29}}, b)
	require.ErrorContains(t, refusal(t, off, nil), "past its round edge")
}

// Where the travel would lie on the bed is said along both axes: rows from 5,5 on, on a bed
// of 600 x 400 mm.
func TestWhereZeroFits(t *testing.T) {
	f := proved(t, onBlanks(t, []path.Point{{X: 5, Y: 5}}), nil)
	err := f.ProveOnBed(value.Point{X: 590, Y: 398})
	var hint interface{ Hint() string }
	require.ErrorAs(t, err, &hint)
	x, y, ok := strings.Cut(strings.TrimPrefix(hint.Hint(), "it fits with --zero-at "), ",")
	require.True(t, ok, hint.Hint())
	at := func(s string) float64 {
		var n value.Number
		require.NoError(t, n.Set(s))
		return float64(n)
	}
	require.NoError(t, f.ProveOnBed(value.Point{X: at(x), Y: at(y)}))
	require.InDelta(t, 395, at(y), 0.01, "the row lies 5 mm above zero")
	require.Less(t, at(x), 576.0)
	require.Error(t, f.ProveOnBed(value.Point{X: at(x) + 0.1, Y: at(y)}))
	require.Error(t, f.ProveOnBed(value.Point{X: at(x), Y: at(y) + 0.1}))
}

// A galvo whose controller takes G-code keeps delays that the file has no words for.
func TestDelaysThatGCodeHasNoWordsFor(t *testing.T) {
	galvo := *find(t, "example-fibre")
	code := *find(t, "example-co2").GCode
	galvo.ID, galvo.GCode = "galvo-of-lines", &code
	const gap = ": that the controller keeps the profile's delays: G-code has no words for them"
	set := path.Setting{SpeedMMPerS: 100, Power: 0.4, FrequencyHz: 50_000}
	prog := path.Program{Settings: []path.Setting{set}}
	prog.Append(path.Stroke{}, path.Point{X: 5, Y: 5}, path.Point{X: 25, Y: 5})
	m, err := emit.Plan(prog, galvo.Profile)
	require.NoError(t, err)
	var b strings.Builder
	require.NoError(t, gcode.Encoder{Profile: galvo.Controller(), Comments: []string{"furrow 0.1.0"}}.Encode(&b, m))
	read := proved(t, b.String(), &galvo)
	require.Contains(t, gaps(read), gap)
	planned, err := clock.Run(m, galvo.Profile)
	require.NoError(t, err)
	require.NotZero(t, planned.MarkDelay+planned.JumpDelay)
	require.InDelta(t, planned.Total().Seconds(), read.Report.Total().Seconds(), 1e-4, "with the profile's delays")
	require.NotContains(t, gaps(proved(t, onBlanks(t, []path.Point{{X: 5, Y: 5}}), nil)), gap)
}

// A file says how long it took when it was made: where that is the time now, or none is
// said, nothing has changed.
func TestTimeThatAFileTells(t *testing.T) {
	co2 := find(t, "example-co2")
	told := func(says time.Duration) (then time.Duration, differs bool) {
		prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 100, Power: 0.4}}}
		prog.Append(path.Stroke{}, path.Point{X: 5, Y: 5}, path.Point{X: 25, Y: 5})
		m, err := emit.Plan(prog, co2.Profile)
		require.NoError(t, err)
		m.Header.Time = says
		var b strings.Builder
		require.NoError(t, gcode.Encoder{Profile: co2.Controller(), Comments: []string{"furrow 0.1.0"}}.Encode(&b, m))
		f := proved(t, b.String(), nil)
		return f.TimeThen()
	}
	own := proved(t, written(t, co2.Profile), nil)
	now := own.Report.Total().Round(time.Millisecond)
	for says, want := range map[time.Duration]bool{0: false, now: false, now + time.Millisecond: true} {
		then, differs := told(says)
		require.Equal(t, says, then)
		require.Equal(t, want, differs, "%v", says)
	}
	_, differs := (&proof.File{}).TimeThen()
	require.False(t, differs)
}

// What is other than the profile on purpose is told of, since it is no slip then.
func TestWhatIsOtherOnPurpose(t *testing.T) {
	const bare = "its places are not corrected on purpose, to measure the field of example-fibre by"
	const stepped = "its delays are stepped on purpose, to be read off a card, and not those of example-fibre"
	fibre := find(t, "example-fibre")
	for _, tt := range []struct{ bare, stepped bool }{{}, {bare: true}, {stepped: true}} {
		prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 100, Power: 0.4, FrequencyHz: 50_000}}}
		prog.Append(path.Stroke{}, path.Point{X: 5, Y: 5}, path.Point{X: 25, Y: 5})
		m, err := emit.Plan(prog, fibre.Profile)
		require.NoError(t, err)
		m.Header.Bare, m.Header.Stepped = tt.bare, tt.stepped
		var b strings.Builder
		require.NoError(t, markvec.Encoder{Comments: []string{"furrow 0.1.0"}}.Encode(&b, m))
		f := proved(t, b.String(), nil)
		require.Equal(t, tt.bare, slices.Contains(f.Proved(), bare))
		require.Equal(t, tt.stepped, slices.Contains(f.Proved(), stepped))
		_, err = proof.ProveToPlay("a.mvl", strings.NewReader(b.String()), fibre)
		require.NoError(t, err)
		_, err = proof.ProveToPlay("a.mvl", strings.NewReader(b.String()), find(t, "example-co2"))
		require.ErrorContains(t, err, "takes G-code")
		_, err = proof.ProveToPlay("a.mvl", strings.NewReader(b.String()+"more"), fibre)
		require.Error(t, err)
	}
}

// Every line that breaks a rule is told, and what is no text at all is no file for a
// controller; that a profile has changed is told apart from all else.
func TestEveryBrokenLineIsTold(t *testing.T) {
	r := refusal(t, strings.Replace(byHand, "G0 X5 Y5\n", "Q1\nG0 X5 Y5\nQ2\n", 1), nil)
	require.Equal(t, 4, r.Problems[0].Line)
	lines := 0
	for _, p := range r.Problems {
		lines += 1 + p.More
	}
	require.Equal(t, 2, lines)
	require.False(t, r.Changed())
	require.False(t, (&proof.Refusal{}).Changed())
	co2 := find(t, "example-co2")
	changed := *co2
	g := *co2.Gantry
	g.BeamOnLatencyUS++
	changed.Gantry = &g
	require.True(t, refusal(t, written(t, co2.Profile), &changed).Changed())
	require.Equal(t, "line 3 and 1 more: a", proof.Problem{Line: 3, More: 1, Message: "a"}.String())
	for _, text := range []string{"\x00G21", "G21\x00"} {
		_, err := proof.Prove("a.nc", strings.NewReader(text), nil)
		require.ErrorContains(t, err, "a.nc is no text, and so no file for a controller")
	}
}

// A comment that tells of a blank, and cannot be read, is told: in a file of ours it has been
// changed, whatever its check sum says; in one from elsewhere nothing is proved of that blank.
func TestBlankThatCannotBeRead(t *testing.T) {
	co2 := find(t, "example-co2")
	row, ours := []path.Point{{X: 5, Y: 5}}, "(blank 30 x 10 mm at X0 Y0, bleed 0 mm)"
	text := onBlanks(t, row, blank(0, 0, 30, 10, 0), blank(40, 0, 70, 10, 0))
	require.Contains(t, text, ours)
	lines := slices.DeleteFunc(strings.SplitAfter(text, "\n"), func(l string) bool {
		return strings.HasPrefix(l, "(whole ") || strings.HasPrefix(l, "(furrow ") || strings.HasPrefix(l, "(profile ") ||
			strings.HasPrefix(l, "(time ")
	})
	foreign := strings.Replace(strings.Join(lines, ""), "X40", "X4O", 1)
	f, err := proof.Prove("a.nc", strings.NewReader(foreign), co2)
	require.NoError(t, err)
	require.Contains(t, f.NotProved(), proof.Gap{What: "that all marks lie on blanks: a comment tells of a blank and " +
		"cannot be read"})
	require.Contains(t, f.Proved(), "the marks lie on the blank of 30.0 x 10.0 mm")
	f, err = proof.Prove("a.nc", strings.NewReader(strings.Replace(foreign, "X0 Y0", "X0,0 Y0", 1)), co2)
	require.NoError(t, err)
	require.Contains(t, f.NotProved(), proof.Gap{What: "that all marks lie on blanks: 2 comments tell of blanks and " +
		"cannot be read"})

	named := "(profile example-co2 " + co2.Hash() + ")\n" + foreign
	_, err = proof.Prove("a.nc", strings.NewReader(closed(named)), co2)
	require.ErrorContains(t, err, "a comment tells of a blank and cannot be read: it was changed since it was made")
	_, err = proof.Prove("a.nc", strings.NewReader(closed(strings.Replace(named, "X4O", "X40", 1))), co2)
	require.NoError(t, err)
}

// closed puts the closing comment of a file before its last line.
func closed(text string) string {
	body := strings.TrimSuffix(text, "M2\n")
	return body + fmt.Sprintf("(whole %d lines crc %08x)\nM2\n", strings.Count(body, "\n")+2,
		crc32.ChecksumIEEE([]byte(body)))
}
