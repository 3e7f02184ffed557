package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"furrow/emit/machine"
)

// recipe is settings for a material and where they came from.
type recipe struct {
	machine.Recipe
	file string // empty for a built-in example
}

func (r recipe) builtIn() bool { return r.file == "" }

// tested words when the recipe was proved.
func (r recipe) tested() string {
	switch {
	case r.builtIn():
		return "invented example"
	case r.TestedOn == "":
		return "never tested"
	}
	return "tested " + r.TestedOn
}

// findRecipe returns the recipe that --recipe names: a file, one of the user's
// own, or a built-in example, in this sequence.
func findRecipe(name string) (recipe, error) {
	if isFile(name) {
		return readRecipe(name)
	}
	all, err := allRecipes()
	if err != nil {
		return recipe{}, err
	}
	var ids []string
	for _, r := range all {
		if r.ID == name {
			return r, nil
		}
		ids = append(ids, r.ID)
	}
	if word := machine.ChlorinatedWord(name); word != "" {
		return recipe{}, refusedMaterial(word)
	}
	return recipe{}, usagef("unknown recipe %q", name).hintf("%s", suggest(name, ids))
}

// refusedMaterial is why there is never a recipe for a chlorinated plastic.
func refusedMaterial(word string) error {
	return workf("%s gives off hydrogen chloride and other poisons under a laser, which harm people and eat the machine", word).
		hintf("cut it with a knife, or choose another material")
}

// allRecipes returns the user's own recipes, then the examples that none of
// them replaces.
func allRecipes() ([]recipe, error) {
	var all []recipe
	for _, file := range userFiles("recipes") {
		r, err := readRecipe(file)
		if err != nil {
			return nil, err
		}
		for _, other := range all {
			if other.ID == r.ID {
				return nil, sameID(r.ID, other.file, file)
			}
		}
		all = append(all, r)
	}
	for _, r := range machine.ExampleRecipes() {
		if !slices.ContainsFunc(all, func(o recipe) bool { return o.ID == r.ID }) {
			all = append(all, recipe{Recipe: r})
		}
	}
	return all, nil
}

func readRecipe(file string) (recipe, error) {
	r := recipe{file: file}
	data, err := readTOML(file, &r.Recipe)
	if err != nil {
		return recipe{}, err
	}
	return r, validateRecipe(file, data, r.Recipe)
}

func validateRecipe(file string, data []byte, r machine.Recipe) error {
	var problems machine.KeyErrors
	errors.As(r.Validate(), &problems)
	return located(file, data, problems)
}

// recipeFill returns the values of a fill that a recipe gives.
func recipeFill(r machine.Recipe) fillSpec {
	f := fillSpec{
		Spacing:     &spacingMM{r.SpacingMM},
		Speed:       given(number(r.SpeedMMPerS)),
		Power:       given(number(r.PowerPercent)),
		Cross:       given(number(r.CrossDegrees)),
		Passes:      given(count(r.Passes)),
		PassTurn:    given(number(r.PassTurnDegrees)),
		OneWay:      given(r.OneWay),
		Outline:     given(r.Outline),
		MarkWidth:   given(lengthMM(r.MarkWidthMM)),
		FocusOffset: given(lengthMM(r.FocusOffsetMM)),
		Pulse:       given(number(r.PulseNS)),
		Air:         given(r.Air),
	}
	if r.FrequencyKHz > 0 {
		f.Frequency = &frequencyHz{r.FrequencyKHz * 1000}
	}
	if len(r.AnglesDegrees) > 0 {
		a := angles(r.AnglesDegrees)
		f.Angle = &a
	}
	return f
}

// given returns nil for a value that was left out.
func given[T comparable](v T) *T {
	var zero T
	if v == zero {
		return nil
	}
	return &v
}

// findSettings finds the machine and the recipe that a build is to use. Each
// may be named by the other.
func (b *build) findSettings(drawing bool) error {
	name := strings.TrimSpace(firstWord(b.request.recipe, b.job.Recipe))
	if name != "" {
		r, err := findRecipe(name)
		if err != nil {
			return err
		}
		b.recipe = &r
	}
	name = strings.TrimSpace(firstWord(b.request.machine, b.job.Machine))
	if name == "" && b.recipe != nil {
		name = b.recipe.Machine
	}
	if name == "" && drawing {
		return nil
	}
	m, err := findMachine(name)
	if err != nil {
		return err
	}
	b.machine = &m
	return b.matchRecipe()
}

func (b *build) matchRecipe() error {
	if b.recipe != nil && b.recipe.Machine != b.machine.ID {
		return usagef("recipe %s was made on %s, and the machine is %s", b.recipe.ID, b.recipe.Machine, b.machine.ID).
			hintf("prove the settings on %s, then save them as a recipe of its own", b.machine.ID)
	}
	return nil
}

func (b *build) recipeOrNil() *machine.Recipe {
	if b.recipe == nil {
		return nil
	}
	return &b.recipe.Recipe
}

// firstWord returns the first that is not empty.
func firstWord(words ...string) string {
	for _, w := range words {
		if w != "" {
			return w
		}
	}
	return ""
}

// words says which recipe it is, by its name too where a person gave it one.
func (r recipe) words() string {
	id := r.ID
	if !r.builtIn() && r.Name != id {
		id += " (" + r.Name + ")"
	}
	return fmt.Sprintf("%s, %s, %s", id, r.Material, r.tested())
}
