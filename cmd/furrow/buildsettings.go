package main

import (
	"cmp"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/settings"
	"furrow/emit/machine"
)

// findSettings finds the machine and the recipe that a build is to use. Each
// may be named by the other.
func (b *build) findSettings(drawing bool) error {
	name := strings.TrimSpace(cmp.Or(b.request.recipe, b.job.Recipe))
	if name != "" {
		r, err := settings.FindRecipe(name)
		if err != nil {
			return err
		}
		b.recipe = &r
	}
	name = strings.TrimSpace(cmp.Or(b.request.machine, b.job.Machine))
	if name == "" && b.recipe != nil {
		name = b.recipe.Machine
	}
	if name == "" && drawing {
		return nil
	}
	m, err := settings.FindMachine(name)
	if err != nil {
		return err
	}
	b.machine = &m
	return b.matchRecipe()
}

func (b *build) matchRecipe() error {
	if b.recipe != nil && b.recipe.Machine != b.machine.ID {
		return fault.Usagef("recipe %s was made on %s, and the machine is %s", b.recipe.ID, b.recipe.Machine, b.machine.ID).
			Hintf("prove the settings on %s, then save them as a recipe of its own", b.machine.ID)
	}
	return nil
}

func (b *build) recipeOrNil() *machine.Recipe {
	if b.recipe == nil {
		return nil
	}
	return &b.recipe.Recipe
}
