package warmth_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/warmth"
	"furrow/emit/heat"

	"github.com/stretchr/testify/require"
)

// Pauses are of tenths of a second, longer for a lower limit, and none where it is high.
// On metal 0.96768 J/K over 268 W/m2K on 4 cm2 are 9.0 s to cool to a third.
func TestRests(t *testing.T) {
	w := marked(t, "example-fibre", func(j *job.Job) { j.Blank.LiesOn = value.Given("metal") })
	e, err := warmth.MappedWith(w, heat.Options{})
	require.NoError(t, err)
	last := time.Duration(0)
	for _, share := range []float64{1.5, 0.97, 0.93} {
		rests, err := warmth.Rests(w, share*e.Most*e.Map.Peak)
		require.NoError(t, err)
		if share > 1 {
			require.Empty(t, rests)
			continue
		}
		require.NotEmpty(t, rests)
		for i, r := range rests {
			require.Zero(t, r.For%(100*time.Millisecond), "%v", r.For)
			require.Positive(t, r.For)
			require.Less(t, r.Before, len(w.Program.Strokes))
			require.True(t, i == 0 || r.Before > rests[i-1].Before)
		}
		require.Greater(t, warmth.Rested(rests), last)
		last = warmth.Rested(rests)
	}
	_, err = warmth.Rests(w, 0.5)
	require.ErrorContains(t, err, "no pauses keep the blank at +0.5 K: ")
	var f *fault.Failure
	require.ErrorAs(t, err, &f)
	const other = ", mark with less power or more quickly, or let it lie on metal (lies_on in [blank])"
	var hot *heat.LimitError
	require.ErrorAs(t, err, &hot)
	require.Equal(t, fmt.Sprintf("allow %.0f K or more", math.Ceil(hot.LeastK))+other, f.Hint)
	require.Greater(t, hot.LeastK, 0.5)
	// 10 mm on a table cool so slowly that no pause is long enough, whatever else.
	thick := marked(t, "example-fibre", func(j *job.Job) { j.Blank.Thickness = value.Given(value.Length(10)) })
	e, err = warmth.MappedWith(thick, heat.Options{})
	require.NoError(t, err)
	_, err = warmth.Rests(thick, 0.9*e.Most*e.Map.Peak)
	require.ErrorContains(t, err, "minutes are not enough")
	require.ErrorAs(t, err, &f)
	require.Equal(t, "allow more"+other, f.Hint)
	w.HeatsAs = nil
	_, err = warmth.Rests(w, 50)
	require.ErrorContains(t, err, `heat needs the numbers of "6061"`)
}
