package gcode_test

import (
	"bytes"
	"fmt"
	"hash/crc32"
	"io"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/gcode"
	"furrow/emit/gcode/ngc"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

func example(i int) machine.Profile { return machine.Examples()[i] }

// rows is a small fill with gaps, and an outline round it.
func rows() path.Program {
	p := path.Program{Settings: []path.Setting{
		{SpeedMMPerS: 100, Power: 0.35}, {SpeedMMPerS: 33.3333, Power: 0.12345},
	}}
	for k := range 20 {
		y := float64(k) * 0.0635
		a, b, c, d := path.Point{Y: y}, path.Point{X: 7, Y: y}, path.Point{X: 9.12345, Y: y}, path.Point{X: 20, Y: y}
		if k%2 == 1 {
			a, b, c, d = d, c, b, a
		}
		p.Append(path.Stroke{Sweep: int32(k + 1)}, a, b)
		p.Append(path.Stroke{Sweep: int32(k + 1)}, c, d)
	}
	p.Append(path.Stroke{Kind: path.LineStroke, Setting: 1}, path.Point{X: -1, Y: -1}, path.Point{X: 21, Y: -1},
		path.Point{X: 21, Y: 3}, path.Point{X: -1, Y: 3}, path.Point{X: -1, Y: -1})
	return p
}

func plan(t *testing.T, prog path.Program, p machine.Profile) emit.Moves {
	t.Helper()
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	return m
}

func encode(t *testing.T, m emit.Moves, o gcode.Encoder) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, o.Encode(&b, m))
	return b.String()
}

func decode(t *testing.T, text string, g machine.GCode) emit.Moves {
	t.Helper()
	m, err := gcode.Read(strings.NewReader(text), g)
	require.NoError(t, err)
	return m
}

func collect(t *testing.T, m emit.Moves) []emit.Move {
	t.Helper()
	var out []emit.Move
	for mv, err := range m.Play {
		require.NoError(t, err)
		out = append(out, mv)
	}
	return out
}

// conforms asserts that a file passes the validator and the reader, and keeps
// the line length.
func conforms(t *testing.T, text string, g machine.GCode) {
	t.Helper()
	errs, err := ngc.Validate(strings.NewReader(text), 5)
	require.NoError(t, err)
	require.Empty(t, errs)
	problems, err := gcode.Audit(strings.NewReader(text), g, 5)
	require.NoError(t, err)
	require.Empty(t, problems)
	for line := range strings.Lines(text) {
		require.LessOrEqual(t, len(strings.TrimRight(line, "\r\n")), 70)
	}
}

// By hand: 100 mm/s is F6000, since feeds are in units a minute (NISTIR 6556,
// 3.5.19); 300 µs of latency are 0.03 mm; v²/2a + margin is 1.5 mm.
func TestSmallFileByHand(t *testing.T) {
	p := example(0)
	prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 100, Power: 0.35}}}
	prog.Append(path.Stroke{}, path.Point{}, path.Point{X: 20})
	prog.Append(path.Stroke{}, path.Point{X: 20, Y: 0.1}, path.Point{Y: 0.1})
	m := plan(t, prog, p)
	got := encode(t, m, gcode.Encoder{Profile: *p.GCode, Comments: []string{"furrow 1.0",
		"size 20 x 0.1 mm (a test)", "msg µm"}})
	body := `(profile example-co2 ` + p.Hash() + `)
(furrow 1.0)
(size 20 x 0.1 mm [a test])
(- msg um)
G21 G17 G90 G94
M5 S0
M3 S0
G0 X-1.53 Y0
G1 X-0.03 F6000
X19.97 S350
X20.53 S0
X21.53 Y0.05
X20.53 Y0.1
X20.03
X0.03 S350
X-1.53 S0
M5 S0
`
	require.Equal(t, fmt.Sprintf("%s(whole 19 lines crc %08x)\nM2\n", body, crc32.ChecksumIEEE([]byte(body))), got)
	conforms(t, got, *p.GCode)
}

