package job

import (
	"fmt"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
)

// lacking is a value that nobody gave, and has no sensible default.
type lacking struct{ name, flag string }

// lacks lists the values that a fill still needs, with a flag to start from. Without a
// machine only the spacing counts.
func (f Fill) lacks(m *settings.Machine) (all []lacking) {
	if f.Spacing == nil && value.Or(f.Outline, "") != "only" {
		spacing := "0.1mm"
		if m != nil {
			spacing = fmt.Sprintf("%gmm", m.Laser.SpotMM[1])
		}
		all = append(all, lacking{"spacing", "--spacing " + spacing + " (the spot's width is a start)"})
	}
	if m == nil {
		return all
	}
	if f.Speed == nil {
		all = append(all, lacking{"speed", fmt.Sprintf("--speed in mm/s (%s reaches %g)", m.ID,
			settings.TopSpeed(m.Profile))})
	}
	if f.Power == nil {
		all = append(all, lacking{"power", "--power in percent"})
	}
	if f.Frequency == nil && m.Laser.Pulsed() {
		all = append(all, lacking{"frequency", fmt.Sprintf("--frequency (%gkHz to %gkHz)", m.Laser.FrequencyKHz[0],
			m.Laser.FrequencyKHz[1])})
	}
	return all
}

// unset names the values of a fill that nobody gave, of those that every machine needs.
func (f Fill) unset() (names []string) {
	if f.Spacing == nil && value.Or(f.Outline, "") != "only" {
		names = append(names, "spacing")
	}
	if f.Speed == nil {
		names = append(names, "speed")
	}
	if f.Power == nil {
		names = append(names, "power")
	}
	return names
}

// settingsHint says where settings come from.
const settingsHint = "take a recipe (furrow recipes), or add --spacing 0.1mm, --speed in mm/s and --power in " +
	"percent; " +
	"prove them on scrap first"

// withoutMachine is for a job that names no machine, and tells what else is missing.
func (f Fill) withoutMachine() error {
	names := append([]string{"machine"}, f.unset()...)
	hint := "add --machine ID (furrow machines lists them)"
	if len(names) == 1 {
		return fault.Usagef("no machine named").Hintf("%s", hint)
	}
	hint += ", and " + settingsHint
	return fault.Usagef("no %s", listed(names, "and")).Hintf("%s", hint)
}

// withoutSettings tells what is missing beside a machine that is not known; nil for
// nothing.
func (f Fill) withoutSettings() error {
	if names := f.unset(); len(names) > 0 {
		return fault.Usagef("no %s", listed(names, "or")).Hintf("%s", settingsHint)
	}
	return nil
}

// Complete refuses a fill without a value that has no sensible default, and tells all
// that are missing at once. what is added to the messages.
func (f Fill) Complete(m *settings.Machine, what string) error {
	var names, flags []string
	for _, l := range f.lacks(m) {
		names, flags = append(names, l.name), append(flags, l.flag)
	}
	if len(names) > 0 {
		return fault.Usagef("no %s%s", listed(names, "or"), what).
			Hintf("add %s; or take a recipe: furrow recipes. Prove it on scrap first", listed(flags, "and"))
	}
	if m == nil || m.Laser.Pulsed() {
		return nil
	}
	switch {
	case f.Frequency != nil:
		return fault.Usagef("%s is not a pulsed source, so it has no frequency%s", m.ID, what).
			Hintf("leave --frequency out")
	case f.Pulse != nil:
		return fault.Usagef("%s is not a pulsed source, so it has no pulse length%s", m.ID, what).
			Hintf("leave --pulse out")
	}
	return nil
}

// listed joins words as a sentence does.
func listed(all []string, last string) string {
	if len(all) == 1 {
		return all[0]
	}
	return strings.Join(all[:len(all)-1], ", ") + " " + last + " " + all[len(all)-1]
}
