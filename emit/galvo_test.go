package emit_test

import (
	"testing"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/emit/machine/byhand"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

func pt(x, y float64) path.Point { return path.Point{X: x, Y: y} }

var fill = path.Setting{Name: "fill", SpeedMMPerS: 800, Power: 0.5, FrequencyHz: 50000}

// using returns a program that marks a row with each setting.
func using(settings ...path.Setting) path.Program {
	prog := path.Program{Settings: settings}
	for i := range settings {
		prog.Append(path.Stroke{Setting: uint16(i)}, pt(0, float64(i)), pt(9, float64(i)))
	}
	return prog
}

// A list must not say settings that nothing uses.
func TestUnusedSettingsAreDropped(t *testing.T) {
	prog := path.Program{Settings: []path.Setting{fill, {Name: "none"}, {Name: "outline", SpeedMMPerS: 300}}}
	prog.Append(path.Stroke{Setting: 1}, pt(1, 1), pt(1.00001, 1))
	prog.Append(path.Stroke{Setting: 2}, pt(0, 0), pt(9, 0))
	m, err := emit.Plan(prog, byhand.Fibre())
	require.NoError(t, err)
	require.Len(t, m.Settings, 1)
	require.Equal(t, "outline", m.Settings[0].Name)
	require.Equal(t, "JM", kinds(collect(t, m)))
	require.Equal(t, uint16(2), prog.Strokes[1].Setting, "the program is left as it was")
}

// Parts that are marked alike share a setting record, so that a player need not
// switch between them.
func TestEqualSettingsAreOne(t *testing.T) {
	alike, hotter := fill, fill
	alike.Name, alike.SpacingMM, alike.SpeedMMPerS = "part 1", 0.07, fill.SpeedMMPerS+0.3 // which rounding drops
	hotter.Power = 1
	prog := using(fill, hotter, alike)
	m, err := emit.Plan(prog, byhand.Fibre())
	require.NoError(t, err)
	require.Len(t, m.Settings, 2)
	require.Len(t, m.Scanner, 2)
	var used []uint16
	for _, mv := range collect(t, m) {
		if mv.Kind == emit.Mark {
			used = append(used, mv.Setting)
		}
	}
	require.Equal(t, []uint16{0, 1, 0}, used)
	require.Equal(t, "fill", m.Settings[0].Name)
}

func collect(t *testing.T, m emit.Moves) []emit.Move {
	var out []emit.Move
	for mv, err := range m.Play {
		require.NoError(t, err)
		out = append(out, mv)
	}
	return out
}

func kinds(moves []emit.Move) string {
	const letters = "JMDPGWH"
	var b []byte
	for _, mv := range moves {
		b = append(b, letters[mv.Kind])
	}
	return string(b)
}

func TestGalvoChains(t *testing.T) {
	p := byhand.Fibre()
	for _, tt := range []struct {
		name string
		prog func(*path.Program)
		want string
	}{
		{"nothing", func(*path.Program) {}, ""},
		{"two rows", func(p *path.Program) {
			p.Append(path.Stroke{}, pt(0, 0), pt(5, 0))
			p.Append(path.Stroke{}, pt(5, 1), pt(0, 1))
		}, "JMJM"},
		{"a stroke that goes on needs no jump", func(p *path.Program) {
			p.Append(path.Stroke{}, pt(1, 0), pt(5, 0))
			p.Append(path.Stroke{Setting: 1}, pt(5, 0), pt(5, 5))
		}, "JMM"},
		{"one sweep", func(p *path.Program) {
			p.Append(path.Stroke{Sweep: 1}, pt(0, 0), pt(1, 0))
			p.Append(path.Stroke{Sweep: 1}, pt(2, 0), pt(3, 0))
			p.Append(path.Stroke{Sweep: 2}, pt(3, 1), pt(2, 1))
		}, "JMDMJM"},
		{"no length on the grid", func(p *path.Program) {
			p.Append(path.Stroke{}, pt(4, 4), pt(4.00001, 4))
			p.Append(path.Stroke{}, pt(0, 0), pt(0.00001, 0), pt(1, 0), pt(1.00001, 0))
		}, "JM"},
	} {
		prog := path.Program{Settings: []path.Setting{fill, fill}}
		tt.prog(&prog)
		m, err := emit.Plan(prog, p)
		require.NoError(t, err, tt.name)
		require.Equal(t, tt.want, kinds(collect(t, m)), tt.name)
	}
}

func TestGalvoSettingsAreRounded(t *testing.T) {
	m, err := emit.Plan(using(path.Setting{SpeedMMPerS: 799.6, Power: 0.123456, FrequencyHz: 50000.4}), byhand.Fibre())
	require.NoError(t, err)
	require.Equal(t, path.Setting{SpeedMMPerS: 800, Power: 0.1235, FrequencyHz: 50000, PulseNS: 100}, m.Settings[0])
	require.Equal(t, machine.Scanner{
		JumpMMPerS: 4000, OnUS: 100, OffUS: 120, JumpUS: 250, ShortJumpUS: 60, ShortJumpSteps: 20000,
		MarkUS: 100, CornerUS: 40,
	}, m.Scanner[0])
	for _, s := range []path.Setting{{}, {SpeedMMPerS: 0.4}, {SpeedMMPerS: 1, Power: 1.1},
		{SpeedMMPerS: 1, FrequencyHz: -1},
		{SpeedMMPerS: 1, Power: 0.00004}, {SpeedMMPerS: 1, FrequencyHz: 0.4},
		{SpeedMMPerS: 1, FrequencyHz: 9, PulseNS: 0.4}} {
		_, err := emit.Plan(using(s), byhand.Fibre())
		require.Error(t, err)
	}
}

// What the file cannot hold is told: of a list to the last digit, of an S word
// where it is a hundredth or more.
func TestRoundingNotes(t *testing.T) {
	gantry := func(fullS float64) machine.Profile {
		return machine.Profile{Kind: machine.KindGantry, GCode: &machine.GCode{PowerWordMax: fullS}}
	}
	for _, tt := range []struct {
		profile machine.Profile
		asked   path.Setting
		want    []string
	}{
		{byhand.Fibre(), fill, nil},
		{byhand.Fibre(), path.Setting{SpeedMMPerS: 1000, Power: 0.07, FrequencyHz: 33300}, nil},
		{byhand.Fibre(), path.Setting{SpeedMMPerS: 333.4, Power: 0.5},
			[]string{"speed 333.4 mm/s becomes 333 mm/s: the file holds whole mm/s"}},
		{byhand.Fibre(), path.Setting{SpeedMMPerS: 1, Power: 0.50001, FrequencyHz: 50000.5, PulseNS: 100.2}, []string{
			"power 50.001 percent becomes 50 percent: the file holds hundredths of a percent",
			"frequency 50.0005 kHz becomes 50.001 kHz: the file holds whole Hz",
			"pulse length 100.2 ns becomes 100 ns: the file holds whole ns"}},
		{gantry(255), path.Setting{SpeedMMPerS: 33.333333, Power: 0.35}, nil},
		{gantry(255), path.Setting{SpeedMMPerS: 100, Power: 0.05}, []string{
			"power 5 percent becomes 5.098039 percent: the file holds S from 0 to 255 with 0 decimals"}},
	} {
		require.Equal(t, tt.want, tt.profile.RoundingNotes(tt.asked))
		require.Equal(t, tt.profile.Rounded(tt.asked), tt.profile.Rounded(tt.profile.Rounded(tt.asked)))
	}
}

func TestFieldErrorSaysWhatHelps(t *testing.T) {
	p := byhand.Fibre() // 175 x 175 mm
	p.Galvo.FieldMM = [2]float64{100, 60}
	for _, tt := range []struct {
		from, to  path.Point
		err, hint string
	}{
		{pt(-50, -30), pt(50, 30), "", ""},
		{pt(-10, 0), pt(52.5, 30.25), "the work leaves the 100 x 60 mm field of example-fibre: 2.5 mm past the " +
			"right edge, 0.25 mm past the top edge",
			"it fits when it is moved by -21.25, -15.125 mm, to the middle of the field"},
		{pt(-20, -40), pt(20, 40), "the work leaves the 100 x 60 mm field of example-fibre: 10 mm past the bottom " +
			"edge, 10 mm past the top edge",
			"it fits in the middle of the field when it is turned by 90 degrees"},
		{pt(-60, -40), pt(50, 40), "the work leaves the 100 x 60 mm field of example-fibre: 10 mm past the left " +
			"edge, 10 mm past the bottom edge, 10 mm past the top edge",
			"it needs a lens with a field of 110 x 80 mm, or to be made smaller, to 75 percent or less"},
	} {
		prog := path.Program{Settings: []path.Setting{fill}}
		prog.Append(path.Stroke{}, tt.from, tt.to)
		m, err := emit.Plan(prog, p)
		require.NoError(t, err)
		err = emit.Check(m, p)
		if tt.err == "" {
			require.NoError(t, err)
			continue
		}
		var fe *emit.FieldError
		require.ErrorAs(t, err, &fe)
		require.Equal(t, tt.err, err.Error())
		require.Equal(t, tt.hint, fe.Hint())
	}
}

// A row runs out at its own speed, whatever comes behind it.
func TestRowsRunOutAtTheirOwnSpeed(t *testing.T) {
	p := byhand.Fibre()
	g := *p.Galvo
	g.RunUpUS = 200
	p.Galvo = &g
	prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 1000, Power: 0.3}, {SpeedMMPerS: 300, Power: 0.6}}}
	prog.Append(path.Stroke{Setting: 0}, path.Point{}, path.Point{X: 10})
	prog.Append(path.Stroke{Setting: 1}, path.Point{X: 10, Y: 1}, path.Point{Y: 1})
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	for mv, err := range m.All() {
		require.NoError(t, err)
		if mv.Kind == emit.Gap && mv.To == (path.Point{X: 10.2}) {
			require.Equal(t, 1000.0, mv.Speed)
			return
		}
	}
	t.Fatal("no run-out of 200 us at 1000 mm/s")
}
