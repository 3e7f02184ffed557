package swatch

import (
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
)

func axis(t *testing.T, text string) Axis {
	t.Helper()
	var a Axis
	require.NoError(t, a.Set(text))
	return a
}

func values(t *testing.T, want []float64, a Axis) {
	t.Helper()
	require.Len(t, a.Values, len(want))
	require.InDeltaSlice(t, want, a.Values, 1e-9)
}

// Of the counts from two thirds of the room up, that with the fewest digits in its step,
// and the largest of those: 40 is parted by 8 steps of 5 as well as by 5 of 8.
func TestStepsOfAnOpenRange(t *testing.T) {
	for _, tt := range []struct {
		text string
		room int
		want int
	}{
		{"angle=0:40", 9, 9},  // 5 and not 8
		{"power=10:35", 3, 2}, // 25 and not 12.5
		{"power=10:20", 5, 5}, // three of 5 are too few
		{"power=10:16", 6, 4}, // 2 and not 1.2
		{"power=80:40", 8, 6}, // 8, as of a rising one
		{"power=10:11", 2, 2},
		{"speed=100:200:ratios", 7, 7},
	} {
		a, err := axis(t, tt.text).Filled(tt.room)
		require.NoError(t, err)
		require.Len(t, a.Values, tt.want, tt.text)
	}
	for v, want := range map[float64]int{5: 1, 0.25: 2, 166.2 / 10: 4, 1.0 / 3: 6, 200: 1} {
		require.Equal(t, want, digits(v), v)
	}
	a, err := Axis{}.Filled(0)
	require.NoError(t, err)
	require.False(t, a.Given())
	_, err = axis(t, "speed=100,200").Filled(0)
	require.NoError(t, err, "values that are there need no room")
}

// What an axis refuses, and the bounds of that.
func TestBoundsOfAnAxis(t *testing.T) {
	values(t, []float64{-4, -2, -1}, axis(t, "focus=-4:-1:ratios:3"))
	values(t, []float64{10, 20}, axis(t, "speed=10:20:2"))
	require.Len(t, axis(t, "power=1:100:100").Values, 100)
	for text, want := range map[string]string{
		"power=1:100:101":       "101 values of power: use 100 at most",
		"angle=0:90:ratios":     "equal ratios do not lead from 0 deg to 90 deg",
		"speed=20:20":           "a range from 20 mm/s to itself",
		"speed=1:2:3:4":         `"4" is neither how many values there are, 2 or more, nor "ratios"`,
		"speed=1:2:1":           `"1" is neither how many values there are, 2 or more, nor "ratios"`,
		"speed=20,30,20":        "speed 20 mm/s stands there twice",
		"frequency=20kHz,20kHz": "frequency 20 kHz stands there twice",
	} {
		require.EqualError(t, new(Axis).Set(text), want)
	}
	_, err := axis(t, "power=1:2").Filled(1)
	require.EqualError(t, err, "the card has no room for two values of power")
	require.Equal(t, "speed, mm/s: 20  30", axis(t, "speed=20,30").Words())
	require.Equal(t, "focus, mm: -4  -2  -1 (equal ratios)", axis(t, "focus=-4:-1:ratios:3").Words())
	require.Equal(t, "passes, x: 1  2", axis(t, "passes=1,2").Words())
}

// Three digits of a value go on a card, no finer than a ten-thousandth, a spacing no finer
// than a micrometre, and pulses and passes whole.
func TestRoundedForTheLabel(t *testing.T) {
	for _, tt := range []struct {
		word     string
		is, want float64
	}{
		{"speed", 123.456, 123}, {"speed", 1234.5, 1230}, {"speed", 12.3456, 12.3}, {"speed", 0.0123456, 0.0123},
		{"speed", 0.00123456, 0.0012}, {"speed", 0.00174, 0.0017}, {"speed", 0, 0}, {"focus", -1.23456, -1.23},
		{"spacing", 0.012345, 0.012},
		{"spacing", 0.12345, 0.123}, {"pulse", 12.5, 13}, {"passes", 2.4, 2}, {"frequency", 33.333, 33.3},
	} {
		k, err := KindOf(tt.word)
		require.NoError(t, err)
		require.Equal(t, tt.want, k.rounded(tt.is), "%s %g", tt.word, tt.is)
	}
	require.Equal(t, 0.123457, tidied(0.1234567))
	values(t, []float64{1, 2, 3}, Axis{Values: axis(t, "passes=1:3").spread(9)})
	require.Equal(t, []float64{0.01, 0.011, 0.012}, axis(t, "spacing=0.01mm:0.012mm").spread(7))
}

