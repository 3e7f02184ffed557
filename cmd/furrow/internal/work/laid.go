package work

import (
	"fmt"
	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit/machine"
	"furrow/emit/pulse"
	"furrow/path"
	"furrow/path/hatch"
	"strings"
)

// Laid is a setting with how often it fills its area.
type Laid struct {
	Name string       // of the group
	Set  path.Setting // as the file has it

	asked  path.Setting
	laser  machine.Laser // as the material sees it
	times  int
	angles []float64 // of its rows, degrees to X; none where it has no rows
	markMM float64
}

// Facts returns what the beam does with the setting.
func (l Laid) Facts() pulse.Facts { return pulse.Of(l.Set, l.laser, l.times, l.angles...) }

// Laid lists the settings of the work, outlines that differ from their fill
// included.
func (w Work) Laid() []Laid {
	var all []Laid
	for i, f := range w.Groups {
		spec := w.Fills[i].Spec
		fill := Laid{
			Name: GroupName(i), Set: f.Setting, asked: SettingOf(spec, w.Machine),
			laser: w.Laser(i), times: Fillings(f), angles: rowAngles(f), markMM: f.MarkWidth,
		}
		if f.Outline.When != hatch.Only {
			all = append(all, fill)
		}
		edge := fill
		edge.Name, edge.Set, edge.times, edge.angles = fill.Name+" outline", f.Outline.Setting, f.Passes, nil
		edge.asked = outlineSetting(spec, fill.asked)
		if f.Outline.When == hatch.Only || f.Outline.When != hatch.NoOutline && differ(edge.Set, fill.Set) {
			all = append(all, edge)
		}
	}
	return all
}

// FactsOf returns what the beam does with a fill by itself.
func FactsOf(f job.Fill, m *settings.Machine) pulse.Facts {
	g := hatchGroup(f, m)
	l := pulse.Defocused(m.Laser, float64(value.Or(f.FocusOffset, 0)))
	return pulse.Of(g.Setting, l, Fillings(g), rowAngles(g)...)
}

// GroupName names a fill of the work: that of the whole, or of a group.
func GroupName(i int) string {
	if i == 0 {
		return "hatch"
	}
	return fmt.Sprintf("group %d", i)
}

// PowerWords words a power that was asked for, as a fraction of full, in percent as unit
// writes it, and what the machine's file makes of it where that shows.
func PowerWords(asked, set float64, unit string) string {
	a, s := words.Decimal(100*asked, 2), words.Decimal(100*set, 2)
	if a == s {
		return s + " " + unit
	}
	return fmt.Sprintf("%s %s (%s in the controller's steps)", a, unit, s)
}

// Fillings counts how often a fill goes over its area.
func Fillings(f hatch.Group) int {
	switch {
	case f.Contours:
		return max(1, f.Passes)
	case f.Cross != 0:
		return 2 * max(1, f.Passes) * max(1, len(f.Angles))
	}
	return max(1, f.Passes) * max(1, len(f.Angles))
}

// rowAngles lists the angles of the rows of a fill, degrees to X; none where it has none.
func rowAngles(f hatch.Group) (all []float64) {
	if f.Contours {
		return nil
	}
	for pass := range max(1, f.Passes) {
		for _, a := range f.Angles {
			a += float64(pass) * f.PassTurn
			all = append(all, a)
			if f.Cross != 0 {
				all = append(all, a+f.Cross)
			}
		}
	}
	return all
}

func differ(a, b path.Setting) bool {
	return a.SpeedMMPerS != b.SpeedMMPerS || a.Power != b.Power
}

// Laser returns the source as the material sees it: out of focus where fill i
// says so.
func (in Input) Laser(i int) machine.Laser {
	return pulse.Defocused(in.Machine.Laser, float64(value.Or(in.Fills[i].Spec.FocusOffset, 0)))
}

// laserWarnings say what the settings are odd in for the source, and for the
// scanner of a galvo.
func (w *Work) laserWarnings() []Warning {
	all := w.Laid()
	var found []words.Shared
	for _, l := range all {
		for _, text := range SettingWarnings(w.Machine, l.asked, l.laser, l.markMM, l.angles...) {
			found = words.Share(found, l.Name, text)
		}
	}
	var messages []string
	for _, f := range found {
		if len(f.Names) < len(all) {
			f.Text = strings.Join(f.Names, ", ") + ": " + f.Text
		}
		messages = append(messages, f.Text)
	}
	return warningsOf(append(messages, w.Moves.DelayWarnings()...))
}

// withinMachine refuses settings that a galvo does not have, all that are at once: a check
// would refuse the file.
func (w *Work) withinMachine() error {
	if !w.forGalvo() {
		return nil // emit.Check does it
	}
	all := w.Laid()
	var found []words.Shared
	remedies := map[string]string{}
	for _, l := range all {
		for _, lack := range pulse.OutOfRange(l.Set, w.Machine.Profile) {
			found, remedies[lack.Text] = words.Share(found, l.Name, lack.Text), remedy(w.Machine, l.Set, lack)
		}
	}
	var errs []error
	for _, f := range found {
		said := f.Text
		if len(f.Names) < len(all) {
			said = strings.Join(f.Names, ", ") + ": " + said
		}
		errs = append(errs, &UnfitError{fault.Workf("%s", said).Hintf("%s", remedies[f.Text])})
	}
	return fault.All(errs...)
}

// SettingWithin refuses what a galvo does not have of a setting that was asked for.
func SettingWithin(m *settings.Machine, asked path.Setting) error {
	var errs []error
	set := rounded(m, asked)
	for _, l := range pulse.OutOfRange(set, m.Profile) {
		errs = append(errs, fault.Workf("%s", l).Hintf("%s", remedy(m, set, l)))
	}
	return fault.All(errs...)
}

// remedy says what to do about a value of a setting that a galvo does not have.
func remedy(m *settings.Machine, set path.Setting, l pulse.Lack) string {
	if l.Use == "" {
		return "leave --" + l.Key + " out"
	}
	hint := "use " + l.Use
	switch l.Key {
	case "speed":
		if slip := settings.PerMinuteHint(set.SpeedMMPerS, m.Galvo.MaxSpeedMMPerS); slip != "" {
			hint += "; " + slip
		}
	case "pulse":
		hint = "use one of these, or leave --pulse out"
	}
	return hint + "; if the machine has it, its profile " + m.ID + " is wrong"
}

// leastMeant is below what anyone marks with, as a fraction of full power: a percentage that
// was written as a fraction is. Our own choice.
const leastMeant = 0.01

// SettingWarnings say what is odd in a setting that was asked for: what the
// file cannot hold, and what leaves gaps between pulses or lines.
func SettingWarnings(m *settings.Machine, asked path.Setting, l machine.Laser, markMM float64,
	degrees ...float64) []string {
	all := append(m.RoundingNotes(asked), pulse.Warnings(rounded(m, asked), l, markMM, degrees...)...)
	if asked.Power > 0 && asked.Power < leastMeant {
		all = append(all, fmt.Sprintf("power %s is less than 1 percent of full: power is in percent, 35 for 35 percent",
			words.Decimal(100*asked.Power, 4)))
	}
	return all
}
