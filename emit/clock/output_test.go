package clock_test

import (
	"testing"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine/byhand"
	"furrow/path"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// By hand: 50 W at half power for a second, which begins when the jump has ended, and
// then a mark that is shorter than a piece of the time. Every joule that the strokes
// have is in a piece, and no piece has more than 25 W times its length.
func TestOutputIsThatOfTheStrokes(t *testing.T) {
	p := byhand.Fibre()
	var prog path.Program
	prog.Settings = []path.Setting{{SpeedMMPerS: 50, Power: 0.5, FrequencyHz: 50_000}}
	prog.Append(path.Stroke{}, path.Point{X: -20}, path.Point{X: 30})
	prog.Append(path.Stroke{}, path.Point{X: 30, Y: 1}, path.Point{X: 29, Y: 1})
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	o := clock.NewOutput(m, p)
	_, err = clock.Each(m, p, o.Add)
	require.NoError(t, err)
	strokes, err := clock.Strokes(m, p)
	require.NoError(t, err)
	sum := 0.0
	for _, j := range o.Joules {
		sum += j
		assert.LessOrEqual(t, j, 25*clock.OutputStepS+1e-9)
	}
	assert.InDelta(t, 25*1.02, sum, 1e-6)
	assert.InDelta(t, clock.Energy(strokes), sum, 1e-9)
	require.Len(t, o.Joules, 5)
	assert.InDelta(t, 25*0.25, o.Joules[1], 1e-6, "the beam is on all of that time")
}
