package settings

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/emit/machine"
)

// many returns a file of n lines behind a first one.
func many(n int, line string) []byte {
	var b strings.Builder
	b.WriteString("furrow = 1\n")
	for i := range n {
		fmt.Fprintf(&b, line+"\n", i)
	}
	return []byte(b.String())
}

// A file of another kind is told by its first keys, with their lines, and the number of the
// rest; what an unknown table holds is counted alone.
func TestFilesOfAnotherKind(t *testing.T) {
	for line, want := range map[string]string{
		"k%d = 1":                "x.toml:2: unknown key \"k0\";",
		"[k%d]":                  "x.toml:2: unknown key \"k0\";",
		"[gantry.k%d]\nspan = 1": "x.toml:2: unknown key \"gantry.k0\";",
	} {
		err := Decode("x.toml", many(300, line), &machine.Profile{})
		require.ErrorContains(t, err, want)
		require.Equal(t, 6, strings.Count(err.Error(), "x.toml"), line)
	}
	err := Decode("x.toml", many(300, "[[k.k%d]]"), &machine.Profile{})
	require.EqualError(t, err, "x.toml: 300 more unknown keys", "no table k is known, nor named")
	err = Decode("x.toml", many(201, "k%d = 1"), &machine.Profile{})
	require.ErrorContains(t, err, "x.toml: 196 more unknown keys")
	err = Decode("x.toml", []byte("k.a = 1"), &machine.Profile{})
	require.EqualError(t, err, `x.toml:1: unknown key "k.a"`)
	// Any key of a table of any keys is known.
	var rates struct {
		Hour map[string]float64 `toml:"hour"`
	}
	text := strings.Replace(string(many(300, "m%d = 1")), "furrow = 1", "[hour]", 1)
	require.NoError(t, Decode("x.toml", []byte(text), &rates))
	require.Len(t, rates.Hour, 300)
}

// Of very many values that cannot be used twenty are told, and how many more there are.
func TestVeryManyWrongValues(t *testing.T) {
	var all []*KeyProblem
	for i := range 23 {
		all = append(all, &KeyProblem{Key: fmt.Sprint("k", i), Problem: "is wrong"}, nil)
	}
	err := Refused("x.toml", many(23, "k%d = 1"), all...)
	require.Equal(t, 21, strings.Count(err.Error(), "; ")+1)
	require.ErrorContains(t, err, "x.toml:21: k19: is wrong; x.toml: 3 more values that cannot be used")
	require.Equal(t, 20, strings.Count(Refused("x.toml", nil, all[:40]...).Error(), "; ")+1)
	err = Decode("x.toml", many(25, "[[measured]]\nkey = \"\\u0007\" # %d"), &machine.Profile{})
	require.ErrorContains(t, err, "x.toml: 5 more values that cannot be used")
	require.ErrorContains(t, err, "x.toml:41: measured.key")
}

// Lines are counted from place to place, and anew for one that stands before the last.
func TestLinesAreCounted(t *testing.T) {
	c := lineCount{data: []byte("a\nb\n\nc")}
	for _, p := range [][2]int{{0, 1}, {1, 1}, {2, 2}, {5, 4}, {5, 4}, {3, 2}, {4, 3}} {
		require.Equal(t, p[1], c.of(p[0]), "at %d", p[0])
	}
}
