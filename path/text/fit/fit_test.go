package fit_test

import (
	"errors"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/path/text/fit"
)

// two millimetres a letter.
func letters(line string) (float64, error) { return 2 * float64(utf8.RuneCountInString(line)), nil }

func TestInto(t *testing.T) {
	for name, c := range map[string]struct {
		text  string
		rules fit.Rules
		want  fit.Text
	}{
		"any room":         {"Tilia cordata", fit.Rules{}, fit.Text{[]string{"Tilia cordata"}, 26, 1, 1}},
		"just":             {"Acer", fit.Rules{RoomMM: 8}, fit.Text{[]string{"Acer"}, 8, 1, 1}},
		"smaller":          {"Tilia", fit.Rules{RoomMM: 8, Shrink: 0.7}, fit.Text{[]string{"Tilia"}, 8, 0.8, 1}},
		"squeezed":         {"Tilia", fit.Rules{RoomMM: 8, Squeeze: 0.7}, fit.Text{[]string{"Tilia"}, 8, 1, 0.8}},
		"squeezed first":   {"Tilia", fit.Rules{RoomMM: 7.2, Shrink: 0.5, Squeeze: 0.9}, fit.Text{[]string{"Tilia"}, 7.2, 0.8, 0.9}},
		"two lines":        {"Tilia x cordata", fit.Rules{RoomMM: 16, Lines: 2}, fit.Text{[]string{"Tilia x", "cordata"}, 14, 1, 1}},
		"one if it fits":   {"Tilia x", fit.Rules{RoomMM: 16, Lines: 2}, fit.Text{[]string{"Tilia x"}, 14, 1, 1}},
		"two, and smaller": {"Tilia cordata", fit.Rules{RoomMM: 7, Shrink: 0.3, Lines: 2}, fit.Text{[]string{"Tilia", "cordata"}, 7, 0.5, 1}},
		"no space":         {"Tilia", fit.Rules{RoomMM: 8, Shrink: 0.7, Lines: 2}, fit.Text{[]string{"Tilia"}, 8, 0.8, 1}},
		"spaces kept":      {"a\u00a0b c", fit.Rules{RoomMM: 6, Lines: 2}, fit.Text{[]string{"a\u00a0b", "c"}, 6, 1, 1}},
		"empty":            {"", fit.Rules{RoomMM: 6, Lines: 2}, fit.Text{[]string{""}, 0, 1, 1}},
	} {
		got, err := fit.Into(c.text, letters, c.rules)
		require.NoError(t, err, name)
		assert.Equal(t, c.want.Lines, got.Lines, name)
		assert.InDeltaSlice(t, []float64{c.want.WidthMM, c.want.Size, c.want.Squeeze},
			[]float64{got.WidthMM, got.Size, got.Squeeze}, 1e-9, name)
	}
}

func TestWhatDoesNotFitSaysWhatItNeeds(t *testing.T) {
	for _, c := range []struct {
		rules fit.Rules
		need  float64
	}{
		{fit.Rules{RoomMM: 10}, 26},
		{fit.Rules{RoomMM: 10, Shrink: 0.5}, 13},
		{fit.Rules{RoomMM: 10, Shrink: 0.5, Squeeze: 0.9}, 11.7},
		{fit.Rules{RoomMM: 10, Lines: 2}, 14},
	} {
		_, err := fit.Into("Tilia cordata", letters, c.rules)
		var tight *fit.RoomError
		require.ErrorAs(t, err, &tight)
		assert.InDelta(t, c.need, tight.NeedMM, 1e-9)
	}
	_, err := fit.Into("Tilia cordata", letters, fit.Rules{RoomMM: 10.06, Shrink: 0.51})
	assert.EqualError(t, err, `"Tilia cordata" needs 13.3 mm, even at the least size and width that are allowed, and has 10.0 mm`)
}

func TestRefuses(t *testing.T) {
	for _, r := range []fit.Rules{{Shrink: 1.1}, {Squeeze: -1}, {Shrink: math.NaN()}, {RoomMM: -1}, {RoomMM: math.NaN()}, {Lines: 3}} {
		_, err := fit.Into("x", letters, r)
		assert.Error(t, err)
	}
	broken := errors.New("no font")
	_, err := fit.Into("x y", func(line string) (float64, error) {
		if strings.Contains(line, " ") {
			return 9, nil
		}
		return 0, broken
	}, fit.Rules{RoomMM: 1, Lines: 2})
	assert.ErrorIs(t, err, broken)
}
