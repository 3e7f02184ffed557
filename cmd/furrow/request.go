package main

import (
	"fmt"

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
	blank     *point // its width and height
	fill      fillSpec
	tolerance *lengthMM
	bareAbove *number
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
	limit(optionalVar(fs, &r.tolerance, "tolerance", "how far a straight piece or an arc may leave a curve, `LENGTH`"), limits{0.0001, 10, "mm"})
	bareAboveFlag(fs, &r.bareAbove)
	r.sequencing.flags(fs)
	fs.BoolVar(&r.timings, "timings", false, "print seconds and memory of each stage to standard error")
}

func bareAboveFlag(fs *pflag.FlagSet, to **number) {
	limit(optionalVar(fs, to, "bare-above",
		"paint stays unmarked if each of its red, green and blue is at least this `FRACTION` of full (default 0.96)"), limits{0.01, 2, ""})
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
func hatchParts(fills []resolvedFill, m *machineFile) ([]hatch.Part, error) {
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
func (f fillSpec) part(m *machineFile) hatch.Part {
	asked := f.setting(m)
	width := float64(or(f.MarkWidth, 0))
	return hatch.Part{
		Setting:   m.rounded(asked),
		Angles:    or(f.Angle, angles{0}),
		Cross:     float64(or(f.Cross, 0)),
		Passes:    int(or(f.Passes, 1)),
		PassTurn:  float64(or(f.PassTurn, 0)),
		OneWay:    or(f.OneWay, false),
		Stretch:   or(f.Stretch, false),
		Shortest:  float64(or(f.Shortest, 0)),
		CloseGaps: float64(or(f.CloseGaps, 0)),
		Skip:      int(or(f.Interleave, 1)),
		Inset:     float64(or(f.Inset, lengthMM(width/2))),
		Contours:  or(f.Contours, false),
		MarkWidth: width,
		Outline:   f.outline(asked, m),
	}
}

// setting is what is asked for, which the machine's file may not quite hold.
func (f fillSpec) setting(m *machineFile) path.Setting {
	set := path.Setting{
		SpeedMMPerS: float64(or(f.Speed, 0)),
		Power:       float64(or(f.Power, 0)) / 100,
		FrequencyHz: or(f.Frequency, frequencyHz{}).hz,
		SpacingMM:   or(f.Spacing, spacingMM{}).mm,
		Air:         or(f.Air, false),
	}
	if m != nil && set.FrequencyHz > 0 {
		set.PulseNS = float64(or(f.Pulse, number(m.Laser.PulseNS)))
	}
	return set
}

// rounded returns a setting as the machine's file says it, or as it is where
// there is no machine.
func (m *machineFile) rounded(s path.Setting) path.Setting {
	if m == nil {
		return s
	}
	return m.Rounded(s)
}

// outline is the edge of a fill.
func (f fillSpec) outline(fill path.Setting, m *machineFile) hatch.Outline {
	return hatch.Outline{
		When:    outlineWhen(or(f.Outline, "none")),
		Setting: m.rounded(f.outlineSetting(fill)),
		Offset:  float64(or(f.Offset, 0)),
		Overlap: float64(or(f.Overlap, 0)),
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
func (f fillSpec) complete(m *machineFile, what string) error {
	if f.Spacing == nil && or(f.Outline, "") != "only" {
		return usagef("no spacing%s", what).hintf("add --spacing, as in --spacing 0.1mm or --spacing 254lpi; the spot's width is a start")
	}
	if m == nil {
		return nil
	}
	switch {
	case f.Speed == nil:
		return usagef("no speed%s", what).hintf("add --speed in mm/s; %s reaches %g", m.ID, topSpeed(m.Profile))
	case f.Power == nil:
		return usagef("no power%s", what).hintf("add --power in percent, and prove it on scrap first")
	}
	return f.completePulse(m, what)
}

func (f fillSpec) completePulse(m *machineFile, what string) error {
	if !m.Laser.Pulsed() {
		if f.Frequency != nil {
			return usagef("%s is not a pulsed source, so it has no frequency%s", m.ID, what).hintf("leave --frequency out")
		}
		if f.Pulse != nil {
			return usagef("%s is not a pulsed source, so it has no pulse length%s", m.ID, what).hintf("leave --pulse out")
		}
		return nil
	}
	if f.Frequency == nil {
		return usagef("no frequency%s for the pulsed source of %s", what, m.ID).
			hintf("add --frequency, from %gkHz to %gkHz", m.Laser.FrequencyKHz[0], m.Laser.FrequencyKHz[1])
	}
	return nil
}

// topSpeed returns the greatest marking speed of a machine in X, mm/s.
func topSpeed(p machine.Profile) float64 {
	if p.Gantry != nil {
		return p.Gantry.MaxSpeedMMPerS[0]
	}
	return p.Galvo.MaxSpeedMMPerS
}
