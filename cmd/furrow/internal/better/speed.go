package better

import (
	"fmt"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/emit/pulse"
	"furrow/path"
	"furrow/path/hatch"
	"math"
	"slices"
)

// quicker returns the work at the quickest speed of its rows, confirmed by the
// whole clock, with how to word it; nil where the speed is the best already.
func (b done) quicker(sameDose bool) (v *done, change, drawback string, err error) {
	now := b.rowSpeed()
	if now == 0 {
		return nil, "", "", nil
	}
	want := b.quickestSpeed()
	if sameDose {
		want = min(want, b.doseSpeed(now))
	}
	// Where the longer run-up does not fit, or the file cannot be fed, go half
	// of the way.
	for range 4 {
		if v, err = b.atSpeed(math.Round(want), sameDose); err != nil {
			return nil, "", "", err
		}
		if v != nil && v.Clock.Total() < b.Clock.Total() {
			return v, b.speedWords(*v, sameDose), b.speedPrice(*v), nil
		}
		want = (want + now) / 2
	}
	return nil, "", "", nil
}

func (b done) speedWords(v done, sameDose bool) string {
	s := fmt.Sprintf("rows at %s mm/s instead of %s", words.Number(v.rowSpeed(), 0), words.Number(b.rowSpeed(), 1))
	if sameDose {
		s += fmt.Sprintf(", power %s %% instead of %s", words.Number(100*v.Groups[0].Setting.Power, 1),
			words.Number(100*b.Groups[0].Setting.Power, 1))
	}
	return s
}

func (b done) speedPrice(v done) string {
	drawback := "same dose"
	if !b.hasDoseOf(v) {
		drawback = fmt.Sprintf("dose %s instead of %s J/cm2: prove it on scrap", words.Number(v.dose(), 1),
			words.Number(b.dose(), 1))
	}
	if f := pulse.Of(v.Groups[0].Setting, b.Laser(0), 1); f.PerMM > 0 {
		drawback += "; " + overlapWords(f.Overlap)
	}
	return drawback
}

// overlapWords says how pulses lie to each other; those that do not touch have an overlap
// below nothing.
func overlapWords(overlap float64) string {
	if overlap < 0 {
		return fmt.Sprintf("pulses stand apart, %s %% of a mark between them", words.Number(-100*overlap, 0))
	}
	return fmt.Sprintf("pulses overlap by %s %%", words.Number(100*overlap, 0))
}

// rowSpeed returns the speed of the fill of the whole, 0 where nothing is
// filled.
func (b done) rowSpeed() float64 {
	if f := b.Groups[0]; f.Outline.When != hatch.Only {
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
func (b done) quickestSpeed() float64 {
	now := b.rowSpeed()
	if g := b.Machine.Galvo; g != nil {
		l := b.Laser(0)
		if !l.Pulsed() {
			return max(now, g.MaxSpeedMMPerS)
		}
		spot := min(l.SpotMM[0], l.SpotMM[1])
		return max(now, min(g.MaxSpeedMMPerS, (1-leastOverlap)*spot*b.Groups[0].Setting.FrequencyHz))
	}
	rows := clock.NewRows(b.Program, *b.Machine.Gantry)
	if rows.Empty() {
		return now
	}
	return rows.Quickest(1, rows.TopSpeed())
}

// doseSpeed returns the greatest speed at which full power still lays down the
// dose of now.
func (b done) doseSpeed(now float64) float64 {
	s := b.Groups[0].Setting
	full := s
	full.Power = 1
	l := b.Laser(0)
	return now * pulse.Of(full, l, 1).MeanPowerW / pulse.Of(s, l, 1).MeanPowerW
}

// atSpeed returns the same strokes with the rows of every fill faster in the
// same ratio; nil where the machine cannot do it.
func (b done) atSpeed(mmPerS float64, sameDose bool) (*done, error) {
	ratio := mmPerS / b.rowSpeed()
	faster := func(s path.Setting) path.Setting {
		if s.SpacingMM > 0 {
			s.SpeedMMPerS *= ratio
			if sameDose {
				s.Power = powerFor(b.Laser(0), s, ratio)
			}
			s = b.Machine.Rounded(s)
		}
		return s
	}
	in := b.Input
	in.Observe.Stage = nil
	in.Groups = slices.Clone(b.Groups)
	for i := range in.Groups {
		in.Groups[i].Setting = faster(in.Groups[i].Setting)
	}
	return unlessUnfit(work.Plan(in, b.WithSettings(faster)))
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
