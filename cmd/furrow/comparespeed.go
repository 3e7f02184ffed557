package main

import (
	"fmt"
	"math"
	"slices"

	"furrow/cmd/furrow/internal/words"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/emit/pulse"
	"furrow/path"
	"furrow/path/hatch"
)

// quicker returns the work at the quickest speed of its rows, confirmed by the
// whole clock, with how to word it; nil where the speed is the best already.
func (b *build) quicker(sameDose bool) (v *build, change, price string) {
	now := b.rowSpeed()
	if now == 0 {
		return nil, "", ""
	}
	want := b.quickestSpeed()
	if sameDose {
		want = min(want, b.doseSpeed(now))
	}
	// Where the longer run-up does not fit, or the file cannot be fed, go half
	// of the way.
	for range 4 {
		v = b.atSpeed(math.Round(want), sameDose)
		if v != nil && v.clocked.Total() < b.clocked.Total() {
			return v, b.speedWords(v, sameDose), b.speedPrice(v)
		}
		want = (want + now) / 2
	}
	return nil, "", ""
}

func (b *build) speedWords(v *build, sameDose bool) string {
	s := fmt.Sprintf("rows at %s mm/s in place of %s", words.Decimal(v.rowSpeed(), 0), words.Decimal(b.rowSpeed(), 1))
	if sameDose {
		s += fmt.Sprintf(", power %s %% in place of %s", words.Decimal(100*v.parts[0].Setting.Power, 1), words.Decimal(100*b.parts[0].Setting.Power, 1))
	}
	return s
}

func (b *build) speedPrice(v *build) string {
	price := "same dose"
	if !b.hasDoseOf(v) {
		price = fmt.Sprintf("dose %s in place of %s J/cm2: prove it on scrap", words.Decimal(v.dose(), 1), words.Decimal(b.dose(), 1))
	}
	if f := pulse.Of(v.parts[0].Setting, b.laser(0), 1); f.PerMM > 0 {
		price += fmt.Sprintf("; pulses overlap by %s %%", words.Decimal(100*f.Overlap, 0))
	}
	return price
}

// rowSpeed returns the speed of the fill of the whole, 0 where nothing is
// filled.
func (b *build) rowSpeed() float64 {
	if f := b.parts[0]; f.Outline.When != hatch.Only {
		return f.Setting.SpeedMMPerS
	}
	return 0
}

// leastOverlap is the pulse overlap down to which a speed is offered, as a
// fraction of the spot: below it a line falls apart into dots. Common practice,
// no source.
const leastOverlap = 0.5

// quickestSpeed returns the speed at which the rows take the least time. A
// galvo's time only falls as it gets faster, so that its pulses' overlap and
// its scanner bound it.
func (b *build) quickestSpeed() float64 {
	now := b.rowSpeed()
	if g := b.Machine.Galvo; g != nil {
		l := b.laser(0)
		if !l.Pulsed() {
			return max(now, g.MaxSpeedMMPerS)
		}
		spot := min(l.SpotMM[0], l.SpotMM[1])
		return max(now, min(g.MaxSpeedMMPerS, (1-leastOverlap)*spot*b.parts[0].Setting.FrequencyHz))
	}
	rows := clock.NewRows(b.program, *b.Machine.Gantry)
	if rows.Empty() {
		return now
	}
	return rows.Quickest(1, rows.TopSpeed())
}

// doseSpeed returns the greatest speed at which full power still lays down the
// dose of now.
func (b *build) doseSpeed(now float64) float64 {
	s := b.parts[0].Setting
	full := s
	full.Power = 1
	l := b.laser(0)
	return now * pulse.Of(full, l, 1).MeanPowerW / pulse.Of(s, l, 1).MeanPowerW
}

// atSpeed returns the same strokes with the rows of every fill faster in the
// same ratio; nil where the machine cannot do it.
func (b *build) atSpeed(mmPerS float64, sameDose bool) *build {
	ratio := mmPerS / b.rowSpeed()
	faster := func(s path.Setting) path.Setting {
		if s.SpacingMM > 0 {
			s.SpeedMMPerS *= ratio
			if sameDose {
				s.Power = powerFor(b.laser(0), s, ratio)
			}
			s = b.Machine.Rounded(s)
		}
		return s
	}
	v := *b
	v.warnings = nil
	v.parts = slices.Clone(b.parts)
	for i := range v.parts {
		v.parts[i].Setting = faster(v.parts[i].Setting)
	}
	v.program.Settings = slices.Clone(b.program.Settings)
	for i := range v.program.Settings {
		v.program.Settings[i] = faster(v.program.Settings[i])
	}
	if v.makeMoves() != nil {
		return nil
	}
	return &v
}

// powerFor returns the fraction of full power that gives ratio times the mean
// power of s, or full power where that does not reach it.
func powerFor(l machine.Laser, s path.Setting, ratio float64) float64 {
	want := ratio * pulse.Of(s, l, 1).MeanPowerW
	lo, hi := l.FloorPercent/100, 1.0
	for range 40 {
		s.Power = (lo + hi) / 2
		if pulse.Of(s, l, 1).MeanPowerW < want {
			lo = s.Power
		} else {
			hi = s.Power
		}
	}
	return hi
}
