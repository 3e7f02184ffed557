package job

import (
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/value"
	"furrow/emit/machine"
)

// What a fixture says must go together: a gap belongs beside a fill, and no pitch; what says
// how a grid is laid out needs a grid.
func TestWhatAFixtureMayNotSay(t *testing.T) {
	yes, two, two2 := true, []value.Length{5, 5}, value.Count(2)
	for key, f := range map[string]Fixture{
		"": {Fill: &yes}, "fixture.pitch": {Fill: &yes, Pitch: two}, "fixture.columns": {Gap: two},
		"fixture.gap": {Columns: &two2, Rows: &two2, Pitch: two, Gap: two},
	} {
		p := f.problem()
		if key == "" {
			require.Nil(t, p)
			continue
		}
		require.NotNil(t, p, key)
		require.Equal(t, key, p.Key)
	}
	require.Nil(t, Fixture{Fill: &yes, Gap: two}.problem())
	require.Equal(t, "fixture.columns", Fixture{Pitch: two}.problem().Key)
}

// A recipe has kHz where a fill has Hz.
func TestFrequenciesOfRecipes(t *testing.T) {
	var r machine.Recipe
	SetRecipe(&r, Fill{Frequency: &value.Frequency{Hz: 50_000}})
	require.Equal(t, 50.0, r.FrequencyKHz)
	require.Equal(t, 50_000.0, RecipeFill(r).Frequency.Hz)
}
