package fit_test

import (
	"errors"
	"math"
	"math/rand/v2"
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
		"any room": {"Tilia cordata", fit.Rules{}, fit.Text{[]string{"Tilia cordata"}, 26, 1, 1}},
		"just":     {"Acer", fit.Rules{RoomMM: 8}, fit.Text{[]string{"Acer"}, 8, 1, 1}},
		"smaller":  {"Tilia", fit.Rules{RoomMM: 8, Shrink: 0.7}, fit.Text{[]string{"Tilia"}, 8, 0.8, 1}},
		"squeezed": {"Tilia", fit.Rules{RoomMM: 8, Squeeze: 0.7}, fit.Text{[]string{"Tilia"}, 8, 1, 0.8}},
		"squeezed first": {"Tilia", fit.Rules{RoomMM: 7.2, Shrink: 0.5, Squeeze: 0.9},
			fit.Text{[]string{"Tilia"}, 7.2, 0.8, 0.9}},
		"two lines": {"Tilia x cordata", fit.Rules{RoomMM: 16, Lines: 2},
			fit.Text{[]string{"Tilia x", "cordata"}, 14, 1, 1}},
		"one if it fits": {"Tilia x", fit.Rules{RoomMM: 16, Lines: 2}, fit.Text{[]string{"Tilia x"}, 14, 1, 1}},
		"two, and smaller": {"Tilia cordata", fit.Rules{RoomMM: 7, Shrink: 0.3, Lines: 2},
			fit.Text{[]string{"Tilia", "cordata"}, 7, 0.5, 1}},
		"no space": {"Tilia", fit.Rules{RoomMM: 8, Shrink: 0.7, Lines: 2},
			fit.Text{[]string{"Tilia"}, 8, 0.8, 1}},
		"spaces kept": {"a\u00a0b c", fit.Rules{RoomMM: 6, Lines: 2},
			fit.Text{[]string{"a\u00a0b", "c"}, 6, 1, 1}},
		"just in two": {"Tilia", fit.Rules{RoomMM: 10, Lines: 2}, fit.Text{[]string{"Tilia"}, 10, 1, 1}},
		"shortest line": {"a bbb cc d", fit.Rules{RoomMM: 12, Lines: 2},
			fit.Text{[]string{"a bbb", "cc d"}, 10, 1, 1}},
		"first of equals": {"a b c", fit.Rules{RoomMM: 6, Lines: 2}, fit.Text{[]string{"a", "b c"}, 6, 1, 1}},
		"many spaces":     {" aa   b ", fit.Rules{RoomMM: 8, Lines: 2}, fit.Text{[]string{" aa", "b "}, 6, 1, 1}},
		"none broken off": {" aaa", fit.Rules{RoomMM: 7, Shrink: 0.5, Lines: 2},
			fit.Text{[]string{" aaa"}, 7, 0.875, 1}},
		"one of as large": {"aa bb", fit.Rules{RoomMM: 9, Squeeze: 0.9, Lines: 2},
			fit.Text{[]string{"aa", "bb"}, 4, 1, 1}},
		"two, squeezed": {"aaa b", fit.Rules{RoomMM: 5, Squeeze: 0.8, Shrink: 0.1, Lines: 2},
			fit.Text{[]string{"aaa", "b"}, 5, 1, 5. / 6}},
		"two only smaller": {"aaa b", fit.Rules{RoomMM: 5, Shrink: 0.1, Lines: 2},
			fit.Text{[]string{"aaa", "b"}, 5, 5. / 6, 1}},
		"just at the least": {"Tilia", fit.Rules{RoomMM: 7, Shrink: 0.7}, fit.Text{[]string{"Tilia"}, 7, 0.7, 1}},
		"empty":             {"", fit.Rules{RoomMM: 6, Lines: 2}, fit.Text{[]string{""}, 0, 1, 1}},
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
	assert.EqualError(t, err, `"Tilia cordata" needs 13.3 mm, even at the least size and width that are allowed, `+
		`and has 10.0 mm`)
}

