package svg

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// Numbers are those of the standard library, to the last bit, and end where it would not go on.
func TestNumbersAgainstTheLibrary(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 2))
	behind := []string{"", " 3", ",5", "px", "em", "%", "e", "e+", "-4", ".5.5", "x"}
	for range 20_000 {
		text := []string{"", "", "+", "-"}[r.IntN(4)]
		digits := r.IntN(9)
		if r.IntN(9) == 0 {
			digits = r.IntN(30)
		}
		for range digits {
			text += strconv.Itoa(r.IntN(10))
		}
		if places := r.IntN(10); r.IntN(2) == 0 {
			if places > 0 || digits > 0 {
				text += "."
			}
			if r.IntN(9) == 0 {
				places = r.IntN(26)
			}
			for range places {
				text += strconv.Itoa(r.IntN(10))
			}
			digits += places
		}
		if digits > 0 && r.IntN(3) == 0 {
			text += fmt.Sprintf("%c%d", "eE"[r.IntN(2)], r.IntN(40)-20)
		}
		rest := behind[r.IntN(len(behind))]
		got, n := scanNumber(text + rest)
		if digits == 0 {
			if rest != ".5.5" && rest != "-4" {
				require.Zero(t, n, "%q", text+rest)
			}
			continue
		}
		want, err := strconv.ParseFloat(text, 64)
		require.NoError(t, err, text)
		if rest == ".5.5" || text[len(text)-1] == '.' {
			continue // the point may belong to it
		}
		require.Equal(t, len(text), n, "%q", text+rest)
		require.Equal(t, want, got, "%q", text)
	}
	for text, n := range map[string]int{"": 0, "+": 0, ".": 0, "-.": 0, "e5": 0, "1.": 2, "1.e5": 4, "1em": 1,
		"1e+": 1, "1e5": 3,
		"+.5": 3, "-.5.5": 3, "00012": 5} {
		_, got := scanNumber(text)
		require.Equal(t, n, got, "%q", text)
	}
	large, n := scanNumber("-1e999")
	require.Equal(t, 6, n)
	require.Equal(t, math.Inf(-1), large)
	tiny, n := scanNumber("1e-999")
	require.Equal(t, 6, n)
	require.Zero(t, tiny)
}
