package main

import (
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"furrow/cmd/furrow/internal/settings"
	"furrow/emit"
	"furrow/emit/gcode"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// bench is a machine with a late beam and lost motion along X, which its profile
// knows nothing of until the comb has told.
type bench struct {
	onUS, offUS, backlashMM float64
	profile                 machine.Profile
}

func newBench(onUS, offUS, backlashMM float64) *bench {
	b := &bench{onUS, offUS, backlashMM, exampleGantry()}
	b.profile.ID = "bench"
	b.profile.Gantry.BeamOnLatencyUS, b.profile.Gantry.BeamOffLatencyUS = 0, 0
	return b
}

// burnt is a mark as the material shows it.
type burnt struct {
	left, right, y float64
	backwards      bool
}

// burn hatches a file with the profile and does what the machine makes of it:
// along a row the beam comes and goes late by speed times latency, and while the
// head goes left it is behind its place by the lost motion.
func (b *bench) burn(t *testing.T, file string, args ...string) []burnt {
	t.Helper()
	toml, err := settings.ProfileTOML(b.profile)
	require.NoError(t, err)
	out := filepath.Join(t.TempDir(), "burnt.nc")
	furrow(t, append([]string{"hatch", file, "-o", out, "--machine", write(t, "bench.toml", string(toml))}, args...)...)
	r, err := os.Open(out)
	require.NoError(t, err)
	defer r.Close()
	m, err := gcode.Read(r, *b.profile.GCode)
	require.NoError(t, err)
	var all []burnt
	at := 0.0
	for mv, err := range m.Play {
		require.NoError(t, err)
		if mv.Kind == emit.Mark {
			on, off := at+mv.Speed*b.onUS*1e-6, mv.To.X+mv.Speed*b.offUS*1e-6
			if mv.To.X < at {
				on, off = at-mv.Speed*b.onUS*1e-6+b.backlashMM, mv.To.X-mv.Speed*b.offUS*1e-6+b.backlashMM
			}
			all = append(all, burnt{min(on, off), max(on, off), mv.To.Y, mv.To.X < at})
		}
		at = mv.To.X
	}
	return all
}

// The comb's geometry: the long teeth, the pitch of each scale, and where the
// scales meet and the numbers begin, mm.
const (
	combZero, combPitch, combLowerPitch = 14, 1, 1.05
	combMiddle, combNumbers             = 7, 12.5
)

// stagger reads a comb exactly: how far the upper scale is to the right of where
// it belongs beside the lower one.
func (b *bench) stagger(t *testing.T, speed float64) float64 {
	t.Helper()
	var sum [2]float64 // of how far teeth are to the right, by scale
	var n [2]int
	for _, m := range b.burn(t, "demo/comb.toml", "--speed", strconv.FormatFloat(speed, 'g', -1, 64), "--power", "20",
		"--effort", "quick") {
		scale, pitch := 0, float64(combPitch)
		if m.y < combMiddle {
			scale, pitch = 1, combLowerPitch
		}
		if m.y > combNumbers {
			continue
		}
		require.Equal(t, scale == 1, m.backwards, "the lower scale is marked from right to left")
		off := (m.left+m.right)/2 - combZero
		sum[scale] += off - pitch*math.Round(off/pitch)
		n[scale]++
	}
	require.Greater(t, min(n[0], n[1]), 1000)
	return sum[0]/float64(n[0]) - sum[1]/float64(n[1])
}

// toothOf is the number of the tooth that meets its partner.
func toothOf(stagger float64) float64 { return math.Round(stagger / (combLowerPitch - combPitch)) }

// A late beam and lost motion give the stagger that help says: v·(on + off) less
// the backlash. What help says to write into the profile takes it away, to what
// can be read off a comb, and exactly where the stagger is known exactly.
func TestCombMeasuresStagger(t *testing.T) {
	for _, tt := range []struct{ onUS, offUS, backlashMM float64 }{
		{500, 500, 0.05}, {900, 300, 0}, {0, 0, 0.12}, {1200, 1200, 0.2},
	} {
		b := newBench(tt.onUS, tt.offUS, tt.backlashMM)
		s1, s2 := b.stagger(t, 50), b.stagger(t, 150)
		require.InDelta(t, 150e-6*(tt.onUS+tt.offUS)-tt.backlashMM, s2, 0.0015)

		b.profile.Gantry.Reversal = []machine.Reversal{{SpeedMMPerS: 150, OffsetMM: 0.05 * toothOf(s2)}}
		require.InDelta(t, 0, b.stagger(t, 150), 0.026, "half a tooth")
		b.profile.Gantry.Reversal[0].OffsetMM = s2
		require.InDelta(t, 0, b.stagger(t, 150), 0.0015)

		latency := 500000 * (s2 - s1) / (150 - 50)
		backlash := latency*50/500000 - s1
		b.profile.Gantry.Reversal = nil
		b.profile.Gantry.BeamOnLatencyUS, b.profile.Gantry.BeamOffLatencyUS = latency, latency
		b.profile.Gantry.BacklashMM[0] = max(0, backlash)
		require.InDelta(t, 0, b.stagger(t, 110), 0.002, "at a speed that was not measured")
	}
}

// The example in the help, by its formulas.
func TestStaggerExample(t *testing.T) {
	b := newBench(500, 500, 0.05)
	require.Equal(t, 0.0, math.Abs(toothOf(b.stagger(t, 50))))
	require.Equal(t, 2.0, toothOf(b.stagger(t, 150)))
}

// Rows of a fill that goes both ways end in line once the comb has been read, and
// stand apart before.
func TestRowsLineUp(t *testing.T) {
	square := write(t, "square.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="10mm">
<rect width="100%" height="100%"/></svg>`)
	apart := func(b *bench) float64 {
		var edge [2]float64
		marks := b.burn(t, square, "--speed", "150", "--power", "20", "--spacing", "0.2mm", "--effort", "quick")
		for _, m := range marks {
			if m.backwards {
				edge[1] = m.left
			} else {
				edge[0] = m.left
			}
		}
		require.Len(t, marks, 50)
		return edge[0] - edge[1]
	}
	b := newBench(500, 500, 0.05)
	require.InDelta(t, 0.1, apart(b), 0.0015)
	b.profile.Gantry.Reversal = []machine.Reversal{{SpeedMMPerS: 150, OffsetMM: b.stagger(t, 150)}}
	require.InDelta(t, 0, apart(b), 0.002)
}
