package machine

import (
	"fmt"
	"slices"
)

// Doubts lists values of a valid profile that are more likely in another unit than
// meant, each key with what it would be, and values far outside what is plausible where
// they are assumed. The bounds are common practice, no source.
func (p Profile) Doubts() []*KeyError {
	var d doubts
	if g := p.Gantry; g != nil {
		for _, v := range g.MaxSpeedMMPerS {
			d.above("gantry.max_speed_mm_s", v, doubtfulGantry, "mm/min", 1.0/60, "mm/s")
		}
		d.above("gantry.rapid_mm_s", g.RapidMMPerS, doubtfulGantry, "mm/min", 1.0/60, "mm/s")
	}
	if g := p.Galvo; g != nil {
		d.above("galvo.max_speed_mm_s", g.MaxSpeedMMPerS, doubtfulGalvo, "mm/min", 1.0/60, "mm/s")
		d.above("galvo.jump_speed_mm_s", g.JumpSpeedMMPerS, doubtfulGalvo, "mm/min", 1.0/60, "mm/s")
	}
	if p.Laser.Pulsed() {
		for _, v := range p.Laser.FrequencyKHz {
			d.above("laser.frequency_khz", v, doubtfulKHz, "Hz", 1e-3, "kHz")
		}
		d.above("laser.pulse_ns", p.Laser.PulseNS, doubtfulNS, "ps", 1e-3, "ns")
	}
	d.implausible(p)
	return d.all
}

// farOutside is how many times a value lies beyond the ends of what is plausible before it
// is doubted: a machine may be twice as good as others. Our own choice.
const farOutside = 5

// implausible doubts values that stand in the profile, times rest on, and no machine of its
// kind is likely to have. None at all is left alone: it says that there is no such thing.
func (d *doubts) implausible(p Profile) {
	for _, g := range p.guesses() {
		if g.Slow == g.Fast || slices.Contains(p.Guessed, g.Key) || d.has(g.Key) {
			continue
		}
		usual := g.Default(p)
		for i, v := range g.Value(p) {
			low, high := usual[i]*min(g.Slow, g.Fast), usual[i]*max(g.Slow, g.Fast)
			if v == 0 || v >= low/farOutside && v <= high*farOutside || d.has(g.Key) {
				continue
			}
			d.all = append(d.all, &KeyError{Key: g.Key, Problem: fmt.Sprintf(
				"%s of %g is far outside %.4g to %.4g, which is plausible: is it in the unit of the key?",
				g.What, v, low, high)})
		}
	}
}

func (d *doubts) has(key string) bool {
	return slices.ContainsFunc(d.all, func(e *KeyError) bool { return e.Key == key })
}

const (
	doubtfulGantry = 2000   // mm/s: heads on belts stay well below
	doubtfulGalvo  = 50_000 // mm/s
	doubtfulKHz    = 10_000 // marking sources end at a few thousand
	doubtfulNS     = 50_000 // longer pulses are those of a source that is switched, not pulsed
)

type doubts struct{ all []*KeyError }

// above doubts a value above most, once a key: in another unit it would be times
// factor of the right one.
func (d *doubts) above(key string, v, most float64, other string, factor float64, unit string) {
	if v <= most || len(d.all) > 0 && d.all[len(d.all)-1].Key == key {
		return
	}
	d.all = append(d.all, &KeyError{Key: key, Problem: fmt.Sprintf(
		"%g %s is a great deal: is that %s? It would be %.4g %s", v, unit, other, v*factor, unit)})
}
