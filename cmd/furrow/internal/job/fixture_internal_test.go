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
	turn := value.Number(90)
	for _, f := range []Fixture{
		{Fill: &yes, Pockets: "a.csv"}, {Fill: &yes, Rows: &two2}, {Pockets: "a.csv", Rows: &two2},
		{Pockets: "a.csv", Gap: two}, {Pockets: "a.csv", Pitch: two}, {Pockets: "a.csv", Turn: &turn},
		{Pockets: "a.csv", HalfTurns: &yes},
	} {
		require.Equal(t, "fixture.pockets", f.problem().Key, "%+v", f)
	}
	for _, f := range []Fixture{{First: two}, {Turn: &turn}, {HalfTurns: &yes}, {Skip: make([]int, 1)}} {
		require.Equal(t, "fixture.columns", f.problem().Key, "%+v", f)
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
