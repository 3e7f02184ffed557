package gcode_test

import (
	"bytes"
	"strings"
	"testing"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/gcode"
	"furrow/emit/gcode/minimal"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// plotter is a galvo whose controller takes G-code, with waits in the given unit.
func plotter(unit string) machine.Profile {
	p := machine.Examples()[2]
	p.ID, p.Laser.FrequencyKHz, p.Laser.PulseNS, p.Laser.MaxPulseEnergyMJ = "plotter", nil, 0, 0
	p.GCode = &machine.GCode{PowerWordMax: 1000, PowerMode: machine.PowerSteady, WaitUnit: unit}
	return p
}

// waiting is a mark, a wait of 250.5 ms, a stop, a mark, a wait at the end.
func waiting(p machine.Profile) emit.Moves {
	at := func(x float64) path.Point { return path.Point{X: x, Y: -1} }
	list := []emit.Move{
		{Kind: emit.Travel, To: at(1)}, {Kind: emit.Mark, To: at(2), Speed: 100, Power: 0.5},
		{Kind: emit.Wait, To: at(2), WaitUS: 250_500}, {Kind: emit.Hold, To: at(2)},
		{Kind: emit.Travel, To: at(3)}, {Kind: emit.Mark, To: at(4), Speed: 100, Power: 0.5},
		{Kind: emit.Wait, To: at(4), WaitUS: 3},
	}
	set := []path.Setting{{SpeedMMPerS: 100, Power: 0.5}}
	return emit.Moves{
		Header: emit.Header{Field: path.Point{X: 175, Y: 175}, GCode: true}, Settings: set, Scanner: p.Scanners(set),
		Play: func(yield func(emit.Move, error) bool) {
			for _, mv := range list {
				if !yield(mv, nil) {
					return
				}
			}
		},
	}
}

// Waits are G4 with P in the unit of the profile, and stops M0, both with the power 0 as
// RS-274 leaves the beam on while the machine stands (NISTIR 6556, 3.5.4 and 3.6.2, from
// memory). The text is written by hand.
func TestGalvoWaits(t *testing.T) {
	for unit, want := range map[string][2]string{
		machine.WaitSeconds: {"G4 P0.2505 S0", "G4 P0.000003 S0"}, machine.WaitMilliseconds: {"G4 P250.5 S0",
			"G4 P0.003 S0"},
	} {
		p := plotter(unit)
		require.NoError(t, p.Validate())
		var b bytes.Buffer
		require.NoError(t, gcode.Encoder{Profile: *p.GCode}.Encode(&b, waiting(p)))
		body, _, _ := strings.Cut(b.String(), "(whole")
		require.Equal(t, "G21 G17 G90 G94\nM5 S0\nM3 S0\nG0 X1 Y-1\nG1 X2 F6000 S500\n"+want[0]+"\nM0\n"+
			"G0 X3\nG1 X4 S500\n"+want[1]+"\nM5 S0\n", body)
		totals, err := minimal.Play(b.String())
		require.NoError(t, err)
		require.Equal(t, 2.0, totals.MarkMM)

		m, err := gcode.Read(bytes.NewReader(b.Bytes()), *p.GCode)
		require.NoError(t, err)
		m, err = emit.OfGCode(m, p)
		require.NoError(t, err)
		asked, err := clock.Run(waiting(p), p)
		require.NoError(t, err)
		got, err := clock.Run(m, p)
		require.NoError(t, err)
		require.Equal(t, asked.Parts, got.Parts)
		require.EqualValues(t, 250_503, got.Wait.Microseconds())
	}
	p := plotter("")
	require.ErrorContains(t, gcode.Encoder{Profile: *p.GCode}.Encode(&bytes.Buffer{}, waiting(p)),
		"a wait or a stop inside the work")
}

// What a galvo's G-code cannot hold is refused with its key.
func TestGalvoCodeKeys(t *testing.T) {
	for key, change := range map[string]func(p *machine.Profile){
		"gcode.wait_unit":        func(p *machine.Profile) { p.GCode.WaitUnit = "us" },
		"gcode.arcs":             func(p *machine.Profile) { p.GCode.Arcs = true },
		"gcode.inch":             func(p *machine.Profile) { p.GCode.Inch = true },
		"gcode.power_word":       func(p *machine.Profile) { p.GCode.PowerWord = "M67 E0 Q" },
		"gcode.link_bytes_per_s": func(p *machine.Profile) { p.GCode.LinkBytesPerS = 1000 },
		"laser.frequency_khz": func(p *machine.Profile) {
			p.Laser.FrequencyKHz, p.Laser.PulseNS, p.Laser.MaxPulseEnergyMJ = &[2]float64{20, 80}, 100, 1
		},
	} {
		p := plotter(machine.WaitSeconds)
		change(&p)
		var e *machine.KeyError
		require.ErrorAs(t, p.Validate(), &e, key)
		require.Equal(t, key, e.Key)
	}
}

// What is read is what was planned, move for move with its setting, in rows with run-ups,
// two speeds, and with and without a correction of the field; every coordinate is on the
// file's grid.
func TestGalvoRoundTrip(t *testing.T) {
	for _, scale := range [][2]float64{{}, {1.01, 0.99}} {
		p := plotter(machine.WaitSeconds)
		p.Galvo.RunUpUS, p.Galvo.GapMM, p.Galvo.FieldScale = 300, 5, scale
		prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 500, Power: 0.4}, {SpeedMMPerS: 800, Power: 0.2}}}
		for i := range 40 {
			y, set := float64(i)/7, uint16(i/20)
			prog.Append(path.Stroke{Sweep: int32(i + 1), Setting: set}, path.Point{X: 1, Y: y},
				path.Point{X: 6.1234, Y: y + 0.3})
			prog.Append(path.Stroke{Sweep: int32(i + 1), Setting: set}, path.Point{X: 8, Y: y + 0.4},
				path.Point{X: 9, Y: y + 0.5})
		}
		want, err := emit.Plan(prog, p)
		require.NoError(t, err)
		require.NoError(t, emit.Check(want, p))
		var b bytes.Buffer
		require.NoError(t, gcode.Encoder{Profile: *p.GCode}.Encode(&b, want))
		got, err := gcode.Read(bytes.NewReader(b.Bytes()), *p.GCode)
		require.NoError(t, err)
		got, err = emit.OfGCode(got, p)
		require.NoError(t, err)
		require.Equal(t, want.Header.Corrected, got.Header.Corrected)
		var planned []emit.Move
		for mv, err := range want.All() {
			require.NoError(t, err)
			planned = append(planned, mv)
		}
		i := 0
		for mv, err := range got.All() {
			require.NoError(t, err)
			a, b := planned[i], mv
			require.Equal(t, want.Settings[a.Setting].SpeedMMPerS, got.Settings[b.Setting].SpeedMMPerS, i)
			a.Setting, b.Setting = 0, 0
			require.Equal(t, a, b, i)
			i++
		}
		require.Len(t, planned, i)
		require.Greater(t, i, 160)
	}
}
