package job

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/settings"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// A recipe is the same fill both ways.
func TestRecipeFillRoundTrip(t *testing.T) {
	for _, r := range machine.ExampleRecipes() {
		again := r
		SetRecipe(&again, RecipeFill(r))
		require.Equal(t, r, again)
	}
}

// A job may have a thousand tables of a kind: each is held against what all others pick.
func TestMostTables(t *testing.T) {
	const head = "furrow = 1\nartwork.file = \"a.svg\"\n"
	for table, key := range map[string]string{"[[group]]\npick = \"#a\"\n": "group", "[[counter]]\n": "counter",
		"[[text]]\npick = \"#a\"\n": "text", "[[code]]\npick = \"#a\"\n": "code"} {
		_, err := Parse("job.toml", []byte(head+strings.Repeat(table, 1001)))
		require.EqualError(t, err, "job.toml:3: "+key+": 1001 are too many: 1000 is the most")
		_, err = Parse("job.toml", []byte(head+strings.Repeat(table, 1000)))
		require.NotContains(t, fmt.Sprint(err), "too many")
	}
	_, err := Parse("job.toml", []byte(head+"keep_out = ["+strings.Repeat("[0, 0, 1, 1],", 1001)+"]"))
	require.EqualError(t, err, "job.toml:3: keep_out: 1001 are too many: 1000 is the most")
}

// FuzzJob reads any bytes as a job file.
func FuzzJob(f *testing.F) {
	for _, name := range []string{"demo/tag-co2.toml", "demo/tag-fibre.toml"} {
		data, err := os.ReadFile("../../" + name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte("[[group]]\npick = \"a\"\n[fill]\nspacing = 3\ncross = true\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		var j Job
		if settings.Decode("x.toml", data, &j) == nil {
			_ = settings.Refused("x.toml", data, j.problems()...)
		}
		_ = settings.LineOf(data, "fill.spacing")
	})
}

// What is wrong in a settings file is told with the line that it stands on, of
// several tables of a name in the right one, whichever way TOML writes a table.
func TestKeysAreToldWithTheirLine(t *testing.T) {
	const head = "furrow = 1\nartwork.file = \"a.svg\"\n"
	for _, tt := range []struct{ text, message string }{
		{head + "[[group]]\npick = \"#a\"\n[[group]]\npasses = 2\n", "job.toml:5: group.pick: a group picks nothing"},
		{head + "[[group]]\npick = \"#a\"\n[[group]]\npick = \"\"\n", "job.toml:6: group.pick: a group picks nothing"},
		{head + "[[group]]\npick = \"#a\"\noutline = \"after\"\n[[group]]\npick = \"#b\"\noutline = \"last\"\n",
			`job.toml:8: group.outline: "last" is none of`},
		{head + "[[group]]\npick = \"#a\"\noverlap = 1\n[[group]]\npick = \"#b\"\noverlap = 1e9\n",
			"job.toml:8: group.overlap: 1e+09 is out of range"},
		{head + "group = [{pick = \"#a\", overlap = 1},\n{pick = \"#b\", overlap = 1e9}]\n",
			"job.toml:4: group.overlap: 1e+09 is out of range"},
		{head + "name = \"tags\"\n", `job.toml:3: unknown key "name"`},
		{head + "[fill]\nspacing = \"0.1mm\"\n\n[[group]]\npick = \"a\"\nspacing = 400\n",
			"job.toml:8: group.spacing: spacing \"400\" has no unit"},
		{head + "[fill]\noutline = \"last\"\n", `job.toml:4: fill.outline: "last" is none of`},
		{head + "artwork.mirror = \"left\"\n", `job.toml:3: artwork.mirror: "left" is none of x, y`},
		{head + "keep_out = [[0, 0, 5, 5],\n[0, 0, 5]]\n", "job.toml:3: keep_out: 3 values, where 4 belong"},
		{head + "[[group]]\npick = \"a\\u001bc\"\n", `job.toml:4: group.pick: '\x1b' is a control character`},
	} {
		_, err := Parse("job.toml", []byte(tt.text))
		require.ErrorContains(t, err, tt.message, tt.text)
	}
}
