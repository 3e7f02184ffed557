package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"furrow/emit/machine"
)

// picker finds the recipe of each machine.
type picker struct {
	all      []recipe
	use      map[string]recipe // by machine
	material string
	purpose  string
}

func (c *compareFlags) newPicker(j job) (*picker, error) {
	all, err := allRecipes()
	if err != nil {
		return nil, err
	}
	p := &picker{all: all, use: map[string]recipe{}, material: firstWord(c.material, j.Blank.Material), purpose: or(c.purpose, "")}
	if name := firstWord(c.recipe, j.Recipe); name != "" {
		if _, err := p.take(name); err != nil {
			return nil, err
		}
	}
	for _, u := range c.use {
		id, name, ok := strings.Cut(u, "=")
		if !ok {
			return nil, usagef("--use %s is not MACHINE=RECIPE", u)
		}
		r, err := p.take(name)
		if err != nil {
			return nil, err
		}
		if r.Machine != id {
			return nil, usagef("--use %s: recipe %s was made on %s", u, r.ID, r.Machine)
		}
	}
	return p, p.refuse()
}

// take uses a recipe that is named, on its machine, and looks for its material
// where none is asked for.
func (p *picker) take(name string) (recipe, error) {
	r, err := findRecipe(name)
	if err == nil {
		p.use[r.Machine] = r
		p.material = firstWord(p.material, r.Material)
	}
	return r, err
}

// refuse is the last word on a material that no laser should heat.
func (p *picker) refuse() error {
	if word := machine.ChlorinatedWord(p.material); word != "" {
		return refusedMaterial(word)
	}
	return nil
}

// otherMaterial says what to do where a machine has no recipe for the material.
func (p *picker) otherMaterial() string {
	var known []string
	for _, r := range p.all {
		if sameMaterial(r.Material, p.material) {
			return noRecipeHint
		}
		known = append(known, r.Material)
	}
	if near := nearest(strings.ToLower(p.material), known); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return noRecipeHint
}

const noRecipeHint = "try it on scrap, then furrow recipes save"

// fitting lists the recipes of a machine for the material.
func (p *picker) fitting(machine string) []recipe {
	var fit []recipe
	for _, r := range p.all {
		if r.Machine == machine && sameMaterial(r.Material, p.material) && (p.purpose == "" || r.Purpose == p.purpose) {
			fit = append(fit, r)
		}
	}
	return fit
}

// others names the recipes that could stand in for one that was not named.
func (p *picker) others(chosen recipe) []string {
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
func (p *picker) recipeFor(id string) (recipe, bool) {
	if r, ok := p.use[id]; ok {
		return r, true
	}
	if p.material == "" {
		return recipe{}, false
	}
	fit := p.fitting(id)
	if len(fit) == 0 {
		return recipe{}, false
	}
	return slices.MinFunc(fit, func(a, b recipe) int {
		return cmp.Or(cmp.Compare(b.TestedOn, a.TestedOn), cmp.Compare(a.ID, b.ID))
	}), true
}
