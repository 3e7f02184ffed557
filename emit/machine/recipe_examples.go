package machine

// ExampleRecipes returns the built-in recipes. Their numbers are invented and
// proved on no material.
func ExampleRecipes() []Recipe {
	all := []Recipe{
		{ID: "example-co2-plastic", Machine: "example-co2", Material: "laminated plastic", Purpose: "engrave",
			SpeedMMPerS: 250, PowerPercent: 35, SpacingMM: 0.1, CrossDegrees: 90, MarkWidthMM: 0.15,
			Tone: "lighter", Air: true},
		{ID: "example-co2-birch", Machine: "example-co2", Material: "birch plywood", Purpose: "engrave",
			SpeedMMPerS: 300, PowerPercent: 45, SpacingMM: 0.12, MarkWidthMM: 0.16, Tone: "darker", Air: true},
		{ID: "example-co2-anodised", Machine: "example-co2", Material: "anodised aluminium", Purpose: "mark",
			SpeedMMPerS: 300, PowerPercent: 60, SpacingMM: 0.1, MarkWidthMM: 0.12, Tone: "lighter"},
		{ID: "example-diode-birch", Machine: "example-diode", Material: "birch plywood", Purpose: "engrave",
			SpeedMMPerS: 80, PowerPercent: 80, SpacingMM: 0.1, MarkWidthMM: 0.12, Tone: "darker", Air: true},
		{ID: "example-diode-anodised", Machine: "example-diode", Material: "anodised aluminium", Purpose: "mark",
			SpeedMMPerS: 60, PowerPercent: 90, SpacingMM: 0.08, MarkWidthMM: 0.1, Tone: "lighter"},
		{ID: "example-fibre-anodised", Machine: "example-fibre", Material: "anodised aluminium", Purpose: "mark",
			SpeedMMPerS: 2000, PowerPercent: 40, FrequencyKHz: 60, SpacingMM: 0.04, CrossDegrees: 90, MarkWidthMM: 0.05,
			Tone: "lighter"},
		{ID: "example-fibre-coated", Machine: "example-fibre", Material: "coated metal", Purpose: "engrave",
			SpeedMMPerS: 1500, PowerPercent: 60, FrequencyKHz: 50, SpacingMM: 0.05, CrossDegrees: 90, MarkWidthMM: 0.06,
			Tone: "lighter"},
		{ID: "example-fibre-steel", Machine: "example-fibre", Material: "stainless steel", Purpose: "mark",
			SpeedMMPerS: 400, PowerPercent: 80, FrequencyKHz: 80, SpacingMM: 0.03, MarkWidthMM: 0.05, Tone: "darker"},
	}
	for i := range all {
		all[i].Furrow = 1
		all[i].Name = "example: " + all[i].Material
		all[i].Notes = "An example: the numbers are invented and proved on no material. Try yours on scrap."
	}
	return all
}
