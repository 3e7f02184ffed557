package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A comment asks for no more numbers than a fixture has pockets, however it words them.
func TestNumbersAreBounded(t *testing.T) {
	require.Equal(t, []int{1, 2, 3, 7}, numbersIn("1 to 3, 7"))
	require.Len(t, numbersIn("1 to 100000"), mostPockets)
	for _, text := range []string{"", "x", "1 to", "-1", "1 to 100002", "1 to 60000, 1 to 60000",
		"0 to 9223372036854775807", "9223372036854775807", strings.Repeat("1 to 99999, ", 1000) + "1"} {
		require.Nil(t, numbersIn(text), "%.40s", text)
	}
}

// FuzzSaidBy asserts that whatever a file says of its parts, places come in the sequence of its
// lines, with numbers that can be.
func FuzzSaidBy(f *testing.F) {
	f.Add("(the rest of load-01.nc, begins at X1 Y2)\n(part 12 pocket 3)\nN7 (pockets 1 to 3, 7)\n# pocket 4\n")
	f.Fuzz(func(t *testing.T, text string) {
		c, err := saidBy(strings.NewReader(text))
		if err != nil {
			return
		}
		last := -1
		for _, p := range c.places {
			require.Greater(t, p.line, last)
			require.LessOrEqual(t, p.line, strings.Count(text, "\n"))
			require.LessOrEqual(t, len(p.pockets), mostPockets+1)
			last = p.line
			_ = p.words()
		}
		require.LessOrEqual(t, len(c.parts()), (mostPockets+1)*len(c.places))
	})
}
