package fault

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestEditDistance(t *testing.T) {
	for _, tt := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"hatch", "hatch", 0}, {"hach", "hatch", 1}, {"kitten", "sitting", 3}, {"", "ab", 2}, {"ab", "", 2},
		{"xhatch", "hatch", 1}, {"xyhatch", "hatch", 2}, {"hatchxy", "hatch", 2}, {"ahtch", "hatch", 2}} {
		require.Equal(t, tt.want, editDistance(tt.a, tt.b), "%s %s", tt.a, tt.b)
	}
}
