//go:build unix

package main

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/runlog"
	"furrow/emit"
	"furrow/emit/gcode"
	"furrow/emit/link/simulate"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// plotter is a galvo whose controller takes G-code.
func plotter() machine.Profile {
	p := machine.Examples()[2]
	p.ID, p.Laser.FrequencyKHz, p.Laser.PulseNS, p.Laser.MaxPulseEnergyMJ = "bench", nil, 0, 0
	p.GCode = &machine.GCode{PowerWordMax: 1000, PowerMode: machine.PowerSteady, WaitUnit: machine.WaitMilliseconds}
	return p
}

// plotterFile is two parts of thirty rows, with a stop between them.
func plotterFile(t *testing.T, p machine.Profile) []byte {
	prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 400, Power: 0.4}}}
	for i := range 30 {
		y := float64(i) / 10
		prog.Append(path.Stroke{}, path.Point{Y: y}, path.Point{X: 5, Y: y})
	}
	m, err := emit.PlanPieces([]emit.Piece{
		{Program: prog, Place: path.Identity, Note: "part 3 pocket 1"},
		{Program: prog, Place: path.Translate(20, 0), Note: "part 4 pocket 2", Hold: true},
	}, p)
	require.NoError(t, err)
	m.Header.Profile, m.Header.Hash = p.ID, p.Hash()
	var b bytes.Buffer
	require.NoError(t, gcode.Encoder{Profile: p.Controller(), Comments: []string{"furrow " + version}}.Encode(&b, m))
	return b.Bytes()
}

// A galvo that takes G-code is sent a file as a gantry is: what is shown speaks of its
// field, the parts are named as they come, the machine waits for the operator between them,
// and the log has parts and time.
func TestSendToAGalvo(t *testing.T) {
	t.Parallel()
	p := plotter()
	s := newWorkshopOf(t, p, plotterFile(t, p), simulate.Controller{GoOn: 0x11, Waits: "M0",
		PerLine: 10 * time.Millisecond}, false)
	seat := s.send()
	seat.start()
	seat.until("part 3 pocket 1")
	seat.until("stops for you: Enter goes on")
	time.Sleep(300 * time.Millisecond)
	seat.types("\r")
	code, screen := seat.end()
	require.Zero(t, code, screen)
	require.Equal(t, s.data, strings.ReplaceAll(s.got(), "\x11", ""))
	for _, text := range []string{"from the middle of the field", "1 time for you, with the beam off",
		"part 4 pocket 2", "100 %", "measured"} {
		require.Contains(t, screen, text)
	}
	require.NotContains(t, screen, "X0 Y0")
	runs, _, err := runlog.Read(s.path("settings/furrow/runs/bench.csv"))
	require.NoError(t, err)
	require.Equal(t, runlog.Doubtful, runs[0].What, "it takes a hundredth of a second a line")
	require.Positive(t, runs[0].Predicted.JumpDelayS)
	require.Positive(t, runs[0].MeasuredS)
	require.NotContains(t, runs[0].Note, "not known")
}

// Where a controller answers a stop at once, nobody knows how long the operator took there:
// the log has no time then, and says so.
func TestTimeWithAnOperatorIsNotKnown(t *testing.T) {
	t.Parallel()
	p := plotter()
	s := newWorkshopOf(t, p, plotterFile(t, p), simulate.Controller{}, true)
	seat := s.send()
	seat.start()
	code, screen := seat.end()
	require.Zero(t, code, screen)
	runs, _, err := runlog.Read(s.path("settings/furrow/runs/bench.csv"))
	require.NoError(t, err)
	require.Equal(t, runlog.Ran, runs[0].What)
	require.Equal(t, "3-4", runs[0].Parts)
	require.Contains(t, screen, "measured     not known")
	require.Zero(t, runs[0].MeasuredS)
	require.Equal(t, "how long the operator took at 1 stop is not known, and so the run's time is not", runs[0].Note)
}

// It is stopped, and run dry, as any other.
func TestGalvoIsStoppedAndRunDry(t *testing.T) {
	t.Parallel()
	p := plotter()
	s := newWorkshopOf(t, p, plotterFile(t, p), simulate.Controller{PerLine: 20 * time.Millisecond}, true)
	seat := s.send()
	seat.start()
	seat.until("part 3 pocket 1")
	seat.types("q")
	code, screen := seat.end()
	require.Equal(t, fault.CodeWork, code, screen)
	sent, stopped := strings.CutSuffix(s.got(), theStop)
	require.True(t, stopped && strings.HasPrefix(s.data, sent))
	out, err := s.furrow("resume", s.file, "-o", s.path("rest.nc"), "--machine", s.path("bench.toml")).CombinedOutput()
	require.NoError(t, err, string(out))
	require.Contains(t, string(out), "the controller acknowledged line")

	s = newWorkshopOf(t, p, plotterFile(t, p), simulate.Controller{}, true)
	seat = s.send("--dry")
	seat.start()
	code, screen = seat.end()
	require.Zero(t, code, screen)
	require.NotContains(t, s.got(), " S400")
	require.Contains(t, s.data, " S400")
}
