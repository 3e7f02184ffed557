package heat

// Comment says what a key is in a file of a material.
func (Material) Comment(key string) string { return materialComments[key] }

var materialComments = map[string]string{
	"furrow":               "file format version",
	"id":                   "short name, by which heat_as asks for it: lower-case letters, digits and hyphens",
	"names":                "other names of the material, as a blank's material may say",
	"source":               "handbook or supplier's sheet that the values stand in",
	"density_kg_m3":        "kg/m3",
	"specific_heat_j_kg_k": "J/kgK",
	"conductivity_w_m_k":   "W/mK; of wood across the grain",
	"expansion_per_k":      "linear expansion, 1/K; with Poisson's ratio it gives the warp hint",
	"modulus_gpa":          "GPa, Young's modulus; it cancels out of the warp hint",
	"poisson":              "Poisson's ratio",
	"absorbed_fraction": "least and most of the beam's energy that the surface takes in, 0 to 1, where no " +
		"recipe says",
	"absorbed_for_nm": "shortest and longest wavelength, nm, that absorbed_fraction holds for; left out: any",
}
