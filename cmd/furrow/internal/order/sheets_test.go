package order_test

import (
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/path/outside"
)

// A sheet says which parts it is for where it is not for all, and has the lines for the first
// article where that is among them and is not made again, as pdftotext reads it.
func TestSheetsOfSomeParts(t *testing.T) {
	reader := outside.Program(t, "pdftotext")
	const parts = `This sheet +`
	for name, c := range map[string]struct {
		numbers     []int
		says        string
		first, some bool
	}{
		"load":  {numbers: []int{1, 2, 3}, first: true},
		"rest":  {numbers: []int{2, 3}, says: `parts 2, 3 of 3`, some: true},
		"first": {numbers: []int{1}, says: `part 1 of 3`, some: true, first: true},
		"again": {numbers: []int{1}, says: `part 1 of 3`, some: true},
	} {
		in := input(t, "example-fibre", 3, nil)
		in.Numbers, in.Name = c.numbers, name
		dir := filepath.Join(t.TempDir(), "out")
		made(t, in, dir)
		file := name + "-sheet.pdf"
		if name == "load" {
			file = "sheet.pdf"
		}
		out, err := exec.Command(reader, "-layout", filepath.Join(dir, file), "-").Output()
		require.NoError(t, err)
		require.Regexp(t, `Quantity +3`, string(out), name)
		require.NotContains(t, string(out), "All together", "how long a blank takes to be changed is not known")
		if c.some {
			require.Regexp(t, parts+`(`+c.says+`)`, string(out), name)
		} else {
			require.NotRegexp(t, parts, string(out), name)
		}
		require.Equal(t, c.first, strings.Contains(string(out), "First article"), name)
	}
}

// With the time that a blank takes to be changed, the whole is told: 3 of 20 s, and the marks.
func TestSheetTellsTheWholeTime(t *testing.T) {
	reader := outside.Program(t, "pdftotext")
	loading := value.Number(20)
	dir := filepath.Join(t.TempDir(), "out")
	_, w := made(t, input(t, "example-fibre", 3, func(j *job.Job) { j.Order.Loading = &loading }), dir)
	out, err := exec.Command(reader, "-layout", filepath.Join(dir, "sheet.pdf"), "-").Output()
	require.NoError(t, err)
	require.Regexp(t, `Loading +1:00`, string(out))
	require.Regexp(t, `All together +`+words.Time(w.Marking+time.Minute)+"\n", string(out))
}
