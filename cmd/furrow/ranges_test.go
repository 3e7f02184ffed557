package main

import (
	"testing"

	"furrow/cmd/furrow/internal/better"

	"github.com/stretchr/testify/require"
)

// A range whose ends are shown alike is none: 4.71 and 4.74 s are both 0:04.7, 47.6 and 48.4 s
// both 0:48.
func TestRangesThatRoundToNothing(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		least, most float64
		compared    string
		quoted      string
	}{
		{4.71, 4.74, "-", ""}, {47.6, 48.4, "-", ""}, {0, 0, "-", ""},
		{47.4, 48.4, "0:47 to 0:48", "\n  machine time 0:47 to 0:48 by the measured runs"},
	} {
		e := &better.Entry{Machine: "bench", Ranked: &better.Ranked{}}
		e.Figures.Least, e.Figures.Most = tt.least, tt.most
		require.Equal(t, tt.compared, betweenWords(e))
		c := comparison{Comparison: &better.Comparison{Machines: []*better.Entry{e}}}
		assumed, fitted := c.ranges()
		require.Empty(t, assumed)
		require.Equal(t, tt.compared != "-", len(fitted) == 1, fitted)
		require.Equal(t, tt.quoted, quoteRow{LeastH: tt.least / 3600, MostH: tt.most / 3600}.rangeWords())
	}
}
