package machine

import "fmt"

// Doubts lists values of a valid profile that are more likely in another unit than
// meant: each key with what it would be. The bounds are common practice, no source.
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
	return d.all
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
