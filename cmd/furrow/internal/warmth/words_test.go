package warmth_test

import (
	"testing"

	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/warmth"
	"furrow/emit/heat"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// estimated is a plate that takes in a quarter to a half of the beam and bows from 4 K: by
// hand 5 to 10 K on average of 20, 50 to 100 K at the hottest place of 200, and 4 K more on
// average than its rim.
func estimated() warmth.Estimate {
	return warmth.Estimate{
		Material: settings.Material{Material: heat.Material{ID: "slate"}}, Least: 0.25, Most: 0.5, From: "material",
		Mean: heat.Mean{Highest: 20, End: 16}, FreeK: 4, ClampedK: 10.6, Groups: []string{"red"},
		Map: &heat.Map{
			Peak: 200, PeakAt: path.Point{X: 3.4, Y: -7.6}, PeakS: 75, Bulge: heat.End{Mean: 12, Rim: 4},
			Ends: []heat.End{{AtS: 30, Mean: 8, Least: 2, Most: 14}, {AtS: 80, Mean: 16, Least: 4, Most: 40}},
		},
	}
}

const loose = "a loose plate is pressed less than a held one: an upper bound, not a promise"

// Each line by the words of its own, and nothing of what does not apply.
func TestLinesByHand(t *testing.T) {
	const (
		mean = "+5 to +10 K on average"
		held = " warmer than its rim; held all round it bows from 4 K (edges can turn) or 11 K (clamped)"
	)
	for name, tt := range map[string]struct {
		change func(*warmth.Estimate)
		want   [][2]string
	}{
		"with a map, just so warm that it bows": {func(*warmth.Estimate) {}, [][2]string{
			{"heat", mean + ", hottest +100 K near X3 Y-8 after 1:15, as slate"},
			{"warp", "may bow: on average up to 4 K" + held}, {"", loose},
		}},
		"just not": {func(e *warmth.Estimate) { e.FreeK = 4.01 }, [][2]string{
			{"heat", mean + ", hottest +100 K near X3 Y-8 after 1:15, as slate"},
			{"warp", "no sign of it: on average up to 4 K" + held}, {"", loose},
		}},
		"without a map": {func(e *warmth.Estimate) { e.Map = nil }, [][2]string{
			{"heat", mean + ", as slate"}, {"warp", "may bow: at most 10 K" + held}, {"", loose},
		}},
		"all that can be said": {func(e *warmth.Estimate) {
			e.Map, e.From, e.NotThin, e.Pulsed, e.Least = nil, "", "it is a block", true, 0.5
		}, [][2]string{
			{"heat", "+10 K on average, as slate"},
			{"", "how much of the beam the blank takes in is not known: from none to all of it"},
			{"", "the blank is no thin plate: it is a block"},
			{"", "what a single pulse does to its spot is another matter, which this does not tell"},
		}},
	} {
		e := estimated()
		tt.change(&e)
		require.Equal(t, tt.want, e.Lines(), name)
	}
}

func TestFiguresByHand(t *testing.T) {
	e := estimated()
	want := warmth.Figures{
		Material: "slate", Absorbed: [2]float64{0.25, 0.5}, From: "material", MeanK: [2]float64{5, 10},
		EndK: [2]float64{4, 8}, HottestK: &[2]float64{50, 100}, HottestAt: &[2]float64{3.4, -7.6}, HottestS: 75,
		Ends: []warmth.GroupEnd{
			{Group: "red", AtS: 30, MeanK: [2]float64{2, 4}, DifferenceK: [2]float64{3, 6}},
			{Group: "all", AtS: 80, MeanK: [2]float64{4, 8}, DifferenceK: [2]float64{9, 18}},
		},
		OverRimK: [2]float64{2, 4}, BowsK: &[2]float64{4, 10.6},
	}
	require.Equal(t, &want, e.Figures())
	e.Map, e.From, e.FreeK, e.NotThin, e.Pulsed = nil, "", 0, "it is a block", true
	require.Equal(t, &warmth.Figures{
		Material: "slate", Absorbed: [2]float64{0.25, 0.5}, From: "not known", MeanK: [2]float64{5, 10},
		EndK: [2]float64{4, 8}, OverRimK: [2]float64{5, 10}, Bound: true, NotThin: "it is a block", Pulsed: true,
	}, e.Figures())
}
