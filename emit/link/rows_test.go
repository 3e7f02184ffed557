package link_test

import (
	"strings"
	"testing"

	"furrow/emit"
	"furrow/emit/gcode"
	"furrow/emit/link"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// gantry is a machine with a link of the given window.
func gantry(window int) machine.Profile {
	p := machine.Examples()[0]
	p.Link = &machine.Link{
		TCP: "bench:1", Acknowledge: "ok", Refusal: "error", WindowBytes: window, AnswerS: 2,
		Stop: "\u0004", Hold: "\u0013", GoOn: "\u0011",
	}
	p.GCode.LookaheadMoves = 4
	return p
}

// theStop is what turns such a machine off: its stop, and the line of RS-274 that turns
// the beam off (NISTIR 6556, 3.6.2 and 3.7.2).
const theStop = "\u0004M5 S0\n"

// rows is a file of so many short rows, which take the machine 10 ms each or so.
func rows(t testing.TB, p machine.Profile, n int) link.Job {
	prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 100, Power: 0.4}}}
	for i := range n {
		y := float64(i) / 10
		prog.Append(path.Stroke{Sweep: int32(i + 1)}, path.Point{X: 1, Y: y}, path.Point{X: 1.5, Y: y})
	}
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	var b strings.Builder
	require.NoError(t, gcode.Encoder{Profile: p.Controller(), Comments: []string{"rows"}}.Encode(&b, m))
	j, err := link.NewJob([]byte(b.String()), p)
	require.NoError(t, err)
	return j
}

func ignore(link.State) {}
