package route

import (
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

func TestEffortGoesBySize(t *testing.T) {
	marks := func(spans, lines int) *path.Marks {
		return &path.Marks{Rows: []path.RowSet{{Spans: make([]path.Span, spans)}}, Lines: make([]path.Line, lines)}
	}
	require.Equal(t, Normal, effort(marks(199_990, 10), BySize))
	require.Equal(t, Quick, effort(marks(199_990, 11), BySize))
	require.Equal(t, Best, effort(marks(200_001, 0), Best))
}

// The passes of one job share its effort; a few outlines get no less than rows.
func TestPhasesShareTheEffort(t *testing.T) {
	l := levels[Normal][0]
	require.Equal(t, l.most, l.kicks(1_000_000, 1))
	require.Equal(t, l.most/20, l.kicks(1_000_000, 1.0/20))
	require.Equal(t, l.least/20, l.kicks(10, 1.0/20))
}
