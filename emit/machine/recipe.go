package machine

import (
	"regexp"
	"time"
)

// Recipe is settings that suit a material on one machine for one purpose. The
// tags are the keys of a recipe file and the comments it is written with.
type Recipe struct {
	Furrow   int    `toml:"furrow"`
	ID       string `toml:"id"`
	Name     string `toml:"name"`
	Machine  string `toml:"machine"`
	Material string `toml:"material"`
	Purpose  string `toml:"purpose"`

	SpeedMMPerS     float64   `toml:"speed_mm_s"`
	PowerPercent    float64   `toml:"power_percent"`
	FrequencyKHz    float64   `toml:"frequency_khz,omitempty"`
	PulseNS         float64   `toml:"pulse_ns,omitempty"`
	SpacingMM       float64   `toml:"spacing_mm,omitempty"`
	AnglesDegrees   []float64 `toml:"angles_degrees,omitempty"`
	CrossDegrees    float64   `toml:"cross_degrees,omitempty"`
	Passes          int       `toml:"passes,omitempty"`
	PassTurnDegrees float64   `toml:"pass_turn_degrees,omitempty"`
	OneWay          bool      `toml:"one_way,omitempty"`
	Outline         string    `toml:"outline,omitempty"`

	MarkWidthMM      float64 `toml:"mark_width_mm,omitempty"`
	FocusOffsetMM    float64 `toml:"focus_offset_mm,omitempty"`
	Tone             string  `toml:"tone,omitempty"`
	AbsorbedFraction float64 `toml:"absorbed_fraction,omitempty"`
	Air              bool    `toml:"air,omitempty"`
	Rework           *bool   `toml:"rework,omitempty"`
	Notes            string  `toml:"notes,omitempty"`
	From             string  `toml:"from,omitempty"`
	TestedOn         string  `toml:"tested_on,omitempty"`
}

// Purposes lists what the mark of a recipe may be for.
func Purposes() []string { return []string{"engrave", "mark", "outline"} }

// The other words of a recipe.
var (
	outlineWords = []string{"", "none", "before", "after", "only"}
	toneWords    = []string{"", "lighter", "darker"}
)

// chlorinated finds the names of materials that give off chlorine under a
// laser: polyvinyl chloride, by whatever name it is ordered. Common practice,
// as every extraction and machine manual asks; the list of names is from memory.
var chlorinated = regexp.MustCompile(`(?i)\b(pvc|c-?pvc|u-?pvc|pvdc|vinyl|vinyls|polyvinyl|` +
	`polyvinylchloride|polyvinylidene|leatherette|neoprene|polychloroprene)\b`)

// ChlorinatedWord returns the word of a text that names a chlorinated plastic,
// which no laser should heat, or "".
func ChlorinatedWord(text string) string { return chlorinated.FindString(text) }

// Validate returns nil, or a KeyErrors with all that is wrong.
func (r Recipe) Validate() error {
	v := &validator{}
	if r.Furrow != 1 {
		v.fail("furrow", "this program reads version 1, not %d", r.Furrow)
	}
	v.check(ValidID(r.ID), "id", "%q is not made of lower-case letters, digits and hyphens", r.ID)
	v.check(r.Name != "" && len(r.Name) <= 200, "name", "must be 1 to 200 bytes long")
	v.check(ValidID(r.Machine), "machine", "%q is not the id of a profile", r.Machine)
	v.check(r.Material != "" && len(r.Material) <= 200, "material", "must be 1 to 200 bytes long")
	v.oneOf("purpose", r.Purpose, Purposes()...)
	v.chlorine(r)
	v.marking(r)
	v.mark(r)
	if len(v.errs) == 0 {
		return nil
	}
	return v.errs
}

func (v *validator) chlorine(r Recipe) {
	for _, f := range []struct{ key, text string }{{"id", r.ID}, {"name", r.Name}, {"material", r.Material}} {
		if word := ChlorinatedWord(f.text); word != "" {
			v.errs = append(v.errs, &KeyError{f.key,
				word + " gives off hydrogen chloride and other poisons under a laser, which harm people and eat the " +
					"machine",
				"there is no recipe for it: cut it with a knife or choose another material"})
			return
		}
	}
}

// marking checks how the beam is moved and driven.
func (v *validator) marking(r Recipe) {
	// faster than any machine, whose own limit comes with a better remedy
	v.within("speed_mm_s", r.SpeedMMPerS, 0.01, 1e6)
	v.within("power_percent", r.PowerPercent, 0.01, 100)
	v.optional("frequency_khz", r.FrequencyKHz, 0.001, 1e5)
	v.optional("pulse_ns", r.PulseNS, 1, 1e7)
	if r.Outline == "only" { // which has no rows
		v.optional("spacing_mm", r.SpacingMM, 0.0001, 1000)
	} else {
		v.within("spacing_mm", r.SpacingMM, 0.0001, 1000)
	}
	for _, a := range r.AnglesDegrees {
		v.within("angles_degrees", a, -3600, 3600)
	}
	v.within("cross_degrees", r.CrossDegrees, -3600, 3600)
	v.within("passes", float64(r.Passes), 0, 1000)
	v.within("pass_turn_degrees", r.PassTurnDegrees, -3600, 3600)
	v.oneOf("outline", r.Outline, outlineWords...)
}

// mark checks what is said of the mark.
func (v *validator) mark(r Recipe) {
	v.optional("mark_width_mm", r.MarkWidthMM, 0.001, 10)
	v.within("focus_offset_mm", r.FocusOffsetMM, -100, 100)
	v.oneOf("tone", r.Tone, toneWords...)
	v.within("absorbed_fraction", r.AbsorbedFraction, 0, 1)
	v.check(len(r.Notes) <= 10_000, "notes", "are longer than 10,000 bytes")
	v.check(len(r.From) <= 200, "from", "is longer than 200 bytes")
	if r.TestedOn != "" {
		_, err := time.Parse(time.DateOnly, r.TestedOn)
		v.check(err == nil, "tested_on", "%q is not a date as 2026-11-25", r.TestedOn)
	}
}