func variants() map[string]machine.GCode {
	return map[string]machine.GCode{
		"zero":     {},
		"steady":   {PowerWordMax: 1000, PowerMode: machine.PowerSteady},
		"follow":   {PowerWordMax: 255, PowerMode: machine.PowerSpeedFollowing},
		"decimals": {PowerWordMax: 1, PowerDecimals: 3},
		"percent":  {PowerWordMax: 100, PowerDecimals: 1},
		"inch":     {Inch: true},
		"all": {
			LineNumbers: true, CRLF: true, RepeatWords: true, Blend: true, End: "M30", Air: "M8", Inch: true,
			StartLines: []string{"G54 (fixture)", "M48"}, EndLines: []string{"G54"},
		},
		"pauses": {
			StartLines: []string{"M7"}, EndLines: []string{"M9", "G4 P2 M0"},
		},
	}
}

// What is written is read back to the last bit, timed the same, and written
// again as the same bytes.
func TestRoundTrip(t *testing.T) {
	for name, g := range variants() {
		t.Run(name, func(t *testing.T) {
			p := example(0)
			p.GCode = &g
			m := plan(t, rows(), p)
			text := encode(t, m, gcode.Encoder{Profile: g})
			conforms(t, text, g)
			back := decode(t, text, g)
			require.Equal(t, m.Header.Hash, back.Header.Hash)
			sameMoves(t, collect(t, m), collect(t, back))
			require.Equal(t, text, encode(t, back, gcode.Encoder{Profile: g}))
			was, err := clock.Run(m, p)
			require.NoError(t, err)
			is, err := clock.Run(back, p)
			require.NoError(t, err)
			require.Equal(t, was, is)
		})
	}
}

// sameMoves compares all but the settings' numbers, which a file does not hold.
func sameMoves(t *testing.T, want, got []emit.Move) {
	t.Helper()
	require.Len(t, got, len(want))
	for i := range want {
		want[i].Setting, got[i].Setting = 0, 0
		require.Equal(t, want[i], got[i], "move %d", i)
	}
}

func TestAirFollowsTheSetting(t *testing.T) {
	p := example(0)
	p.GCode = &machine.GCode{Air: "M7"}
	prog := rows()
	prog.Settings[1].Air = true
	text := encode(t, plan(t, prog, p), gcode.Encoder{Profile: *p.GCode})
	require.Equal(t, 1, strings.Count(text, "M7\n"))
	require.Contains(t, text, "M5 S0\nM9\n(whole ")
	back := decode(t, text, *p.GCode)
	require.False(t, back.Settings[0].Air)
	require.True(t, back.Settings[1].Air)
}

func TestCommentStyles(t *testing.T) {
	m := plan(t, rows(), example(0))
	long := strings.Repeat("words ", 40) + strings.Repeat("x", 100)
	semi := machine.GCode{Comments: machine.CommentsSemicolon}
	text := encode(t, m, gcode.Encoder{Profile: semi, Comments: []string{long}})
	require.NotContains(t, text, "(")
	back := decode(t, text, semi)
	require.Equal(t, "example-co2", back.Header.Profile)
	problems, err := gcode.Audit(strings.NewReader(text), semi, 9)
	require.NoError(t, err)
	require.Empty(t, problems)
	text = encode(t, m, gcode.Encoder{Profile: machine.GCode{Comments: machine.CommentsNone}, Comments: []string{long}})
	require.NotContains(t, text, ";")
	require.NotContains(t, text, "(")
	conforms(t, encode(t, m, gcode.Encoder{Comments: []string{long, "(a(b)c) naïve µ² ° –", "MSG, hello",
		"(msg)"}}), machine.GCode{})
}

// A file's name loses in comments what some controllers act on wherever it stands, and
// what ends a comment or a line.
func TestCommentsMeanNothingToAController(t *testing.T) {
	text := encode(t, plan(t, rows(), example(0)),
		gcode.Encoder{Comments: []string{"a!b~c?d%e$f\x18g\rM3 S9\x00h;i(j)k\x7f\u0085.svg"}})
	require.Contains(t, text, "(a_b_c_d_e_f_g_M3 S9_h,i[j]k__.svg)\n")
	conforms(t, text, machine.GCode{})
}

