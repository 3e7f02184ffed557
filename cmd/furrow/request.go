package main

import (
	"fmt"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/hatch"

	"github.com/spf13/pflag"
)

// request is what the command line asks of a job: everything in it wins over
// the job file.
type request struct {
	machine   string
	recipe    string
	artwork   artworkSpec
	blank     *value.Point // its width and height
	fill      fillSpec
	tolerance *value.Length
	bareAbove *value.Number
	sequencing
	timings bool
}

const (
	machineUsage = "machine profile: an `ID` that furrow machines lists, or FILE.toml"
	recipeUsage  = "settings that suit the material: an `ID` that furrow recipes lists, or FILE.toml"
)

func (r *request) flags(fs *pflag.FlagSet) {
	fs.StringVar(&r.machine, "machine", "", machineUsage)
	r.workFlags(fs)
}

// workFlags registers what does not depend on the machine.
func (r *request) workFlags(fs *pflag.FlagSet) {
	fs.StringVar(&r.recipe, "recipe", "", recipeUsage)
	r.fill.flags(fs)
	r.artwork.flags(fs)
	blankFlag(fs, &r.blank)
	value.Limit(value.Flag(fs, &r.tolerance, "tolerance", "how far a straight piece or an arc may leave a curve, `LENGTH`"), value.Limits{Least: 0.0001, Most: 10, Unit: "mm"})
	bareAboveFlag(fs, &r.bareAbove)
	r.sequencing.flags(fs)
	fs.BoolVar(&r.timings, "timings", false, "print seconds and memory of each stage to standard error")
}

func bareAboveFlag(fs *pflag.FlagSet, to **value.Number) {
	value.Limit(value.Flag(fs, to, "bare-above",
		"paint stays unmarked if each of its red, green and blue is at least this `FRACTION` of full (default 0.96)"), value.Limits{Least: 0.01, Most: 2, Unit: ""})
}

// resolvedFill is the fill of the whole or of a part, and where each of its
// values came from, by its key.
type resolvedFill struct {
	name string // of the part in messages, empty for the whole
	spec fillSpec
	from map[string]string
}

// resolve takes the fill of the whole and of each part from the command line,
// the part, the job and the recipe, in this sequence.
func (r *request) resolve(j job, recipe *machine.Recipe) []resolvedFill {
	command := layer{"command line", r.fill}
	under := []layer{{j.name, j.Fill}}
	if recipe != nil {
		under = append(under, layer{"recipe " + recipe.ID, recipeFill(*recipe)})
	}
	all := make([]resolvedFill, 1+len(j.Parts))
	for i := range all {
		layers := []layer{command}
		if i > 0 {
			layers = append(layers, layer{fmt.Sprintf("%s, part %d", j.name, i), j.Parts[i-1].fillSpec})
			all[i].name = fmt.Sprintf(" for part %q", j.Parts[i-1].Pick)
		}
		all[i].spec, all[i].from = resolve(append(layers, under...)...)
	}
	return all
}

// hatchParts turns complete fills into the hatch engine's. Without a machine
// they say where the lines are and no more.
func hatchParts(fills []resolvedFill, m *settings.Machine) ([]hatch.Part, error) {
	parts := make([]hatch.Part, len(fills))
	for i, f := range fills {
		if err := f.spec.complete(m, f.name); err != nil {
			return nil, err
		}
		parts[i] = f.spec.part(m)
	}
	return parts, nil
}

// part turns a complete fill into the hatch engine's.
func (f fillSpec) part(m *settings.Machine) hatch.Part {
	asked := f.setting(m)
	width := float64(value.Or(f.MarkWidth, 0))
	return hatch.Part{
		Setting:   rounded(m, asked),
		Angles:    value.Or(f.Angle, value.Angles{0}),
		Cross:     float64(value.Or(f.Cross, 0)),
		Passes:    int(value.Or(f.Passes, 1)),
		PassTurn:  float64(value.Or(f.PassTurn, 0)),
		OneWay:    value.Or(f.OneWay, false),
		Stretch:   value.Or(f.Stretch, false),
		Shortest:  float64(value.Or(f.Shortest, 0)),
		CloseGaps: float64(value.Or(f.CloseGaps, 0)),
		Skip:      int(value.Or(f.Interleave, 1)),
		Inset:     float64(value.Or(f.Inset, value.Length(width/2))),
		Contours:  value.Or(f.Contours, false),
		MarkWidth: width,
		Outline:   f.outline(asked, m),
	}
}

// setting is what is asked for, which the machine's file may not quite hold.
func (f fillSpec) setting(m *settings.Machine) path.Setting {
	set := path.Setting{
		SpeedMMPerS: float64(value.Or(f.Speed, 0)),
		Power:       float64(value.Or(f.Power, 0)) / 100,
		FrequencyHz: value.Or(f.Frequency, value.Frequency{}).Hz,
		SpacingMM:   value.Or(f.Spacing, value.Spacing{}).MM,
		Air:         value.Or(f.Air, false),
	}
	if m != nil && set.FrequencyHz > 0 {
		set.PulseNS = float64(value.Or(f.Pulse, value.Number(m.Laser.PulseNS)))
	}
	return set
}

// rounded returns a setting as the machine's file says it, or as it is where
// there is no machine.
func rounded(m *settings.Machine, s path.Setting) path.Setting {
	if m == nil {
		return s
	}
	return m.Rounded(s)
}

// outline is the edge of a fill.
func (f fillSpec) outline(fill path.Setting, m *settings.Machine) hatch.Outline {
	return hatch.Outline{
		When:    outlineWhen(value.Or(f.Outline, "none")),
		Setting: rounded(m, f.outlineSetting(fill)),
		Offset:  float64(value.Or(f.Offset, 0)),
		Overlap: float64(value.Or(f.Overlap, 0)),
	}
}

// outlineSetting is that of the fill but for what is said of the edge alone.
func (f fillSpec) outlineSetting(set path.Setting) path.Setting {
	set.SpacingMM = 0
	if f.OutlineSpeed != nil {
		set.SpeedMMPerS = float64(*f.OutlineSpeed)
	}
	if f.OutlinePower != nil {
		set.Power = float64(*f.OutlinePower) / 100
	}
	return set
}

func outlineWhen(word string) hatch.When {
	switch word {
	case "before":
		return hatch.Before
	case "after":
		return hatch.After
	case "only":
		return hatch.Only
	}
	return hatch.NoOutline
}

// complete refuses a fill without a value that has no sensible default, and
// suggests one. what is added to the messages.
func (f fillSpec) complete(m *settings.Machine, what string) error {
	if f.Spacing == nil && value.Or(f.Outline, "") != "only" {
		return fault.Usagef("no spacing%s", what).Hintf("add --spacing, as in --spacing 0.1mm or --spacing 254lpi; the spot's width is a start")
	}
	if m == nil {
		return nil
	}
	switch {
	case f.Speed == nil:
		return fault.Usagef("no speed%s", what).Hintf("add --speed in mm/s; %s reaches %g", m.ID, settings.TopSpeed(m.Profile))
	case f.Power == nil:
		return fault.Usagef("no power%s", what).Hintf("add --power in percent, and prove it on scrap first")
	}
	return f.completePulse(m, what)
}

func (f fillSpec) completePulse(m *settings.Machine, what string) error {
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
