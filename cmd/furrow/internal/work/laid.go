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

// WithinMachine refuses settings that a galvo does not have: making the work warns of
// them, and a check refuses the file.
func (w Work) WithinMachine() error {
	if !w.forGalvo() {
		return nil // emit.Check has done it
	}
	for _, l := range w.Laid() {
		if out := pulse.OutOfRange(l.Set, w.Machine.Profile); len(out) > 0 {
			return &UnfitError{fault.Workf("%s", out[0])}
		}
	}
	return nil
}

// SettingWarnings say what is odd in a setting that was asked for: what the
// file cannot hold, what leaves gaps between pulses or lines, and what a galvo does
// not have.
func SettingWarnings(m *settings.Machine, asked path.Setting, l machine.Laser, markMM float64,
	degrees ...float64) []string {
	set := rounded(m, asked)
	all := append(m.RoundingNotes(asked), pulse.Warnings(set, l, markMM, degrees...)...)
	if !m.IsGalvo() {
		return all // which a gantry does not have is refused
	}
	for _, text := range pulse.OutOfRange(set, m.Profile) {
		all = append(all, text+"; furrow check will refuse the file")
	}
	return all
}