func TestArcsAreWritten(t *testing.T) {
	g := machine.GCode{Arcs: true, PowerMode: machine.PowerSteady}
	quarter := emit.Move{Kind: emit.Mark, To: path.Point{X: 5, Y: 5}, Centre: path.Point{X: 5}, Turn: emit.Clockwise,
		Speed: 50, Power: 0.5}
	full := quarter
	full.Turn, full.Centre = emit.CounterClockwise, path.Point{X: 1.234, Y: 2}
	m := emit.Moves{Play: func(yield func(emit.Move, error) bool) { _ = yield(quarter, nil) && yield(full, nil) }}
	text := encode(t, m, gcode.Encoder{Profile: g})
	require.Contains(t, text, "G2 X5 Y5 I5 J0 F3000 S500\nG3 X5 Y5 I-3.766 J-3\n")
	conforms(t, text, g)
	sameMoves(t, []emit.Move{quarter, full}, collect(t, decode(t, text, g)))
}

func TestEncodeRefuses(t *testing.T) {
	one := func(mv emit.Move) emit.Moves {
		return emit.Moves{Play: func(yield func(emit.Move, error) bool) { yield(mv, nil) }}
	}
	at := path.Point{X: 1}
	for _, mv := range []emit.Move{
		{Kind: emit.Dot, To: at}, {Kind: emit.Mark, To: at, Speed: 1}, {To: path.Point{X: math.NaN()}},
		{To: path.Point{X: math.Inf(1)}}, {To: path.Point{X: 1e12}}, {Kind: emit.Gap, To: at, Speed: math.NaN()},
	} {
		require.Error(t, gcode.Encoder{}.Encode(&bytes.Buffer{}, one(mv)))
	}
}

func TestOwnLines(t *testing.T) {
	require.NoError(t, gcode.CheckLines([]string{"G54", "G64 (smooth)", "M8", "", "M5 S0", "G54"},
		[]string{"M9", "G4 P0.5", "M0", "G54"}))
	for _, s := range []string{
		"M3", "M4", "S100", "G0 X1", "G1 X1 F100", "X1", "G91", "G20", "M2", "M30", "G92 X0", "F100", "N5 M8", "/M8",
		"#1=2", "nonsense", "M3 M5", "(a(b))", strings.Repeat("(long)", 12), "M49", "(a\rM3)",
		"(whole 3 lines crc 0011aabb)", "M8",
	} {
		var e *gcode.LineError
		require.ErrorAs(t, gcode.CheckLines(nil, []string{s}), &e, s)
		require.Equal(t, "end_lines", e.Key)
		var b bytes.Buffer
		require.Error(t, gcode.Encoder{Profile: machine.GCode{StartLines: []string{s}}}.Encode(&b, emit.Moves{}))
		require.Zero(t, b.Len(), "nothing is written")
	}
	for _, s := range []string{"M0", "M1", "G4 P1"} { // only behind the work
		var e *gcode.LineError
		require.ErrorAs(t, gcode.CheckLines([]string{s}, nil), &e, s)
		require.Equal(t, "start_lines", e.Key)
		require.NoError(t, gcode.CheckLines(nil, []string{s}))
	}
	require.Error(t, gcode.CheckLines([]string{"G54"}, []string{"G55"}), "X0 Y0 moves away")
	require.Error(t, gcode.CheckLines(nil, []string{"G54"}), "X0 Y0 may have been another's")
	require.Error(t, gcode.CheckLines([]string{"M8"}, nil), "the air stays on")
}

// A dwell and a stop in the user's lines become a wait and a hold.
func TestOwnDwell(t *testing.T) {
	p := example(0)
	p.GCode = &machine.GCode{EndLines: []string{"G4 P1.5", "M0"}}
	back := decode(t, encode(t, plan(t, rows(), p), gcode.Encoder{Profile: *p.GCode}), *p.GCode)
	r, err := clock.Run(back, p)
	require.NoError(t, err)
	require.Equal(t, 1500*time.Millisecond, r.Wait)
	all := collect(t, back)
	require.Equal(t, emit.Hold, all[len(all)-1].Kind)
}

const prologue = "G21 G17 G90 G94\nM5 S0\nM3 S0\n"

// A problem on many lines is told once, so that it hides no other.
func TestAuditTellsEachKindOnce(t *testing.T) {
	var file strings.Builder
	file.WriteString(prologue + "G0 X0 Y0\nG1 X1 F600 S5\n")
	for i := range 5000 {
		fmt.Fprintf(&file, "G0 X%d\n", 2+i%2)
	}
	file.WriteString("M2\n")
	problems, err := gcode.Audit(strings.NewReader(file.String()), machine.GCode{}, 20)
	require.NoError(t, err)
	require.Len(t, problems, 3)
	require.Equal(t, "line 6 and 4999 more: S is 5 in a G0: RS-274 leaves the beam as it is in a traverse",
		problems[0].Error())
	require.Equal(t, "line 5006: the program ends with S5", problems[1].Error())
	require.Equal(t, "line 5006: the program ends without M5", problems[2].Error())
}

