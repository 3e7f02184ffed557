package job_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/job"
)

const head = "furrow = 1\n[artwork]\nfile = \"tag.svg\"\n"

func TestOrderAndFixture(t *testing.T) {
	j, err := job.Parse("tag.toml", []byte(`furrow = 1
[order]
name = "tree tags, spring"
customer = "Quillmere Arboretum"
quantity = 24
due = 2026-12-18
first_article = false
[artwork]
file = "tag.svg"
[fixture]
columns = 4
rows = 3
pitch = ["70mm", "4in"]
first = ["5mm", "5mm"]
skip = [7]
sequence = "across"
`))
	require.NoError(t, err)
	assert.Equal(t, "2026-12-18", j.Order.Due.String())
	assert.False(t, *j.Order.FirstArticle)
	assert.InDelta(t, 101.6, float64(j.Fixture.Pitch[1]), 1e-12)
	assert.True(t, j.Fixture.Across())
	assert.Equal(t, []int{7}, j.Fixture.Skip)
}

func TestWrongFixtures(t *testing.T) {
	for text, want := range map[string]string{
		"columns = 2\nrows = 2\npitch = [\"70mm\"]": "tag.toml:7: fixture.pitch: 1 lengths",
		"columns = 2\npockets = \"a.csv\"":          "keep one of them",
		"columns = 2\npitch = [1, 2]\ngap = [1, 2]": "a pitch and a gap at once",
		"fill = true\npitch = [1, 2]":               "write gap instead of pitch",
		"skip = [2]":                                "needs columns and rows",
		"columns = 2\nsequence = \"up\"":            "none of part, across",
		"columns = 0":                               "fixture.columns",
		"columns = 2\nturn = 400":                   "fixture.turn",
		"columns = 2\nfist = [1, 2]":                "fist",
		"pockets = \"a.csv\"\nturn = 90":            "have no place beside it",
	} {
		_, err := job.Parse("tag.toml", []byte(head+"[fixture]\n"+text+"\n"))
		assert.ErrorContains(t, err, want, text)
	}
}
