package machine_test

import (
	"testing"

	"furrow/emit/lens"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// What alters the marks or their safety alters the hash, and what alters the time alone
// does not.
func TestHash(t *testing.T) {
	for i, changes := range [][]func(*machine.Profile){
		{ // the gantry
			func(p *machine.Profile) { p.ID = "other" },
			func(p *machine.Profile) { p.Gantry.BedMM[0]++ },
			func(p *machine.Profile) { p.Gantry.Zero = machine.ZeroBed },
			func(p *machine.Profile) { p.Gantry.MaxSpeedMMPerS[1]++ },
			func(p *machine.Profile) { p.Gantry.BeamOnLatencyUS++ },
			func(p *machine.Profile) { p.Gantry.BacklashMM[0] = 0.1 },
			func(p *machine.Profile) { p.Gantry.KeepOutMM = []machine.Clamp{{0, 0, 1, 1}} },
			func(p *machine.Profile) { p.GCode.PowerWordMax++ },
			func(p *machine.Profile) { p.GCode.PowerMode = machine.PowerSpeedFollowing },
			func(p *machine.Profile) { p.GCode.StartLines = []string{"G54 M7"} },
			func(p *machine.Profile) { p.GCode.StartLines = []string{"G54", "M7"} },
			func(p *machine.Profile) { p.Laser.FloorPercent = 5 },
		},
		nil,
		{ // the galvo
			func(p *machine.Profile) { p.Galvo.FieldMM[0]++ },
			func(p *machine.Profile) { p.Galvo.LaserOffDelayUS++ },
			func(p *machine.Profile) { p.Galvo.LongestDotMS = 5 },
			func(p *machine.Profile) { p.Galvo.FieldRotateDegrees = 1 },
			func(p *machine.Profile) { p.Galvo.Samples = []lens.Sample{{}} },
			func(p *machine.Profile) { p.Laser.FrequencyKHz = &[2]float64{1, 2} },
		},
	} {
		seen := map[string]bool{machine.Examples()[i].Hash(): true}
		for n, change := range changes {
			p := machine.Examples()[i]
			change(&p)
			require.Regexp(t, "^[0-9a-f]{12}$", p.Hash())
			require.False(t, seen[p.Hash()], "change %d of example %d", n, i)
			seen[p.Hash()] = true
		}
	}
	for n, change := range []func(*machine.Profile){
		func(p *machine.Profile) { p.Name = "other" },
		func(p *machine.Profile) { p.Gantry.AccelMMPerS2[0]++ },
		func(p *machine.Profile) { p.Gantry.JerkMMPerS3[0]++ },
		func(p *machine.Profile) { p.Gantry.RapidMMPerS++ },
		func(p *machine.Profile) { p.GCode.LinkBytesPerS++ },
		func(p *machine.Profile) { p.GCode.MovesPerS++ },
		func(p *machine.Profile) { p.GCode.LookaheadMoves++ },
	} {
		p := machine.Examples()[0]
		change(&p)
		require.Equal(t, machine.Examples()[0].Hash(), p.Hash(), "time alone: %d", n)
	}
}
