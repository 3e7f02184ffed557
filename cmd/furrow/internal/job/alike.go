package job

import (
	"math"

	"furrow/cmd/furrow/internal/settings"
)

// Alike is a recipe for the material of a job on a machine whose doses can be compared
// with those of the job's own.
type Alike struct {
	Recipe  settings.Recipe
	Machine settings.Machine
}

// sameLight is how far wavelengths may differ and a material takes them in alike,
// relative. Our own choice: a material's bands are wider.
const sameLight = 0.1

// findAlike lists the recipe of the job and those others for its material whose machines
// have the same light. What cannot be read is passed over: it is told where it is used.
func (r *Resolved) findAlike() {
	if r.Machine == nil {
		return
	}
	material := r.Job.Blank.Material
	if r.Recipe != nil {
		material = r.Recipe.Material
		r.Alike = append(r.Alike, Alike{Recipe: *r.Recipe, Machine: *r.Machine})
	}
	if material == "" {
		return
	}
	all, _ := settings.AllRecipes()
	for _, other := range all {
		if !settings.SameMaterial(other.Material, material) || r.Recipe != nil && other.ID == r.Recipe.ID {
			continue
		}
		m, err := settings.FindMachine(other.Machine)
		if err != nil || !sameSource(*r.Machine, m) {
			continue
		}
		r.Alike = append(r.Alike, Alike{Recipe: other, Machine: m})
	}
}

// sameSource reports that two machines have the same light, pulsed or not.
func sameSource(a, b settings.Machine) bool {
	x, y := a.Laser.WavelengthNM, b.Laser.WavelengthNM
	return a.Laser.Pulsed() == b.Laser.Pulsed() && math.Abs(x-y) <= sameLight*max(x, y)
}
