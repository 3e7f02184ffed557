package main

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A name or value that would change a terminal is refused wherever it stands.
func TestControlCharactersAreRefused(t *testing.T) {
	for _, args := range [][]string{{"check", "a\x1b[2J.nc"}, {"hatch", "tag.svg", "-o", "a\nb.nc"},
		{"check", "--machine=\u009bx", "a.nc"}, {"log", "a.nc", "--note", "late\tshift"}} {
		var out, errs bytes.Buffer
		require.Equal(t, 2, run(args, strings.NewReader(""), &out, &errs))
		require.Contains(t, errs.String(), "holds a control character\nfurrow: hint: rename the file")
		require.NotContains(t, errs.String(), "\x1b")
		require.Empty(t, out.String())
	}
}

// Lines, parts and loads are counted from 1: a 0 is not taken for nothing said.
func TestNumbersFromOne(t *testing.T) {
	for _, args := range [][]string{{"resume", "a.nc", "--after-line=0"}, {"resume", "a.nc", "--after-part=-1"},
		{"order", "a.toml", "--from=0"}, {"log", "a.nc", "--load=0"}, {"send", "a.nc", "--load=1.5"}} {
		var out, errs bytes.Buffer
		require.Equal(t, 2, run(args, strings.NewReader(""), &out, &errs))
		require.Contains(t, errs.String(), "is not a whole number from 1")
	}
}
