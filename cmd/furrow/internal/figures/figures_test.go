package figures_test

import (
	"math"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/figures"
	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

const s = time.Second

// parts are a second, two, three... of each in turn.
var parts = clock.Parts{
	Mark: s, Overtravel: 2 * s, Turn: 3 * s, Travel: 4 * s, Corner: 5 * s, Jump: 6 * s, JumpDelay: 7 * s,
	MarkDelay: 8 * s, CornerDelay: 9 * s, Wait: 10 * s,
}

// Each kind of machine has the parts of its own alone, under keys of their own.
func TestFiguresOfAReport(t *testing.T) {
	r := clock.Report{
		Parts: parts, Marks: path.Rect{Min: path.Point{X: 1, Y: 2}, Max: path.Point{X: 3, Y: 4}},
		Moves:  path.Rect{Min: path.Point{X: -1, Y: -2}, Max: path.Point{X: 5, Y: 6}},
		MarkMM: 11, TravelMM: 12, OvertravelMM: 13, GapMM: 14, Jumps: 15,
	}
	want := figures.Figures{
		Format: "rs274", Machine: "bench", BoundsMM: [4]float64{1, 2, 3, 4}, TravelBoundsMM: [4]float64{-1, -2, 5, 6},
		MarkMM: 11, TravelMM: 12, OvertravelMM: 13, GapMM: 14, Jumps: 15, Seconds: 55,
		Time: map[string]float64{"mark_s": 1, "overtravel_s": 2, "turn_s": 3, "travel_s": 4, "corner_s": 5,
			"wait_s": 10},
	}
	require.Equal(t, want, figures.Of("rs274", "bench", r))
	want.Format, r.Galvo = "mvl", true
	want.Time = map[string]float64{
		"mark_s": 1, "overtravel_s": 2, "travel_s": 4, "jump_s": 6, "jump_delay_s": 7, "mark_delay_s": 8,
		"corner_delay_s": 9, "wait_s": 10,
	}
	require.Equal(t, want, figures.Of("mvl", "bench", r))
	require.Equal(t, [4]float64{}, figures.Of("mvl", "", clock.Report{Marks: path.EmptyRect()}).BoundsMM)
	for i, want := range []string{"rs274", "rs274", "mvl"} {
		require.Contains(t, []string{want, "rs274"}, figures.FormatOf(machine.Examples()[i]))
	}
	require.Equal(t, "mvl", figures.FormatOf(machine.Profile{Kind: machine.KindGalvo, Galvo: &machine.Galvo{}}))
}

func TestTimesAreToldByTheirParts(t *testing.T) {
	require.Equal(t, "0:55: marking 0:01.0, overtravel 0:02.0, steps 0:03.0, travel 0:04.0, corners 0:05.0, jumps "+
		"0:06.0, "+
		"jump delays 0:07.0, mark delays 0:08.0, corner delays 0:09.0, waits 0:10", figures.TimeWords(parts,
		figures.Span{}))
	short := clock.Parts{Mark: 60 * s, Travel: 5 * time.Millisecond, Wait: 5*time.Millisecond - 1}
	require.Equal(t, "1:00 (0:50 to 2:00 by the measured runs): marking 1:00, travel 0.01 s",
		figures.TimeWords(short, figures.Span{Low: 50 * s, High: 120 * s}))
}

func TestSpansAreToldByWhatIsAssumed(t *testing.T) {
	span := func(low, high time.Duration, assumed ...string) figures.Span {
		return figures.Span{Low: low, High: high, Assumed: assumed}
	}
	require.Empty(t, span(10*s, 10*s+time.Millisecond, "acceleration").Words(), "both ends read alike")
	for want, x := range map[string]figures.Span{
		" (0:10 to 0:20 by the measured runs)":               span(10*s, 20*s),
		" (0:10 to 0:20 until the acceleration is measured)": span(10*s, 20*s, "acceleration"),
		" (0:10 to 0:20 until the acceleration and the travel speed are measured)": span(10*s, 20*s, "acceleration",
			"travel speed"),
		" (0:10 to 0:20 until the acceleration and 2 more values are measured)": span(10*s, 20*s, "acceleration",
			"b", "c"),
		"": span(10*s, 10*s, "acceleration"),
	} {
		require.Equal(t, want, x.Words())
		var f figures.Figures
		f.Add(x)
		if want == "" {
			require.Equal(t, figures.Figures{}, f)
		} else {
			require.Equal(t, figures.Figures{Least: 10, Most: 20, Assumed: x.Assumed}, f)
		}
	}
}

// travelled is a single travel of 50 mm.
func travelled() emit.Moves {
	return emit.Moves{Play: func(yield func(emit.Move, error) bool) { yield(emit.Move{To: path.Point{X: 50}}, nil) }}
}

// Rest to rest over 50 mm takes 2·√(50/a): with 1,000 mm/s2 that nobody measured it may
// be 500 or 3,000; with what was measured to 19 %, 810 or 1,190.
func TestSpanOfATravel(t *testing.T) {
	p := machine.Profile{ID: "bench", Kind: machine.KindGantry, Gantry: &machine.Gantry{
		MaxSpeedMMPerS: [2]float64{900, 900}, AccelMMPerS2: [2]float64{1000, 1000}, RapidMMPerS: 900,
		TravelJunction: machine.JunctionRest,
	}}
	took := func(accel float64) time.Duration { return time.Duration(math.Round(2 * math.Sqrt(50/accel) * 1e9)) }
	r, err := clock.Run(travelled(), p)
	require.NoError(t, err)
	got, err := figures.SpanOf(travelled(), p, r)
	require.NoError(t, err)
	require.Equal(t, figures.Span{}, got)
	p.Guessed = []string{"gantry.beam_on_latency_us", "gantry.accel_mm_s2"}
	got, err = figures.SpanOf(travelled(), p, r)
	require.NoError(t, err)
	require.Equal(t, figures.Span{Low: took(3000), High: took(500), Assumed: []string{"acceleration"}}, got)
	p.Guessed, p.Measured = nil, []machine.Measured{{Key: "gantry.accel_mm_s2", Percent: 19}}
	got, err = figures.SpanOf(travelled(), p, r)
	require.NoError(t, err)
	require.Equal(t, figures.Span{Low: took(1190), High: took(810)}, got)
	// What the clock says of the profile itself lies in the span.
	got, err = figures.SpanOf(travelled(), p, clock.Report{Parts: clock.Parts{Travel: time.Hour}})
	require.NoError(t, err)
	require.Equal(t, time.Hour, got.High)
	got, err = figures.SpanOf(travelled(), p, clock.Report{Parts: clock.Parts{Travel: time.Millisecond}})
	require.NoError(t, err)
	require.Equal(t, time.Millisecond, got.Low)
}

// A galvo's moves carry the delays of the machine that is asked for, a gantry's none.
func TestMovesOnAnotherMachine(t *testing.T) {
	p := machine.Examples()[2]
	m := travelled()
	require.Nil(t, figures.OnMachine(m, p).Scanner)
	m.Header.Field, m.Settings = path.Point{X: 175, Y: 175}, []path.Setting{{SpeedMMPerS: 800}}
	m.Scanner = []machine.Scanner{{JumpUS: 1}}
	require.Equal(t, int64(234), figures.OnMachine(m, p).Scanner[0].JumpUS)
	require.Equal(t, int64(1), figures.OnMachine(m, machine.Examples()[0]).Scanner[0].JumpUS)
}

// One blank is told by itself, those of a load as a list, and one of no size not at all.
func TestBlanksOfAFile(t *testing.T) {
	blank := func(x0, y0, x1, y1 float64) emit.Blank {
		return emit.Blank{Rect: path.Rect{Min: path.Point{X: x0, Y: y0}, Max: path.Point{X: x1, Y: y1}}, Bleed: 1}
	}
	one, two, flat := blank(1, 2, 31, 22), blank(41, 2, 71, 22), blank(5, 5, 35, 5)
	first, second := [4]float64{1, 2, 31, 22}, [4]float64{41, 2, 71, 22}
	for _, tt := range []struct {
		on   []emit.Blank
		want figures.Figures
	}{
		{nil, figures.Figures{}}, {[]emit.Blank{flat}, figures.Figures{}},
		{[]emit.Blank{two}, figures.Figures{BlankMM: &second}},
		{[]emit.Blank{flat, one}, figures.Figures{BlankMM: &first}},
		{[]emit.Blank{one, two}, figures.Figures{BlanksMM: [][4]float64{first, second}}},
	} {
		var got figures.Figures
		got.On(tt.on...)
		require.Equal(t, tt.want, got)
		require.False(t, got.BlankRound)
	}
	round := one
	round.Round = true
	var got figures.Figures
	got.On(one, round, two)
	require.True(t, got.BlankRound, "one of them is")
	aslant := one
	aslant.Turn = 90
	c, half := one.Rect.Centre(), path.Point{X: one.Rect.W() / 2, Y: one.Rect.H() / 2}
	got = figures.Figures{}
	got.On(aslant, one)
	require.Equal(t, []float64{90, 0}, got.BlankTurns)
	require.Equal(t, [4]float64{c.X - half.Y, c.Y - half.X, c.X + half.Y, c.Y + half.X}, got.BlanksMM[0], "as it lies")
}
