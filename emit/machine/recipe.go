package machine

import (
	"regexp"
	"time"
)

// Recipe is settings that suit a material on one machine for one purpose. The
// tags are the keys of a recipe file and the comments it is written with.
type Recipe struct {
	Furrow   int    `toml:"furrow" comment:"file format version"`
	ID       string `toml:"id" comment:"short name, by which it is asked for: lower-case letters, digits and hyphens"`
	Name     string `toml:"name" comment:"what you call the recipe"`
	Machine  string `toml:"machine" comment:"id of the machine profile it was tried on"`
	Material string `toml:"material" comment:"as you order it; compare looks recipes up by this word"`
	Purpose  string `toml:"purpose" comment:"what the mark is for: engrave, mark or outline"`

	SpeedMMPerS     float64   `toml:"speed_mm_s" comment:"marking speed, mm/s (trial on scrap)"`
	PowerPercent    float64   `toml:"power_percent" comment:"percent of full power (trial on scrap)"`
	FrequencyKHz    float64   `toml:"frequency_khz,omitempty" comment:"pulse frequency of a pulsed source, kHz (trial on scrap)"`
	PulseNS         float64   `toml:"pulse_ns,omitempty" comment:"pulse length where the source has a choice, ns (trial on scrap)"`
	SpacingMM       float64   `toml:"spacing_mm" comment:"distance between rows, mm (trial on scrap)"`
	AnglesDegrees   []float64 `toml:"angles_degrees,omitempty" comment:"of the rows, counter-clockwise from X, a set of rows each; left out: 0"`
	CrossDegrees    float64   `toml:"cross_degrees,omitempty" comment:"a second set of rows for each angle, turned by this; left out: none"`
	Passes          int       `toml:"passes,omitempty" comment:"how often the whole fill is marked; left out: once"`
	PassTurnDegrees float64   `toml:"pass_turn_degrees,omitempty" comment:"added to the angles each pass; left out: 0"`
	OneWay          bool      `toml:"one_way,omitempty" comment:"true: mark every row in the same direction"`
	Outline         string    `toml:"outline,omitempty" comment:"trace the outline: none, before, after or only"`

	MarkWidthMM      float64 `toml:"mark_width_mm,omitempty" comment:"width of one marked line, mm (measured under a loupe); the fill is inset by half of it"`
	FocusOffsetMM    float64 `toml:"focus_offset_mm,omitempty" comment:"distance of the material from the focus, mm (set at the machine); spot, overlap and dose follow it"`
	Tone             string  `toml:"tone,omitempty" comment:"the mark is lighter or darker than the material"`
	AbsorbedFraction float64 `toml:"absorbed_fraction,omitempty" comment:"of the beam's energy, what the material takes in, 0 to 1 (handbook); left out: not known"`
	Air              bool    `toml:"air,omitempty" comment:"true: with air assist"`
	Rework           *bool   `toml:"rework,omitempty" comment:"false: nothing may be marked twice, as annealed colours ask; left out: true"`
	Notes            string  `toml:"notes,omitempty" comment:"anything else: batch, cleaning, masking"`
	From             string  `toml:"from,omitempty" comment:"where the settings come from, as patch C4 of card.toml; left out: not told"`
	TestedOn         string  `toml:"tested_on,omitempty" comment:"date of the trial on scrap it comes from, as 2026-11-25; left out: never tested"`
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
var chlorinated = regexp.MustCompile(`(?i)\b(pvc|c-?pvc|u-?pvc|pvdc|vinyl|vinyls|polyvinyl|polyvinylchloride|polyvinylidene|leatherette|neoprene|polychloroprene)\b`)

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
				word + " gives off hydrogen chloride and other poisons under a laser, which harm people and eat the machine",
				"there is no recipe for it: cut it with a knife or choose another material"})
			return
		}
	}
}

// marking checks how the beam is moved and driven.
func (v *validator) marking(r Recipe) {
	v.within("speed_mm_s", r.SpeedMMPerS, 0.01, 1e6) // faster than any machine, whose own limit comes with a better remedy
	v.within("power_percent", r.PowerPercent, 0.01, 100)
	v.optional("frequency_khz", r.FrequencyKHz, 0.001, 1e5)
	v.optional("pulse_ns", r.PulseNS, 1, 1e7)
	v.within("spacing_mm", r.SpacingMM, 0.0001, 1000)
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
