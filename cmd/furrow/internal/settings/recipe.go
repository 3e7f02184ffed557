package settings

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/emit/machine"
)

// Recipe is settings for a material and where they came from.
type Recipe struct {
	machine.Recipe
	File string // empty for a built-in example
}

func (r Recipe) builtIn() bool { return r.File == "" }

// Tested words when the recipe was proved.
func (r Recipe) Tested() string {
	switch {
	case r.builtIn():
		return "invented example"
	case r.TestedOn == "":
		return "never tested"
	}
	return "tested " + r.TestedOn
}

// FindRecipe returns the recipe that --recipe names: a file, one of the user's
// own, or a built-in example, in this sequence.
func FindRecipe(name string) (Recipe, error) {
	if isFile(name) {
		return ReadRecipe(name)
	}
	all, err := AllRecipes()
	if err != nil {
		return Recipe{}, err
	}
	var ids []string
	for _, r := range all {
		if r.ID == name {
			return r, nil
		}
		ids = append(ids, r.ID)
	}
	if word := machine.ChlorinatedWord(name); word != "" {
		return Recipe{}, RefusedMaterial(word)
	}
	return Recipe{}, fault.Usagef("unknown recipe %q", name).Hintf("%s", fault.Suggest(name, ids))
}

// RefusedMaterial is why there is never a recipe for a chlorinated plastic.
func RefusedMaterial(word string) error {
	return fault.Workf("%s gives off hydrogen chloride and other poisons under a laser, "+
		"which harm people and eat the machine", word).
		Hintf("cut it with a knife, or choose another material")
}

// AllRecipes returns the user's own recipes, then the examples that none of
// them replaces.
func AllRecipes() ([]Recipe, error) {
	var examples []Recipe
	for _, r := range machine.ExampleRecipes() {
		examples = append(examples, Recipe{Recipe: r})
	}
	return own("recipes", ReadRecipe, examples)
}

func (r Recipe) source() (id, file string) { return r.ID, r.File }

// ReadRecipe reads a file with a recipe.
func ReadRecipe(file string) (Recipe, error) {
	r := Recipe{File: file}
	data, err := read(file, &r.Recipe)
	if err != nil {
		return Recipe{}, err
	}
	return r, ValidateRecipe(file, data, r.Recipe)
}

// ValidateRecipe checks the values of a recipe and adds file and line to each problem.
func ValidateRecipe(file string, data []byte, r machine.Recipe) error {
	var problems machine.KeyErrors
	errors.As(r.Validate(), &problems)
	return located(file, data, problems)
}

// Words says which recipe it is, by its name too where a person gave it one.
func (r Recipe) Words() string {
	id := r.ID
	if !r.builtIn() && r.Name != id {
		id += " (" + r.Name + ")"
	}
	text := fmt.Sprintf("%s, %s, %s", id, r.Material, r.Tested())
	if r.From != "" {
		text += ", " + r.From
	}
	return text
}

// SameMaterial compares the names of materials; no name asked for suits all.
func SameMaterial(have, asked string) bool {
	return asked == "" || strings.EqualFold(strings.Join(strings.Fields(have), " "),
		strings.Join(strings.Fields(asked), " "))
}

// RecipeTOML writes a recipe as the commented file it can be read from.
func RecipeTOML(r machine.Recipe) ([]byte, error) {
	var b bytes.Buffer
	b.WriteString("# Recipe for furrow. Prove it on scrap of the same batch before an order.\n")
	err := WriteCommented(&b, r)
	return b.Bytes(), err
}

// IDIsFree refuses a second recipe of the user's own with the id of one in
// another file.
func IDIsFree(id, file string) error {
	all, err := AllRecipes()
	if err != nil {
		return err
	}
	for _, other := range all {
		if other.ID == id && !other.builtIn() && other.File != file {
			return sameID(id, other.File, file)
		}
	}
	return nil
}
