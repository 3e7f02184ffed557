package swatch

import (
	"fmt"
	"math"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit/machine"
	"furrow/emit/pulse"
	"furrow/path"
)

func settingOf(f job.Fill, m *settings.Machine) path.Setting { return work.SettingOf(f, m) }

// asFiled returns a fill with the speed, power and pulses that the machine's file has of
// it: what a recipe is made of is what was marked.
func asFiled(f job.Fill, m *settings.Machine) job.Fill {
	asked := settingOf(f, m)
	set := m.Rounded(asked)
	if differs(set.SpeedMMPerS, asked.SpeedMMPerS) {
		f.Speed = value.Given(value.Number(set.SpeedMMPerS))
	}
	if differs(set.Power, asked.Power) {
		f.Power = value.Given(value.Number(tidied(100 * set.Power)))
	}
	if differs(set.FrequencyHz, asked.FrequencyHz) {
		f.Frequency = &value.Frequency{Hz: set.FrequencyHz}
	}
	if set.PulseNS > 0 && m.Laser.Pulsed() {
		f.Pulse = value.Given(value.Number(set.PulseNS))
	}
	return f
}

// differs reports that rounding to the file changed a value by more than a decimal number
// loses in binary.
func differs(a, b float64) bool { return math.Abs(a-b) > 1e-9*math.Abs(b) }

// unfit says what of a patch the machine cannot do, or "".
func unfit(m machine.Profile, p Patch, asked path.Setting) string {
	if asked.Power > 1 {
		return "more than 100 % power"
	}
	set := m.Rounded(asked)
	if out := pulse.OutOfRange(set, m); len(out) > 0 {
		return out[0].Text
	}
	if m.IsGalvo() {
		if err := machine.CheckListSettings([]path.Setting{set}); err != nil {
			return "the file holds no such setting"
		}
		return ""
	}
	if set.Power <= 0 {
		return fmt.Sprintf("power %s %% rounds to none in the file", words.Decimal(100*asked.Power, 4))
	}
	for _, a := range value.Or(p.Fill.Angle, value.Angles{0}) {
		for _, turn := range []float64{0, float64(value.Or(p.Fill.Cross, 0))} {
			sin, cos := path.SinCos(a + turn)
			if most := m.Gantry.MaxSpeed(path.Point{X: cos, Y: sin}); set.SpeedMMPerS > most {
				return fmt.Sprintf("speed %s mm/s is above the axes' most along the rows, %s mm/s",
					words.Decimal(set.SpeedMMPerS, 2), words.Decimal(most, 2))
			}
		}
	}
	return ""
}

// Facts returns what the beam lays down in a patch.
func (p Patch) Facts(m *settings.Machine) pulse.Facts { return work.FactsOf(p.Fill, m) }
