package heat

// nearTen are the wavelengths, nm, at which a body at room temperature radiates most
// (Wien: 9,660 nm at 300 K), so that what it takes in there is about its total
// emissivity (Kirchhoff's law).
var nearTen = [2]float64{9000, 11_000}

// Materials returns the built-in materials. Sources differ by about a tenth, and
// alloys and woods by more. Metals have no range of what they take in: it goes from a few
// percent of a bare face to nearly all of an anodised or painted one, and the mark itself
// changes it.
func Materials() []Material {
	return []Material{
		{
			Furrow: 1, ID: "aluminium-6061", Names: []string{"6061", "aluminium", "aluminum", "anodised aluminium",
				"anodized aluminum"},
			Source: "a supplier's sheet for 6061-T6: 167 W/mK, 2700 kg/m3, 896 J/kgK, 23.6e-6 /K, 68.9 GPa; " +
				"Poisson's ratio from memory",
			DensityKgM3: 2700, SpecificHeat: 896, Conductivity: 167, ExpansionPerK: 23.6e-6,
			ModulusGPa: 68.9, Poisson: 0.33,
		},
		{
			Furrow: 1, ID: "aluminium-5052", Names: []string{"5052"},
			Source: "a supplier's sheet for 5052: 138 W/mK, 2680 kg/m3, 880 J/kgK, 23.8e-6 /K, 70.3 GPa; " +
				"Poisson's ratio from memory",
			DensityKgM3: 2680, SpecificHeat: 880, Conductivity: 138, ExpansionPerK: 23.8e-6,
			ModulusGPa: 70.3, Poisson: 0.33,
		},
		{
			Furrow: 1, ID: "stainless-304", Names: []string{"304", "stainless", "stainless steel"},
			Source: "Incropera, Fundamentals of Heat and Mass Transfer, table A.1, from memory; expansion, " +
				"modulus and Poisson's ratio from memory",
			DensityKgM3: 7900, SpecificHeat: 477, Conductivity: 14.9, ExpansionPerK: 17.2e-6,
			ModulusGPa: 193, Poisson: 0.29,
		},
		{
			Furrow: 1, ID: "brass-c260", Names: []string{"brass", "cartridge brass", "c260"},
			Source: "Incropera, table A.1: 110 W/mK, 8530 kg/m3, 380 J/kgK (others print 120 W/mK); expansion, " +
				"modulus and Poisson's ratio from memory",
			DensityKgM3: 8530, SpecificHeat: 380, Conductivity: 110, ExpansionPerK: 19.9e-6,
			ModulusGPa: 110, Poisson: 0.35,
		},
		{
			Furrow: 1, ID: "acrylic", Names: []string{"pmma"},
			Source: "ISO 10077-2 for the conductivity; specific heat from memory; " +
				"at 10 um it takes in all but the 4 % that a refractive index of 1.5 reflects, computed",
			DensityKgM3: 1180, SpecificHeat: 1466, Conductivity: 0.18, Absorbed: &[2]float64{0.9, 1},
			AbsorbedFor: &nearTen,
		},
		{
			Furrow: 1, ID: "hardwood", Names: []string{"oak", "maple", "birch", "birch plywood", "wood"},
			Source: "Mechanical Engineers' Handbook, vol. 4, table 3, for oak and maple across the grain; " +
				"emissivity of wood 0.82 to 0.92, Incropera, table A.11, from memory",
			DensityKgM3: 720, SpecificHeat: 1255, Conductivity: 0.16, Absorbed: &[2]float64{0.8, 1},
			AbsorbedFor: &nearTen,
		},
		{
			Furrow: 1, ID: "slate",
			Source: "about ISO 10456, from memory; emissivity of stone 0.8 and above, Incropera, table A.11, " +
				"from memory",
			DensityKgM3: 2700, SpecificHeat: 1000, Conductivity: 2.2, Absorbed: &[2]float64{0.8, 1},
			AbsorbedFor: &nearTen,
		},
	}
}
