package settings

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/emit/heat"
	"furrow/emit/machine"
)

// Material is what a plate is made of and where that came from.
type Material struct {
	heat.Material
	File string // empty for a built-in one
}

// AllMaterials returns the user's own materials, then the built-in ones that none of
// them replaces.
func AllMaterials() ([]Material, error) {
	var builtIn []Material
	for _, m := range heat.Materials() {
		builtIn = append(builtIn, Material{Material: m})
	}
	return own("materials", readMaterial, builtIn)
}

func (m Material) source() (id, file string) { return m.ID, m.File }

// MaterialOf finds a material by a name as blanks and recipes have it, nil where
// there is none.
func MaterialOf(all []Material, name string) *Material {
	var plain []heat.Material
	for _, m := range all {
		plain = append(plain, m.Material)
	}
	found, ok := heat.Find(plain, name)
	if !ok {
		return nil
	}
	i := slices.IndexFunc(all, func(m Material) bool { return m.ID == found.ID })
	return &all[i]
}

// MaterialByID finds a material by its id.
func MaterialByID(all []Material, id string) (*Material, error) {
	var ids []string
	for i, m := range all {
		if m.ID == id {
			return &all[i], nil
		}
		ids = append(ids, m.ID)
	}
	return nil, fmt.Errorf("no material has the id %q: known are %s", id, strings.Join(ids, ", "))
}

// readMaterial reads a file of the settings folder.
func readMaterial(file string) (Material, error) {
	m := Material{File: file}
	data, err := read(file, &m.Material)
	if err != nil {
		return Material{}, err
	}
	if p := materialProblem(m.Material); p != nil {
		return Material{}, fault.Usagef("%s: %s", At(file, data, p.Key), p.Problem)
	}
	return m, nil
}

func materialProblem(m heat.Material) *heat.ValueError {
	var bad *heat.ValueError
	switch {
	case m.Furrow != 1:
		return &heat.ValueError{Key: "furrow", Problem: fmt.Sprintf("this program reads version 1, not %d", m.Furrow)}
	case !machine.ValidID(m.ID):
		return &heat.ValueError{Key: "id", Problem: fmt.Sprintf("%q is not made of lower-case letters, digits and "+
			"hyphens", m.ID)}
	case strings.TrimSpace(m.Source) == "":
		return &heat.ValueError{Key: "source", Problem: "name the handbook or the supplier's sheet that the values " +
			"stand in"}
	case errors.As(m.Validate(), &bad):
		return bad
	}
	return nil
}
