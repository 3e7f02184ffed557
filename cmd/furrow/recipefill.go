package main

import (
	"furrow/cmd/furrow/internal/value"
	"furrow/emit/machine"
)

// recipeFill returns the values of a fill that a recipe gives.
func recipeFill(r machine.Recipe) fillSpec {
	f := fillSpec{
		Spacing:     &value.Spacing{MM: r.SpacingMM},
		Speed:       value.Given(value.Number(r.SpeedMMPerS)),
		Power:       value.Given(value.Number(r.PowerPercent)),
		Cross:       value.Given(value.Number(r.CrossDegrees)),
		Passes:      value.Given(value.Count(r.Passes)),
		PassTurn:    value.Given(value.Number(r.PassTurnDegrees)),
		OneWay:      value.Given(r.OneWay),
		Outline:     value.Given(r.Outline),
		MarkWidth:   value.Given(value.Length(r.MarkWidthMM)),
		FocusOffset: value.Given(value.Length(r.FocusOffsetMM)),
		Pulse:       value.Given(value.Number(r.PulseNS)),
		Air:         value.Given(r.Air),
	}
	if r.FrequencyKHz > 0 {
		f.Frequency = &value.Frequency{Hz: r.FrequencyKHz * 1000}
	}
	if len(r.AnglesDegrees) > 0 {
		a := value.Angles(r.AnglesDegrees)
		f.Angle = &a
	}
	return f
}

// setRecipe is recipeFill the other way.
func setRecipe(r *machine.Recipe, f fillSpec) {
	r.SpacingMM = value.Or(f.Spacing, value.Spacing{}).MM
	r.SpeedMMPerS, r.PowerPercent = float64(value.Or(f.Speed, 0)), float64(value.Or(f.Power, 0))
	r.FrequencyKHz = value.Or(f.Frequency, value.Frequency{}).Hz / 1000
	r.PulseNS = float64(value.Or(f.Pulse, 0))
	r.AnglesDegrees, r.CrossDegrees = value.Or(f.Angle, nil), float64(value.Or(f.Cross, 0))
	r.Passes, r.PassTurnDegrees = int(value.Or(f.Passes, 0)), float64(value.Or(f.PassTurn, 0))
	r.OneWay, r.Outline, r.Air = value.Or(f.OneWay, false), value.Or(f.Outline, ""), value.Or(f.Air, false)
	r.MarkWidthMM, r.FocusOffsetMM = float64(value.Or(f.MarkWidth, 0)), float64(value.Or(f.FocusOffset, 0))
}
