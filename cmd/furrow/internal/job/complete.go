package job

import (
	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
)

// Complete refuses a fill without a value that has no sensible default, and
// suggests one. what is added to the messages.
func (f Fill) Complete(m *settings.Machine, what string) error {
	if f.Spacing == nil && value.Or(f.Outline, "") != "only" {
		return fault.Usagef("no spacing%s", what).
			Hintf("add --spacing, as in --spacing 0.1mm or --spacing 254lpi; the spot's width is a start")
	}
	if m == nil {
		return nil
	}
	switch {
	case f.Speed == nil:
		return fault.Usagef("no speed%s", what).
			Hintf("add --speed in mm/s; %s reaches %g", m.ID, settings.TopSpeed(m.Profile))
	case f.Power == nil:
		return fault.Usagef("no power%s", what).Hintf("add --power in percent, and prove it on scrap first")
	}
	return f.completePulse(m, what)
}

func (f Fill) completePulse(m *settings.Machine, what string) error {
	if !m.Laser.Pulsed() {
		if f.Frequency != nil {
			return fault.Usagef("%s is not a pulsed source, so it has no frequency%s", m.ID, what).Hintf("leave --frequency out")
		}
		if f.Pulse != nil {
			return fault.Usagef("%s is not a pulsed source, so it has no pulse length%s", m.ID, what).Hintf("leave --pulse out")
		}
		return nil
	}
	if f.Frequency == nil {
		return fault.Usagef("no frequency%s for the pulsed source of %s", what, m.ID).
			Hintf("add --frequency, from %gkHz to %gkHz", m.Laser.FrequencyKHz[0], m.Laser.FrequencyKHz[1])
	}
	return nil
}
