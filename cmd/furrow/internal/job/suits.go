package job

import (
	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit/machine"
)

// Suits refuses a recipe that the machine cannot do.
func Suits(m settings.Machine, r machine.Recipe) error {
	if err := RecipeFill(r).Complete(&m, ""); err != nil {
		return err
	}
	if err := fires(m, r.FrequencyKHz); err != nil {
		return err
	}
	return reaches(m, r.SpeedMMPerS)
}

// fires refuses a pulse frequency that the source does not have: check takes no file with one.
func fires(m settings.Machine, kHz float64) error {
	if !m.Laser.Pulsed() || kHz >= m.Laser.FrequencyKHz[0] && kHz <= m.Laser.FrequencyKHz[1] {
		return nil
	}
	return fault.Usagef("frequency %g kHz is outside the source's range, %g to %g kHz", kHz, m.Laser.FrequencyKHz[0],
		m.Laser.FrequencyKHz[1])
}

// reaches refuses a speed that no move of the machine can have.
func reaches(m settings.Machine, mmPerS float64) error {
	most := settings.Fastest(m.Profile)
	if mmPerS <= most {
		return nil
	}
	return fault.Usagef("%s mm/s exceeds the %s mm/s of %s", words.Number(mmPerS, 2), words.Number(most, 2), m.ID).
		Hintf("%s", settings.PerMinuteHint(mmPerS, most))
}
