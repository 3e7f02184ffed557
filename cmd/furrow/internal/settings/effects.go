package settings

import (
	"fmt"
	"strings"

	"furrow/emit/machine"
)

// Effects say what else changes.
func (c *Change) Effects() []string {
	all := c.ofFiles()
	g := c.After.Gantry
	if g != nil && len(g.Reversal) > 0 && len(c.Before.Gantry.Reversal) == 0 &&
		(g.BeamOnLatencyUS != 0 || g.BeamOffLatencyUS != 0 || g.BacklashMM != [2]float64{}) {
		all = append(all, "the measured offsets take the place of beam_on_latency_us, beam_off_latency_us and "+
			"backlash_mm, which no longer count")
	}
	return all
}

// ofFiles say what becomes of files that were made before.
func (c *Change) ofFiles() []string {
	a, b := c.Before.Hash(), c.After.Hash()
	if a != b {
		return []string{fmt.Sprintf("hash %s, was %s: furrow check refuses files that were made before; make them anew",
			b, a),
			"orders and repeats: furrow repeat DIR --as-now takes the profile as it is now"}
	}
	why := weaker(c.Before.Profile, c.After.Profile)
	if len(why) == 0 {
		return []string{fmt.Sprintf("hash %s as before: files stay good, their times are reckoned anew", a)}
	}
	return []string{
		fmt.Sprintf("hash %s as before, but with %s rows made before may no longer reach their speed:", a,
			strings.Join(why, " and ")),
		"furrow check refuses a file of which that is so; make files with rows anew",
	}
}

// weaker lists what of a gantry keeps rows that were made before from their full speed, for
// which proof.Prove refuses their file though its hash is that of the profile. It refuses none
// where every run-up has one fixed length.
func weaker(a, b machine.Profile) (why []string) {
	if !a.IsGantry() || !b.IsGantry() || b.Gantry.OvertravelMM > 0 {
		return nil
	}
	add := func(less bool, text string) {
		if less {
			why = append(why, text)
		}
	}
	x, y := a.Gantry, b.Gantry
	add(y.AccelMMPerS2[0] < x.AccelMMPerS2[0] || y.AccelMMPerS2[1] < x.AccelMMPerS2[1],
		"a lower acceleration, which needs longer run-ups,")
	add(lowered(x.JerkMMPerS3[0], y.JerkMMPerS3[0]) || lowered(x.JerkMMPerS3[1], y.JerkMMPerS3[1]),
		"a lower jerk, which needs longer run-ups,")
	add(y.CornerErrorMM < x.CornerErrorMM, "a smaller corner error")
	m, n := a.Controller(), b.Controller()
	add(n.ShortestMoveMS > m.ShortestMoveMS, "a longer shortest move")
	add(lowered(float64(m.LookaheadMoves), float64(n.LookaheadMoves)), "fewer moves looked ahead")
	add(lowered(m.MovesPerS, n.MovesPerS), "fewer moves a second")
	add(lowered(m.LinkBytesPerS, n.LinkBytesPerS), "a slower link")
	return why
}

// lowered compares limits, of which 0 is none.
func lowered(from, to float64) bool { return to > 0 && (from == 0 || to < from) }
