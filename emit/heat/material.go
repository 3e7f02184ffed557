package heat

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Material is what a plate is made of. Expansion, Modulus and Poisson may be 0,
// not known: the warp hint then is left out.
type Material struct {
	Furrow          int         `toml:"furrow" comment:"version of this file's form"`
	ID              string      `toml:"id"`
	Names           []string    `toml:"names" comment:"other names of the material, as a blank's material may say"`
	Source          string      `toml:"source" comment:"handbook or supplier's sheet that the values stand in"`
	DensityKgM3     float64     `toml:"density_kg_m3"`
	SpecificHeat    float64     `toml:"specific_heat_j_kg_k"`
	Conductivity    float64     `toml:"conductivity_w_m_k"`
	ExpansionPerK   float64     `toml:"expansion_per_k,omitempty" comment:"linear; with Poisson's ratio it gives the warp hint"`
	ModulusGPa      float64     `toml:"modulus_gpa,omitempty" comment:"Young's modulus; it cancels out of the warp hint"`
	Poisson         float64     `toml:"poisson,omitempty"`
	AbsorbedPercent *[2]float64 `toml:"absorbed_percent,omitempty" comment:"least and most of the beam that the surface takes up, where no recipe says"`
}

// Diffusivity returns how quickly heat spreads, mm2/s.
func (m Material) Diffusivity() float64 {
	return m.Conductivity / (m.DensityKgM3 * m.SpecificHeat) * 1e6
}

// Validate refuses values that no material has.
func (m Material) Validate() error {
	for _, v := range [...]struct {
		key         string
		value       float64
		least, most float64
	}{
		{"density_kg_m3", m.DensityKgM3, 1, 25000},
		{"specific_heat_j_kg_k", m.SpecificHeat, 50, 15000},
		{"conductivity_w_m_k", m.Conductivity, 0.005, 3000},
		{"expansion_per_k", m.ExpansionPerK, 0, 1e-3},
		{"modulus_gpa", m.ModulusGPa, 0, 1500},
		{"poisson", m.Poisson, 0, 0.5},
	} {
		if !(v.value >= v.least && v.value <= v.most) {
			return fmt.Errorf("%s: %g is not from %g to %g", v.key, v.value, v.least, v.most)
		}
	}
	if a := m.AbsorbedPercent; a != nil && !(a[0] >= 0 && a[0] <= a[1] && a[1] <= 100) {
		return fmt.Errorf("absorbed_percent: %g is not least and most of 100", *a)
	}
	return nil
}

// Absorbed returns the least and the most of the beam that the surface takes up,
// as fractions, and whether the material says so; all of 0 to 1 where not.
func (m Material) Absorbed() (least, most float64, known bool) {
	if m.AbsorbedPercent == nil {
		return 0, 1, false
	}
	return m.AbsorbedPercent[0] / 100, m.AbsorbedPercent[1] / 100, true
}

// Find returns the material of a name, whatever its case: by its id or other
// names first, and then by one that stands in the name as whole words.
func Find(all []Material, name string) (Material, bool) {
	name = strings.ToLower(strings.TrimSpace(name))
	for _, m := range all {
		for _, n := range append([]string{m.ID}, m.Names...) {
			if strings.ToLower(n) == name {
				return m, true
			}
		}
	}
	words := strings.FieldsFunc(name, func(r rune) bool { return strings.ContainsRune(" ,;-/", r) })
	best, length := Material{}, 0
	for _, m := range all {
		for _, n := range append([]string{m.ID}, m.Names...) {
			parts := strings.FieldsFunc(strings.ToLower(n), func(r rune) bool { return strings.ContainsRune(" ,;-/", r) })
			if len(parts) > length && holds(words, parts) {
				best, length = m, len(parts)
			}
		}
	}
	return best, length > 0
}

// holds reports that parts stand in words, side by side.
func holds(words, parts []string) bool {
	for i := 0; i+len(parts) <= len(words); i++ {
		if slices.Equal(words[i:i+len(parts)], parts) {
			return true
		}
	}
	return false
}

// BucklingRise returns by how much a flat plate whose edges cannot move may be
// warmed before it bows, for plates of the given sides, mm:
//
//	k·π²·t²/(12·(1+ν)·α·b²)
//
// with b the shorter side and k that of a square plate, 5.30 where the edges can
// not turn either (own Ritz calculation; Timoshenko and Gere print 5.33, from
// memory) and 2 where they can. A marked plate whose rim stays cool is held by it,
// less stiffly than this: the rise is an upper bound. 0 where the expansion is not
// known.
func (m Material) BucklingRise(w, h, thicknessMM float64, clamped bool) float64 {
	if m.ExpansionPerK == 0 || m.Poisson == 0 {
		return 0
	}
	k := 2.0
	if clamped {
		k = 5.30363
	}
	b := min(w, h)
	return k * math.Pi * math.Pi * thicknessMM * thicknessMM / (12 * (1 + m.Poisson) * m.ExpansionPerK * b * b)
}