// Random polylines and fills survive the file to the last bit.
func TestRoundTripProperty(t *testing.T) {
	for seed := range uint64(100) {
		r := rand.New(rand.NewPCG(seed, 2))
		prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 1 + 499*r.Float64(), Power: 0.01 +
			0.99*r.Float64()}}}
		for range 50 {
			at := path.Point{X: 300 * r.NormFloat64(), Y: 300 * r.NormFloat64()}
			s := path.Stroke{Kind: path.StrokeKind(r.IntN(2))}
			if s.Kind == path.SpanStroke {
				prog.Append(s, at, at.Add(path.Point{X: 20 * r.NormFloat64(), Y: r.NormFloat64()}))
				continue
			}
			prog.Append(s, at, at.Add(path.Point{X: r.NormFloat64()}),
				at.Add(path.Point{X: r.NormFloat64() / 1000, Y: 3}))
		}
		p := example(0)
		p.GCode = &machine.GCode{Inch: seed%2 == 1, PowerWordMax: 100, PowerDecimals: int(seed % 4)}
		m := plan(t, prog, p)
		text := encode(t, m, gcode.Encoder{Profile: *p.GCode})
		back := decode(t, text, *p.GCode)
		sameMoves(t, collect(t, m), collect(t, back))
		require.Equal(t, text, encode(t, back, gcode.Encoder{Profile: *p.GCode}), "seed %d", seed)
	}
}

func FuzzRead(f *testing.F) {
	for _, b := range broken {
		f.Add([]byte(strings.Replace(right, b.old, b.new, 1)))
	}
	f.Add([]byte(right))
	f.Add([]byte(strings.NewReplacer("X10 S500", "M67 E0 Q0.5\nX10", "X15 S0", "M67 E0 Q0\nX15", "M5 S0\n",
		"M5 S0\nM67 E0 Q0\n").Replace(right)))
	f.Add([]byte(prologue + "G0 X-1.5 Y0\nG1 X0 F6000\nX20 S350\nX21.5 S0\nM5 S0\nM2\n"))
	f.Add([]byte("G20 G17 G90 G94\r\nM5 S0\r\nN5 M4 S0\r\n" +
		"G0 X0 Y0\r\nG2 X1 Y1 I1 J0 F100 S5\r\nG1 X2 S0\r\nM5\r\nM30\r\n"))
	f.Fuzz(func(t *testing.T, b []byte) {
		for _, file := range []string{string(b), sealed(string(b), "M2")} {
			for _, controller := range []machine.GCode{unknown, plain, arcs, *byOutput().GCode} {
				problems, err := gcode.Audit(strings.NewReader(file), controller, 5)
				require.NoError(t, err)
				if len(problems) == 0 {
					agrees(t, file)
					plays(t, file, controller, gcode.Read)
				}
				plays(t, file, controller, gcode.Look)
			}
		}
	})
}

// plays plays what can be read of a file, to places that exist.
func plays(t *testing.T, file string, controller machine.GCode,
	read func(io.ReaderAt, machine.GCode) (emit.Moves, error)) {
	t.Helper()
	m, err := read(strings.NewReader(file), controller)
	if err != nil {
		return
	}
	for mv, err := range m.Play {
		require.NoError(t, err)
		require.True(t, mv.To.Finite())
	}
}

// A trace with the beam off never arms it.
func TestBeamOff(t *testing.T) {
	r := path.Rect{Max: path.Point{X: 10, Y: 5}}
	m, err := emit.Locate(r, r, example(0), 20, 0)
	require.NoError(t, err)
	text := encode(t, m, gcode.Encoder{BeamOff: true})
	require.NotContains(t, text, "M3")
	require.NotContains(t, text, "M4")
	require.NotContains(t, text, "G0 ")
	conforms(t, text, machine.GCode{})
	require.Error(t, gcode.Encoder{BeamOff: true}.Encode(&bytes.Buffer{}, plan(t, rows(), example(0))))
}
