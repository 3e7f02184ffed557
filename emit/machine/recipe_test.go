package machine_test

import (
	"errors"
	"slices"
	"testing"

	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

func TestExampleRecipesSuitTheirMachines(t *testing.T) {
	machines := machine.Examples()
	for _, r := range machine.ExampleRecipes() {
		require.NoError(t, r.Validate(), r.ID)
		i := slices.IndexFunc(machines, func(p machine.Profile) bool { return p.ID == r.Machine })
		require.GreaterOrEqual(t, i, 0, r.ID)
		l := machines[i].Laser
		require.Equal(t, l.Pulsed(), r.FrequencyKHz > 0, r.ID)
		if l.Pulsed() {
			require.GreaterOrEqual(t, r.FrequencyKHz, l.FrequencyKHz[0], r.ID)
			require.LessOrEqual(t, r.FrequencyKHz, l.FrequencyKHz[1], r.ID)
		}
		require.Empty(t, r.TestedOn, "an example was never tested")
	}
}

// Chlorinated plastics give off hydrogen chloride when heated: common practice,
// no source.
func TestNoRecipeForChlorinatedPlastics(t *testing.T) {
	for material, refused := range map[string]bool{
		"PVC": true, "Foam-PVC 3 mm": true, "self-adhesive vinyl": true, "uPVC sheet": true, "Polyvinyl chloride": true,
		"neoprene": true, "acrylic": false, "laminated plastic": false, "polyvinylic": false,
	} {
		r := machine.ExampleRecipes()[0]
		r.Material = material
		err := r.Validate()
		if !refused {
			require.NoError(t, err, material)
			continue
		}
		var key *machine.KeyError
		require.ErrorAs(t, err, &key, material)
		require.Equal(t, "material", key.Key)
		require.Contains(t, key.Problem, "hydrogen chloride")
		require.Contains(t, key.Hint, "another material")
	}
}

func TestRecipeErrorsNameTheirKeys(t *testing.T) {
	err := machine.Recipe{}.Validate()
	var all machine.KeyErrors
	require.True(t, errors.As(err, &all))
	var keys []string
	for _, k := range all {
		keys = append(keys, k.Key)
	}
	require.Equal(t, []string{"furrow", "id", "name", "machine", "material", "purpose", "speed_mm_s", "power_percent",
		"spacing_mm"}, keys)
}
