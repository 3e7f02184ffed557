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
	Furrow        int         `toml:"furrow"`
	ID            string      `toml:"id"`
	Names         []string    `toml:"names"`
	Source        string      `toml:"source"`
	DensityKgM3   float64     `toml:"density_kg_m3"`
	SpecificHeat  float64     `toml:"specific_heat_j_kg_k"`
	Conductivity  float64     `toml:"conductivity_w_m_k"`
	ExpansionPerK float64     `toml:"expansion_per_k,omitempty"`
	ModulusGPa    float64     `toml:"modulus_gpa,omitempty"`
	Poisson       float64     `toml:"poisson,omitempty"`
	Absorbed      *[2]float64 `toml:"absorbed_fraction,omitempty"`
	AbsorbedFor   *[2]float64 `toml:"absorbed_for_nm,omitempty"`
}

// Diffusivity returns how quickly heat spreads, mm2/s.
func (m Material) Diffusivity() float64 {
	return m.Conductivity / (m.DensityKgM3 * m.SpecificHeat) * 1e6
}

// Validate refuses values that no material has, with a *ValueError.
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
			return &ValueError{v.key, fmt.Sprintf("%g is not from %g to %g", v.value, v.least, v.most)}
		}
	}
	if a := m.Absorbed; a != nil && !(a[0] >= 0 && a[0] <= a[1] && a[1] <= 1) {
		return &ValueError{"absorbed_fraction", fmt.Sprintf("%g is not the least and the most of 0 to 1", *a)}
	}
	if r := m.AbsorbedFor; r != nil && !(r[0] > 0 && r[0] <= r[1]) {
		return &ValueError{"absorbed_for_nm", fmt.Sprintf("%g is not the shortest and the longest", *r)}
	}
	return nil
}

// AbsorbedAt returns the least and the most of a beam of a wavelength that the surface
// takes in; false where that is not known.
func (m Material) AbsorbedAt(nm float64) (least, most float64, known bool) {
	if m.Absorbed == nil || m.AbsorbedFor != nil && !(nm >= m.AbsorbedFor[0] && nm <= m.AbsorbedFor[1]) {
		return 0, 1, false
	}
	return m.Absorbed[0], m.Absorbed[1], true
}

// ValueError is a value that no material has, by its key.
type ValueError struct{ Key, Problem string }

func (e *ValueError) Error() string { return e.Key + ": " + e.Problem }

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
			parts := strings.FieldsFunc(strings.ToLower(n), func(r rune) bool {
				return strings.ContainsRune(" ,;-/", r)
			})
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
// warmed before it bows, for a plate of the given sides, mm:
//
//	k·π²·t²/(12·(1+ν)·α·b²)
//
// with b the shorter side and k from plateFactor. 0 where the expansion is not known.
// A loose plate is held by its cooler rim alone, which gives way: for the same rise
// of its middle it is pressed less than this counts, an upper bound, and bows later.
// But its rim can turn, and so it bows sooner than one that is clamped.
func (m Material) BucklingRise(w, h, thicknessMM float64, clamped bool) float64 {
	if m.ExpansionPerK == 0 || m.Poisson == 0 {
		return 0
	}
	b := min(w, h)
	k := plateFactor(b/max(w, h), clamped)
	return k * math.Pi * math.Pi * thicknessMM * thicknessMM / (12 * (1 + m.Poisson) * m.ExpansionPerK * b * b)
}

// plateFactor returns the factor of the buckling load of a plate pressed alike from
// all sides, by shorter over longer side. Where the edges can turn it is 1+r². Where
// they cannot it is that of one half wave each way, 4/3·(3+2r²+3r⁴)/(1+r²), which is
// 5.33 for a square as Timoshenko and Gere print (from memory), less what more waves
// take off a square, for which an own Ritz calculation gives 5.30363. Of a plate five
// times as long as wide it is 3.5 % too high.
func plateFactor(r float64, clamped bool) float64 {
	s := r * r
	if !clamped {
		return 1 + s
	}
	const oneWave, square = 16.0 / 3, 5.30363
	return square / oneWave * 4 / 3 * (3 + 2*s + 3*s*s) / (1 + s)
}
