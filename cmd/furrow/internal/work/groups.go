package work

import (
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit/pulse"
	"furrow/path"
	"furrow/path/hatch"
)

// groups turns complete fills into the hatch engine's. Without a machine
// they say where the lines are and no more.
func groups(j job.Resolved) []hatch.Group {
	all := make([]hatch.Group, len(j.Fills))
	for i, f := range j.Fills {
		all[i] = hatchGroup(f.Spec, j.Machine)
	}
	return all
}

// hatchGroup turns a complete fill into the hatch engine's.
func hatchGroup(f job.Fill, m *settings.Machine) hatch.Group {
	asked := SettingOf(f, m)
	width := float64(value.Or(f.MarkWidth, 0))
	return hatch.Group{
		Setting:   rounded(m, asked),
		Angles:    value.Or(f.Angle, value.Angles{0}),
		Cross:     float64(value.Or(f.Cross, 0)),
		Passes:    int(value.Or(f.Passes, 1)),
		PassTurn:  float64(value.Or(f.PassTurn, 0)),
		OneWay:    value.Or(f.OneWay, false),
		Stretch:   value.Or(f.Stretch, false),
		Shortest:  float64(value.Or(f.Shortest, value.Length(leastShown(f, m)))),
		CloseGaps: float64(value.Or(f.CloseGaps, value.Length(leastShown(f, m)))),
		Skip:      int(value.Or(f.Interleave, 1)),
		Inset:     float64(value.Or(f.Inset, value.Length(width/2))),
		Contours:  value.Or(f.Contours, false),
		MarkWidth: width,
		Outline:   outlineOf(f, asked, m),
	}
}

// The least length of a mark that the beam can show: a tenth of its width, and two
// steps of the file's grid. Our own choice.
const (
	leastOfWidth = 0.1
	leastSteps   = 2
)

// leastShown returns the length, mm, below which a span is too short for the beam to
// show, and a gap too; 0 without a machine, where nothing is marked. Both would also turn
// the head out of a slanted row, by their rounding to the grid, and slow it down.
func leastShown(f job.Fill, m *settings.Machine) float64 {
	if m == nil {
		return 0
	}
	width := float64(value.Or(f.MarkWidth, 0))
	if width == 0 {
		l := pulse.Defocused(m.Laser, float64(value.Or(f.FocusOffset, 0)))
		width = min(l.SpotMM[0], l.SpotMM[1])
	}
	return max(leastOfWidth*width, leastSteps*gridMM(m))
}

// gridMM is the step of coordinates in the machine's file, mm; 0 without a machine.
func gridMM(m *settings.Machine) float64 {
	switch {
	case m == nil:
		return 0
	case m.IsGalvo():
		return 1 / m.StepsPerMM()
	}
	return m.Controller().Grid().StepMM()
}

// SettingOf is what is asked for, which the machine's file may not quite hold.
func SettingOf(f job.Fill, m *settings.Machine) path.Setting {
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

// outlineOf is the edge of a fill.
func outlineOf(f job.Fill, fill path.Setting, m *settings.Machine) hatch.Outline {
	return hatch.Outline{
		When:    outlineWhen(value.Or(f.Outline, "none")),
		Setting: rounded(m, outlineSetting(f, fill)),
		Offset:  float64(value.Or(f.Offset, 0)),
		Overlap: float64(value.Or(f.Overlap, 0)),
	}
}

// outlineSetting is that of the fill but for what is said of the edge alone.
func outlineSetting(f job.Fill, set path.Setting) path.Setting {
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