func TestRefuses(t *testing.T) {
	for _, r := range []fit.Rules{{Shrink: 1.1}, {Squeeze: -1}, {Shrink: math.NaN()}, {RoomMM: -1},
		{RoomMM: math.NaN()}, {Lines: 3}, {Lines: -1}, {Squeeze: 1.1}} {
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

// A font that fails ends it, whichever line it fails on.
func TestFontsFail(t *testing.T) {
	broken := errors.New("no font")
	for _, bad := range []string{"x y", "x", "y"} {
		_, err := fit.Into("x y", func(line string) (float64, error) {
			if line == bad {
				return 0, broken
			}
			return 9, nil
		}, fit.Rules{RoomMM: 1, Lines: 2})
		assert.ErrorIs(t, err, broken, bad)
	}
}

// Two lines are taken only where they are larger, or of the same size squeezed less:
// of random texts, against trying every break.
func TestTwoLinesAgainstEveryBreak(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	two := 0
	for range 3000 {
		text := strings.Repeat("a", 1+r.IntN(5)) + " " + strings.Repeat("b", 1+r.IntN(5)) + " " +
			strings.Repeat("c", 1+r.IntN(5))
		rules := fit.Rules{RoomMM: 4 + 2*float64(r.IntN(10)), Squeeze: 0.7 + 0.1*float64(r.IntN(4)),
			Shrink: 0.01, Lines: 2}
		size := func(lines ...string) (size, squeeze float64) {
			wide := 0.0
			for _, l := range lines {
				wide = max(wide, 2*float64(len(l)))
			}
			squeeze = min(1, max(rules.Squeeze, rules.RoomMM/wide))
			return min(1, rules.RoomMM/wide/squeeze), squeeze
		}
		wantSize, wantSqueeze := size(text)
		for i := range text {
			if text[i] != ' ' {
				continue
			}
			if a, b := size(text[:i], text[i+1:]); a > wantSize+1e-6 || a > wantSize-1e-6 && b > wantSqueeze+1e-6 {
				wantSize, wantSqueeze = a, b
				two++
			}
		}
		got, err := fit.Into(text, letters, rules)
		require.NoError(t, err)
		assert.InDeltaSlice(t, []float64{wantSize, wantSqueeze}, []float64{got.Size, got.Squeeze}, 1e-9,
			"%q %+v", text, rules)
		if size, squeeze := size(text); len(got.Lines) == 2 {
			assert.True(t, got.Size > size || got.Squeeze > squeeze, "%q %+v", text, rules)
		}
	}
	assert.Greater(t, two, 500)
}

// A room that grows as the text gets smaller, as under the top of a disc: of the 26 mm of a text 20
// less 10 at full size, 26·s = 20 - 10·s at 20/36. Squeezed to nine tenths it is 23.4·s = 20 - 10·s
// at 20/33.4, and to 0.5 its 13 mm still do not fit the 10: 13·s = 20 - 10·s at 20/23. Two lines of
// 14 mm have 15 less 10: 14·s = 15 - 10·s at 15/24, which is larger than one.
func TestRoomThatGrows(t *testing.T) {
	room := func(lines int, size float64) float64 { return 25 - 5*float64(lines) - 10*size }
	for _, tt := range []struct {
		rules fit.Rules
		want  float64
		lines int
	}{
		{fit.Rules{Room: room, Shrink: 0.1}, 20. / 36, 1},
		{fit.Rules{Room: room, Shrink: 0.1, Squeeze: 0.9}, 20 / 33.4, 1},
		{fit.Rules{Room: room, Shrink: 0.1, Squeeze: 0.5}, 20. / 23, 1},
		{fit.Rules{Room: room, Shrink: 0.1, Lines: 2}, 15. / 24, 2},
		{fit.Rules{Room: room, Shrink: 0.1, RoomMM: 13}, 0.5, 1},
	} {
		got, err := fit.Into("Tilia cordata", letters, tt.rules)
		require.NoError(t, err)
		assert.InDelta(t, tt.want, got.Size, 2e-4, "%+v", tt)
		assert.LessOrEqual(t, got.Size, tt.want+1e-9)
		assert.Len(t, got.Lines, tt.lines)
		assert.LessOrEqual(t, got.WidthMM, room(tt.lines, got.Size)+1e-9)
	}
	got, err := fit.Into("Tili", letters, fit.Rules{Room: room})
	require.NoError(t, err)
	assert.Equal(t, 1.0, got.Size)
	got, err = fit.Into("Tilia", letters, fit.Rules{Room: room})
	require.NoError(t, err)
	assert.Equal(t, []float64{1, 1, 10}, []float64{got.Size, got.Squeeze, got.WidthMM}, "just")
	got, err = fit.Into("Tilia cordata", letters, fit.Rules{Room: room, Shrink: 20. / 36 * (1 - 1e-12)})
	require.NoError(t, err, "at its least size")
	assert.InDelta(t, 20./36, got.Size, 1e-9)
	_, err = fit.Into("Tilia cordata", letters, fit.Rules{Room: room, Shrink: 0.6})
	assert.EqualError(t, err, `"Tilia cordata" needs 15.6 mm, even at the least size and width that are allowed, `+
		`and has 14.0 mm`)
	_, err = fit.Into("Tilia", letters, fit.Rules{Room: func(int, float64) float64 { return -1 }, Shrink: 0.5})
	assert.ErrorContains(t, err, "and has 0.0 mm")
}
