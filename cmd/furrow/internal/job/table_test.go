package job

import (
	"reflect"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// The table has an entry for each key of a fill, in the file's sequence, with all that
// help needs; numbers have a range.
func TestTableTellsEveryValue(t *testing.T) {
	fields := settings.FieldsOf(reflect.ValueOf(Fill{}))
	require.Len(t, Values, len(fields))
	flags := map[string]bool{}
	for i, f := range fields {
		v := Values[i]
		require.Equal(t, f.Key, v.Key)
		require.NotEmpty(t, v.Help, f.Key)
		require.True(t, strings.HasPrefix(f.Comment, v.Help), f.Key)
		require.True(t, v.Def == "0" || strings.HasSuffix(f.Comment, v.Def), f.Key)
		require.Equal(t, v.Limits, f.Limits)
		require.False(t, v.Flag != "" && flags[v.Flag], v.Flag)
		flags[v.Flag] = true
		_, numeric := f.Value.Interface().(value.Ranged)
		require.Equal(t, numeric, v.Limits != (value.Limits{}), f.Key)
		_, word := f.Value.Interface().(*string)
		require.Equal(t, word, len(v.Words) > 0, f.Key)
		_, alone := f.Value.Interface().(*bool)
		require.Equal(t, alone, v.Takes == "" && v.Flag != "", f.Key)
	}
}

// A recipe takes what a fill does: no value that one of them refuses passes in the
// other.
func TestRecipeHasTheRangesOfTheFill(t *testing.T) {
	plain := machine.Recipe{Furrow: 1, ID: "a", Name: "a", Machine: "b", Material: "slate", Purpose: "engrave",
		SpeedMMPerS: 500, PowerPercent: 40, SpacingMM: 0.1}
	require.NoError(t, plain.Validate())
	tried := 0
	for _, v := range Values {
		if v.recipe == "" || v.Limits == (value.Limits{}) {
			continue
		}
		width := v.Limits.Most - v.Limits.Least
		for _, c := range []struct {
			number float64
			fits   bool
		}{
			{v.Limits.Least, true}, {v.Limits.Most, true},
			{v.Limits.Least - 1e-3*width, false}, {v.Limits.Most + 1e-3*width, false},
		} {
			r := plain
			if to := recipeFields(&r)[v.recipe]; to.Kind() == reflect.Slice {
				to.Set(reflect.ValueOf([]float64{c.number}))
			} else {
				to.SetFloat(c.number)
			}
			require.Equal(t, c.fits, r.Validate() == nil, "%s = %g: %v", v.recipe, c.number, r.Validate())
			tried++
		}
	}
	require.Equal(t, 4*8, tried)
}

// What is said of one machine's beam is told apart from what is said of the work.
func TestElsewhereLeavesOutTheBeam(t *testing.T) {
	speed, angle := value.Number(100), value.Angles{30}
	j := Job{Fill: Fill{Speed: &speed, Angle: &angle},
		Groups: []Group{{Pick: "#a", Fill: Fill{Spacing: &value.Spacing{MM: 1}}}}}
	there, left := j.Elsewhere()
	require.Equal(t, []string{"speed_mm_s", "spacing"}, left)
	require.Equal(t, Fill{Angle: &angle}, there.Fill)
	require.Equal(t, Fill{}, there.Groups[0].Fill)
	require.NotNil(t, j.Fill.Speed)
	require.NotNil(t, j.Groups[0].Fill.Spacing)
}
