//go:build unix

package link_test

import (
	"bytes"
	"fmt"
	"testing"
	"time"

	"furrow/emit"
	"furrow/emit/gcode"
	"furrow/emit/link"
	"furrow/emit/link/simulate"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// plotter is a galvo whose controller takes G-code.
func plotter(window int) machine.Profile {
	p := machine.Examples()[2]
	p.ID, p.Laser.FrequencyKHz, p.Laser.PulseNS, p.Laser.MaxPulseEnergyMJ = "plotter", nil, 0, 0
	p.GCode = &machine.GCode{PowerWordMax: 1000, PowerMode: machine.PowerSteady, WaitUnit: machine.WaitMilliseconds,
		LookaheadMoves: 4}
	p.Link = gantry(window).Link
	return p
}

// twoParts is a galvo's file of two parts of ten rows, before the second of which it waits.
func twoParts(t *testing.T, p machine.Profile) link.Job {
	prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 1000, Power: 0.4}}}
	for i := range 10 {
		y := float64(i) / 10
		prog.Append(path.Stroke{}, path.Point{X: 1, Y: y}, path.Point{X: 5, Y: y})
	}
	m, err := emit.PlanPieces([]emit.Piece{
		{Program: prog, Place: path.Identity, Note: "part 1 pocket 1"},
		{Program: prog, Place: path.Translate(20, 0), Note: "part 2 pocket 2", Hold: true},
	}, p)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, gcode.Encoder{Profile: p.Controller()}.Encode(&b, m))
	j, err := link.NewJob(b.Bytes(), p)
	require.NoError(t, err)
	return j
}

// At a line that waits for the operator the run lasts as long as they take, whether the
// controller answers that line when it goes on or at once; Enter lets it go on.
func TestWaitsForTheOperator(t *testing.T) {
	for _, early := range []int{0, 1, 5} {
		for _, window := range []int{0, 128} {
			onFakeClock(t, fmt.Sprintf("early=%d/window=%d", early, window), func(t *testing.T) {
				waitFor(t, early, window)
			})
		}
	}
}

func waitFor(t *testing.T, early, window int) {
	p := plotter(window)
	p.Link.AnswerS = 0.1 // the operator takes four times as long
	j := twoParts(t, p)
	c := beginWithin(t, simulate.Controller{GoOn: 0x11, Waits: "M0", Early: early})
	l := link.Open(c, link.Of(p))
	commands, asked := make(chan link.Command, 1), false
	report, err := l.Run(t.Context(), j, commands, func(s link.State) {
		if s.MayWait && !asked {
			asked = true
			time.AfterFunc(400*time.Millisecond, func() { commands <- link.GoOn })
		}
	})
	require.NoError(t, err)
	require.True(t, asked)
	require.Equal(t, early > 0, report.Unclear == 1)
	if early == 0 {
		require.Equal(t, 400*time.Millisecond, report.Held)
	}
	l.Close()
	got, saw := c.end()
	require.Equal(t, len(j.Lines), saw.Lines)
	require.Equal(t, string(j.Data), string(bytes.ReplaceAll([]byte(got), []byte{0x11}, nil)))
}

// A galvo's file is sent as any other is: every line as it stands, and the stop behind a
// line that is refused.
func TestGalvoCode(t *testing.T) {
	for _, window := range []int{0, 128} {
		for _, f := range []simulate.Controller{{Chatter: "the mirrors move"}, {Refuse: 20, Refused: "error:3"}} {
			onFakeClock(t, fmt.Sprintf("refuse=%d/window=%d", f.Refuse, window), func(t *testing.T) {
				sendParts(t, f, window)
			})
		}
	}
}

func sendParts(t *testing.T, f simulate.Controller, window int) {
	p := plotter(window)
	j := twoParts(t, p)
	c := beginWithin(t, f)
	l := link.Open(c, link.Of(p))
	report, err := l.Run(t.Context(), j, nil, ignore)
	l.Close()
	got, saw := c.end()
	judge(t, j, window, got, saw)
	if f.Refuse == 0 {
		require.NoError(t, err)
		require.Equal(t, string(j.Data), got)
		return
	}
	var h *link.HaltError
	require.ErrorAs(t, err, &h)
	require.Equal(t, link.Refused, h.Why)
	require.Equal(t, f.Refuse-1, report.Taken)
	require.Equal(t, theStop, got[len(got)-len(theStop):])
}
