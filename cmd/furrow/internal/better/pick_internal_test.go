package better

import (
	"testing"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

func recipe(id, machineID, material, purpose, tested string) settings.Recipe {
	return settings.Recipe{Recipe: machine.Recipe{ID: id, Machine: machineID, Material: material, Purpose: purpose,
		TestedOn: tested}}
}

// Of the recipes of a machine for the material and purpose the one that was tested last is
// taken, and of those alike the first by name; a named one goes before all.
func TestRecipeThatIsPicked(t *testing.T) {
	p := &picker{material: "slate", use: map[string]settings.Recipe{}, all: []settings.Recipe{
		recipe("d", "co2", "slate", "mark", ""), recipe("b", "co2", "Slate", "mark", "2026-03-01"),
		recipe("a", "co2", "slate", "engrave", "2026-03-01"), recipe("c", "co2", "slate", "mark", "2026-01-01"),
		recipe("e", "co2", "oak", "mark", "2026-09-01"), recipe("f", "diode", "slate", "mark", "2026-09-01"),
	}}
	picked := func(id string) string {
		r, ok := p.recipeFor(id)
		require.Equal(t, ok, r.ID != "")
		return r.ID
	}
	require.Equal(t, "a", picked("co2"))
	require.Equal(t, "f", picked("diode"))
	require.Empty(t, picked("fibre"))
	require.Equal(t, []string{"d", "b", "c"}, p.others(recipe("a", "co2", "slate", "engrave", "")))
	p.purpose = "mark"
	require.Equal(t, "b", picked("co2"))
	require.Equal(t, []string{"d", "c"}, p.others(recipe("b", "co2", "slate", "mark", "")))
	p.use["co2"] = recipe("mine", "co2", "oak", "mark", "")
	require.Equal(t, "mine", picked("co2"))
	require.Empty(t, p.others(p.use["co2"]), "it was named")
	p.material = ""
	require.Empty(t, picked("diode"))
	require.Equal(t, "mine", picked("co2"))
}

// A machine without a recipe is told to try, or of a material whose name is near.
func TestOtherMaterial(t *testing.T) {
	p := &picker{all: []settings.Recipe{recipe("a", "co2", "slate", "", ""),
		recipe("b", "co2", "birch plywood", "", "")}}
	for material, want := range map[string]string{"Slatte": `did you mean "slate"?`, "slate": noRecipeHint,
		"granite counter": noRecipeHint} {
		p.material = material
		require.Equal(t, want, p.otherMaterial())
	}
}

// What names a recipe: the command line before the job, and for each machine its own.
func TestWantedRecipes(t *testing.T) {
	p, err := newPicker(job.Job{Recipe: "example-co2-birch"}, Wanted{Purpose: "engrave"})
	require.NoError(t, err)
	require.Equal(t, "birch plywood", p.material)
	require.Equal(t, "engrave", p.purpose)
	require.Equal(t, "example-co2-birch", p.use["example-co2"].ID)
	p, err = newPicker(job.Job{Recipe: "example-co2-birch"}, Wanted{Recipe: "example-fibre-steel", Material: "slate"})
	require.NoError(t, err)
	require.Equal(t, "slate", p.material)
	require.Len(t, p.use, 1)
	require.Equal(t, "example-fibre-steel", p.use["example-fibre"].ID)
	j := job.Job{}
	j.Blank.Material = "oak"
	p, err = newPicker(j, Wanted{Use: []string{"example-co2=example-co2-birch", "example-diode=example-diode-birch"}})
	require.NoError(t, err)
	require.Equal(t, "oak", p.material)
	require.Len(t, p.use, 2)
	for want, w := range map[string]Wanted{
		"--use example-co2-birch is not MACHINE=RECIPE": {
			Use: []string{"example-co2-birch"},
		},
		"--use example-co2=example-diode-birch: recipe example-diode-birch was made on example-diode": {
			Use: []string{"example-co2=example-diode-birch"},
		},
		`unknown recipe "nosuch"`: {Recipe: "nosuch"},
	} {
		_, err := newPicker(job.Job{}, w)
		require.EqualError(t, err, want)
	}
	_, err = newPicker(job.Job{}, Wanted{Use: []string{"example-co2=nosuch"}})
	require.EqualError(t, err, `unknown recipe "nosuch"`)
	_, err = newPicker(job.Job{}, Wanted{Material: "PVC"})
	require.ErrorContains(t, err, "PVC gives off hydrogen chloride")
}
