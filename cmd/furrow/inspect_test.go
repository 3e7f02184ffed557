package main

import (
	"testing"

	"furrow/path/inspect"

	"github.com/stretchr/testify/require"
)

// Widths that are measured less closely than usual are told with how far they may be off.
func TestInspectTellsCoarseWidths(t *testing.T) {
	r := inspect.Report{MarkWidth: 0.1, Within: 0.008}
	require.True(t, r.Coarse())
	require.Equal(t, "art.svg: very many curves: the widths of bridges and gaps may be off by 0.008 mm",
		coarseWarning("art.svg", r).String())
}
