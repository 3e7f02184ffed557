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
	return reaches(m, r.SpeedMMPerS)
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
