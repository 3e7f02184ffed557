package clock

import (
	"math"

	"furrow/emit"
	"furrow/path"
	"furrow/path/route"
)

// galvoCost is what beam-off movement costs a galvo: leaving the chain, the
// jump, and settling after it. Delays that are derived differ with the speed;
// those of the first setting stand for all.
type galvoCost struct {
	scanner  emit.Scanner
	speed    []float64 // of each setting, mm/s
	maxGapMM float64
}

func newGalvoCost(p emit.Profile, settings []path.Setting) galvoCost {
	c := galvoCost{maxGapMM: p.Galvo.GapMM}
	first := path.Setting{SpeedMMPerS: p.Galvo.MaxSpeedMMPerS}
	if len(settings) > 0 {
		first = settings[0]
	}
	c.scanner = p.Scanner(first)
	for _, s := range settings {
		c.speed = append(c.speed, math.Round(s.SpeedMMPerS))
	}
	return c
}

// Travel returns seconds. Where both ends meet, the chain goes on, and only a
// corner may have to be waited for.
func (c galvoCost) Travel(from, to route.End) float64 {
	d := from.At.Dist(to.At)
	if d > 0 {
		return c.jump(d)
	}
	if from.Dir == (path.Point{}) || to.Dir == (path.Point{}) {
		return 0
	}
	return c.scanner.CornerWait(from.Dir.Dot(to.Dir)).Seconds()
}

func (c galvoCost) jump(mm float64) float64 {
	return float64(c.scanner.MarkUS)*1e-6 + mm/float64(c.scanner.JumpMMPerS) +
		c.scanner.JumpWait(mm*emit.GalvoStepsPerMM).Seconds()
}

// Sweep reports whether crossing a gap at the marking speed is quicker than
// leaving the chain and jumping, where the profile allows it at all and the
// gate has the time to close.
func (c galvoCost) Sweep(gap float64, setting int) bool {
	v := c.speed[setting]
	return gap <= c.maxGapMM && gap/v < c.jump(gap) && c.scanner.GateCloses(gap, v)
}
