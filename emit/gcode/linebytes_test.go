package gcode_test

import (
	"strings"
	"testing"

	"furrow/emit"
	"furrow/emit/gcode"

	"github.com/stretchr/testify/require"
)

// The clock counts bytes for the link as the encoder writes them.
func TestLineBytesAreThoseOfTheFile(t *testing.T) {
	for name, g := range variants() {
		p := example(0)
		g.LineNumbers = false // numbers are counted as five digits
		g.StartLines, g.EndLines = nil, nil
		p.GCode = &g
		m := plan(t, rows(), p)
		text := encode(t, m, gcode.Encoder{Profile: g})
		counter, n := emit.NewLineBytes(g), 0
		for mv, err := range m.Play {
			require.NoError(t, err)
			n += counter.Of(&mv)
		}
		empty := encode(t, emit.Moves{Header: m.Header}, gcode.Encoder{Profile: g})
		require.Equal(t, len(text)-len(empty), n, name)
		require.Positive(t, strings.Count(text, "\n"))
	}
}