// A kind reads and writes its own value of a fill, in the card's unit.
func TestKindsOfAFill(t *testing.T) {
	angles := value.Angles{30}
	for word, want := range map[string]job.Fill{
		"speed": {Speed: value.Given(value.Number(7))}, "power": {Power: value.Given(value.Number(7))},
		"frequency": {Frequency: &value.Frequency{Hz: 7000}}, "pulse": {Pulse: value.Given(value.Number(7))},
		"spacing": {Spacing: &value.Spacing{MM: 7}}, "passes": {Passes: value.Given(value.Count(7))},
		"focus": {FocusOffset: value.Given(value.Length(7))}, "angle": {Angle: &value.Angles{7}},
	} {
		k, err := KindOf(word)
		require.NoError(t, err)
		require.Equal(t, want, k.With(job.Fill{}, 7), word)
		v, ok := k.Of(want)
		require.True(t, ok)
		require.Equal(t, 7.0, v, word)
		v, ok = k.Of(job.Fill{})
		require.False(t, ok, word)
		require.Zero(t, v)
	}
	passes, _ := KindOf("passes")
	require.Equal(t, value.Count(3), *passes.With(job.Fill{}, 2.6).Passes)
	angle, _ := KindOf("angle")
	v, ok := angle.Of(job.Fill{Angle: &angles})
	require.True(t, ok)
	require.Equal(t, 30.0, v)
	v, ok = angle.Of(job.Fill{Angle: &value.Angles{}})
	require.False(t, ok)
	require.Zero(t, v)
	v, ok = share.Of(job.Fill{})
	require.False(t, ok)
	require.Zero(t, v)
	require.Equal(t, job.Fill{}, share.With(job.Fill{}, 7))
	_, err := KindOf("colour")
	require.EqualError(t, err, `a card does not vary "colour": known are speed, power, frequency, pulse, spacing, `+
		`angle, passes, focus`)
	require.Equal(t, "0.1235 mm", Kind{Unit: "mm"}.Words(0.12346))
	require.Equal(t, "0.1235", Kind{}.Number(0.12346))
	for _, tt := range []struct {
		word string
		v    float64
		want bool
	}{{"angle", 0, false}, {"angle", 5, true}, {"focus", 0, false}, {"focus", -1, true}, {"passes", 1, false},
		{"passes", 2, true}, {"pulse", 100, false}, {"speed", 1, true}} {
		k, _ := KindOf(tt.word)
		require.Equal(t, tt.want, shown(k, tt.v), tt.word)
	}
}

// Round a value lie its neighbours, three steps to each: between 200, 400 and 800 by
// cube roots of 2 (1.26 and 1.587). Beyond an end the step is as on the other side, and a
// speed that would be none half the least.
func TestAroundAValue(t *testing.T) {
	for _, tt := range []struct {
		text string
		v    float64
		room int
		want []float64
	}{
		{"speed=200:800:3:ratios", 400, 7, []float64{200, 252, 317, 400, 504, 635, 800}},
		{"speed=200:800:3:ratios", 200, 7, []float64{100, 126, 159, 200, 252, 317, 400}},
		{"speed=200:800:3:ratios", 800, 4, []float64{400, 800, 1600}},
		{"speed=10,20,40", 40, 7, []float64{20, 26.7, 33.3, 40, 46.7, 53.3, 60}},
		{"speed=10,20,40", 10, 5, []float64{5, 7.5, 10, 15, 20}},
		{"angle=0,45", 0, 5, []float64{-45, -22.5, 0, 22.5, 45}},
		{"focus=0,1", 0, 3, []float64{-1, 0, 1}},
		{"focus=0,1", 0, 1, []float64{-1, 0, 1}},
		{"passes=1,2", 2, 7, []float64{1, 2, 3}},
		{"speed=0.012,0.0122,0.0124", 0.0122, 7, []float64{0.012, 0.0121, 0.0122, 0.0123, 0.0124}}, // of ten-thousandths
		{"speed=10,26.66667,40", 26.66667, 3, []float64{10, 26.7, 40}},
	} {
		a, err := axis(t, tt.text).around(tt.v, tt.room)
		require.NoError(t, err)
		values(t, tt.want, a)
		require.Equal(t, axis(t, tt.text).Ratios, a.Ratios)
	}
	_, err := axis(t, "speed=10,20").around(15, 7)
	require.EqualError(t, err, "the card has no speed of 15 mm/s")
	a, err := axis(t, "speed=10").around(10, 7)
	require.NoError(t, err)
	require.False(t, a.Given())
	require.Equal(t, 20.0, axis(t, "speed=10,20,40").nearest(29))
	require.Equal(t, 40.0, axis(t, "speed=10,20,40").nearest(31))
	require.Equal(t, 10.0, axis(t, "speed=10,20,40").nearest(1))

	ratios := Axis{Ratios: true}
	require.Equal(t, 6.0, ratios.middle(4, 9))
	require.Equal(t, -6.0, ratios.middle(-4, -9))
	require.Equal(t, 4.5, ratios.middle(0, 9))
	require.InDelta(t, 0.3, ratios.middle(0.25, 0.36), 1e-12)
	require.Equal(t, 6.5, Axis{}.middle(4, 9))
	require.Equal(t, 20.0, axis(t, "speed=10,20,30,40").some())
	require.Equal(t, 20.0, axis(t, "speed=10,20,30").some())
	require.Equal(t, 15.0, axis(t, "speed=10:20").some())
	require.Equal(t, 14.1, axis(t, "speed=10:20:ratios").some())
}

// A dozen names are told, and those beyond are counted.
func TestListOfNames(t *testing.T) {
	require.Equal(t, "A, B", list([]string{"A", "B"}))
	var names []string
	for i := range 12 {
		names = append(names, Name(i, 0))
	}
	require.Equal(t, "A1, B1, C1, D1, E1, F1, G1, H1, I1, J1, K1, L1", list(names))
	require.Equal(t, "A1, B1, C1, D1, E1, F1, G1, H1, I1, J1, K1, L1 and 2 more", list(append(names, "M1", "N1")))
	letters, number := splitName("AB12")
	require.Equal(t, "AB 12", letters+" "+number)
	letters, number = splitName("AB")
	require.Equal(t, "AB", letters+number)
	letters, number = splitName("A90")
	require.Equal(t, "A 90", letters+" "+number)
}
