package better

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/emit/machine"
)

// picker finds the recipe of each machine.
type picker struct {
	all      []settings.Recipe
	use      map[string]settings.Recipe // by machine
	material string
	purpose  string
	own      string // machine that the job's own settings are for, "" for none
}

// Wanted says which recipes are looked for.
type Wanted struct {
	Material string   // "" for that of the blank, or of the recipe named
	Purpose  string   // "" for any
	Recipe   string   // for its own machine, "" for none
	Use      []string // MACHINE=RECIPE
}

func newPicker(j job.Job, w Wanted) (*picker, error) {
	all, err := settings.AllRecipes()
	if err != nil {
		return nil, err
	}
	p := &picker{
		all: all, use: map[string]settings.Recipe{}, material: cmp.Or(w.Material, j.Blank.Material), purpose: w.Purpose,
	}
	if _, beam := j.Elsewhere(); len(beam) > 0 {
		p.own = j.OwnMachine()
	}
	if name := cmp.Or(w.Recipe, j.Recipe); name != "" {
		if _, err := p.take(name); err != nil {
			return nil, err
		}
	}
	for _, u := range w.Use {
		id, name, ok := strings.Cut(u, "=")
		if !ok {
			return nil, fault.Usagef("--use %s is not MACHINE=RECIPE", u)
		}
		r, err := p.take(name)
		if err != nil {
			return nil, err
		}
		if r.Machine != id {
			return nil, fault.Usagef("--use %s: recipe %s was made on %s", u, r.ID, r.Machine)
		}
	}
	return p, p.refuse()
}

// take uses a recipe that is named, on its machine, and looks for its material
// where none is asked for.
func (p *picker) take(name string) (settings.Recipe, error) {
	r, err := settings.FindRecipe(name)
	if err == nil {
		p.use[r.Machine] = r
		p.material = cmp.Or(p.material, r.Material)
	}
	return r, err
}

// refuse is the last word on a material that no laser should heat.
func (p *picker) refuse() error {
	if word := machine.ChlorinatedWord(p.material); word != "" {
		return settings.RefusedMaterial(word)
	}
	return nil
}

// otherMaterial says what to do where a machine has no recipe for the material.
func (p *picker) otherMaterial() string {
	var known []string
	for _, r := range p.all {
		if settings.SameMaterial(r.Material, p.material) {
			return noRecipeHint
		}
		known = append(known, r.Material)
	}
	if near := fault.Nearest(strings.ToLower(p.material), known); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return noRecipeHint
}

const noRecipeHint = "try it on scrap, then furrow recipes save"

// fitting lists the recipes of a machine for the material.
func (p *picker) fitting(machine string) []settings.Recipe {
	var fit []settings.Recipe
	for _, r := range p.all {
		if r.Machine == machine && settings.SameMaterial(r.Material, p.material) &&
			(p.purpose == "" || r.Purpose == p.purpose) {
			fit = append(fit, r)
		}
	}
	return fit
}

// others names the recipes that could stand in for one that was not named.
func (p *picker) others(chosen settings.Recipe) []string {
	if _, named := p.use[chosen.Machine]; named {
		return nil
	}
	var ids []string
	for _, r := range p.fitting(chosen.Machine) {
		if r.ID != chosen.ID {
			ids = append(ids, r.ID)
		}
	}
	return ids
}

// recipeFor returns the recipe of a machine: the one named, or the one for the
// material that was tested last.
func (p *picker) recipeFor(id string) (settings.Recipe, bool) {
	if r, ok := p.use[id]; ok {
		return r, true
	}
	if p.material == "" {
		return settings.Recipe{}, false
	}
	fit := p.fitting(id)
	if len(fit) == 0 {
		return settings.Recipe{}, false
	}
	return slices.MinFunc(fit, func(a, b settings.Recipe) int {
		return cmp.Or(cmp.Compare(b.TestedOn, a.TestedOn), cmp.Compare(a.ID, b.ID))
	}), true
}
