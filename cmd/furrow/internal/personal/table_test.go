package personal_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/personal"
)

func TestTableAndExtremes(t *testing.T) {
	more := strings.Replace(order, "shrink = 50", "shrink = 50\nroom = \"12mm\"", 1)
	setter, values := prepare(t, input(t, tag, more),
		"species,number\nAcer,0417\nTilia cordata x,0418\nIlex,0419\nUlmus,0420\n")
	var parts []personal.Part
	for _, v := range values {
		p, wrong := setter.Set(v)
		require.Empty(t, wrong)
		parts = append(parts, p)
	}
	assert.Equal(t, []int{1, 2}, personal.Extremes(parts))
	assert.Nil(t, personal.Extremes(nil))
	var b strings.Builder
	require.NoError(t, personal.WriteTable(&b, parts))
	lines := strings.Split(b.String(), "\n")
	require.Len(t, lines, 6)
	assert.Equal(t, strings.Fields("PART ROW #name SIZE #number SIZE #code MODULE"), strings.Fields(lines[0]))
	assert.Regexp(t, `^1 +2 +Acer +3.00 mm +No. 0417 +2.50 mm +0417 Acer +0.\d+ mm$`, lines[1])
	assert.Regexp(t, `^2 +3 +Tilia cordata x +\d.\d\d mm \(\d\d %\) +No. 0418`, lines[2])
}
