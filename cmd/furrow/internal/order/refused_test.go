package order_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/order"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/runlog"
	"furrow/cmd/furrow/internal/value"
	"furrow/raster/paper"

	"github.com/stretchr/testify/require"
)

// What there are no parts for is refused.
func TestPartsThatAreNotThere(t *testing.T) {
	in := input(t, "example-fibre", 3, nil)
	in.Numbers = nil
	_, err := order.Plan(in)
	require.EqualError(t, err, "no part to make")
	in.Numbers = []int{2, 4}
	_, err = order.Plan(in)
	require.EqualError(t, err, "there is no part 4: the order has 3")
	for text, want := range map[string][]int{"3": {3}, "1-3": {1, 2, 3}, " 5 , 2 - 3,3": {2, 3, 5}, "5-5": {5}} {
		got, err := order.ParseNumbers(text, 5)
		require.NoError(t, err)
		require.Equal(t, want, got)
	}
	for text, want := range map[string]string{
		"": `"" is no list of parts`, "x": "is no list", "0": "is no list", "3-2": "is no list", "1-x": "is no list",
		"6":   "there is no part 6: the order has 5",
		"1-6": "there is no part 6: the order has 5", "1,,2": "is no list",
	} {
		_, err := order.ParseNumbers(text, 5)
		require.ErrorContains(t, err, want, text)
	}
}

// The first article counts as accepted when the log says so.
func TestAcceptedFirstArticle(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	made(t, input(t, "example-fibre", 2, nil), dir)
	is, err := order.Accepted(dir)
	require.NoError(t, err)
	require.False(t, is)
	log := filepath.Join(dir, order.LogName)
	require.NoError(t, runlog.Append(log, runlog.Run{Date: "2026-12-01", Machine: "m", What: runlog.Accepted}))
	is, err = order.Accepted(dir)
	require.NoError(t, err)
	require.True(t, is)
	// A second run keeps the log as it stands, and says that the first part is in it again.
	before, err := os.ReadFile(log)
	require.NoError(t, err)
	o, w := made(t, input(t, "example-fibre", 3, nil), dir)
	var said bytes.Buffer
	o.Summary(&said, dir, w)
	require.Contains(t, said.String(), "part 1 is in these loads once more: furrow order --rest makes the others alone")
	said.Reset()
	o.Summary(&said, filepath.Join(dir, "another"), w)
	require.Contains(t, said.String(), "look at the first part before the rest is run")
	after, err := os.ReadFile(log)
	require.NoError(t, err)
	require.Equal(t, string(before), string(after))
}

// What the log has of an order: runs, whole or stopped, and its first article; a trial
// without the beam is none, nor one that may have been without, since it names no parts.
func TestWhatHasBegun(t *testing.T) {
	dir := t.TempDir()
	begun := func(want string) {
		t.Helper()
		got, err := order.Begun(dir)
		require.NoError(t, err)
		require.Equal(t, want, got)
	}
	log := filepath.Join(dir, order.LogName)
	for _, next := range []struct {
		what runlog.What
		want string
	}{
		{runlog.Dry, ""}, {runlog.Accepted, "its first article accepted"},
		{runlog.Ran, "1 run of it in the log and its first article accepted"},
		{runlog.Stopped, "2 runs of it in the log and its first article accepted"},
		{runlog.Doubtful, "2 runs of it in the log and its first article accepted"},
	} {
		require.NoError(t, runlog.Append(log, runlog.Run{Date: "2026-12-01", Machine: "m", What: next.what}))
		begun(next.want)
	}
	require.NoError(t, runlog.Append(log, runlog.Run{Date: "2026-12-01", Machine: "m", Parts: "1-3",
		What: runlog.Doubtful}))
	begun("3 runs of it in the log and its first article accepted")
	dir = t.TempDir()
	require.NoError(t, runlog.Append(filepath.Join(dir, order.LogName), runlog.Run{Date: "2026-12-01", Machine: "m",
		What: runlog.Ran}))
	begun("1 run of it in the log")
	dir = t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(dir, order.LogName), 0o700))
	_, err := order.Begun(dir)
	require.Error(t, err)
}

// A folder that is another's is refused, and so is what was changed by hand; what is gone
// is made again.
func TestFoldersOfOthers(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, order.CheckFolder(dir), "empty")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "letter.txt"), nil, 0o600))
	var not *product.NotOurs
	require.ErrorAs(t, order.CheckFolder(dir), &not)
	_, err := plan(t, input(t, "example-fibre", 1, nil)).Write(dir, paper.A4, nil)
	require.ErrorAs(t, err, &not)
	require.Error(t, order.CheckFolder(filepath.Join(dir, "no", "where")))
	dir = filepath.Join(dir, "out")
	require.NoError(t, order.CheckFolder(dir))
	made(t, input(t, "example-fibre", 5, nil), dir)
	write := func() error {
		_, err := plan(t, input(t, "example-fibre", 5, nil)).Write(dir, paper.A4, nil)
		return err
	}
	for _, name := range []string{"load-02.mvl", "proof.pdf"} {
		file := filepath.Join(dir, name)
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(file, append(data, '\n'), 0o600))
		require.EqualError(t, write(), name+" in "+dir+" was changed since it was made, and would be overwritten")
		require.NoError(t, os.Remove(file))
		require.NoError(t, write())
		require.FileExists(t, file)
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "order.toml"), []byte("broken"), 0o600))
	require.ErrorContains(t, write(), "order.toml:1")
	_, err = order.Open(dir)
	require.ErrorContains(t, err, "order.toml:1")
}

// Loads that the machine cannot do say which pocket it is, and what would help.
func TestLoadsThatDoNotFit(t *testing.T) {
	try := func(machine string, change func(*job.Job)) error {
		o, err := order.Plan(input(t, machine, 4, change))
		if err == nil {
			_, err = o.Try()
		}
		return err
	}
	gap := func(x, y value.Length) func(*job.Job) {
		return func(j *job.Job) { j.Fixture.Gap = []value.Length{x, y} }
	}
	// 20 mm and 585 make a second column from 605 on a bed of 600 mm.
	err := try("example-co2", gap(585, 5))
	require.ErrorContains(t, err, "load 1: pocket 2: ")
	require.Equal(t, "fewer columns of the fixture, or a smaller pitch; fixture.fill = true lays out as many as fit",
		hint(t, err))
	err = try("example-co2", gap(5, 385))
	require.ErrorContains(t, err, "load 1: pocket 3: ")
	require.Contains(t, hint(t, err), "fewer rows of the fixture")
	require.Contains(t, hint(t, try("example-co2", gap(585, 385))), "fewer columns and fewer rows of the fixture")
	// About the middle of 175 mm, two blanks 138 mm apart have marks from -87 mm.
	require.NoError(t, try("example-fibre", gap(138, 5)))
	err = try("example-fibre", gap(140, 5))
	require.ErrorContains(t, err, "pocket 1: ")
	require.Contains(t, hint(t, err), "skip it, take fewer columns or rows")
	clamped := func(j *job.Job) { j.KeepOut = append(j.KeepOut, [4]float64{25, 26, 35, 40}) }
	require.ErrorContains(t, try("example-co2", clamped), "load 1: pocket 4: ")
	clamped = func(j *job.Job) { j.KeepOut = append(j.KeepOut, [4]float64{25, 35.2, 45, 50}) } // of later rows alone
	require.ErrorContains(t, try("example-co2", clamped), "load 1: pocket 4: ")
	hold := true
	require.ErrorContains(t, try("example-co2", func(j *job.Job) { j.Fixture.Hold = &hold }),
		"a gantry's file cannot wait between parts")
	err = try("example-co2", gap(-1, 5))
	require.ErrorContains(t, err, "fixture.gap: pocket 2: its blank of 20 x 20 mm overlaps that of pocket 1 by 1 mm")
	require.Equal(t, "set the pockets further apart, or make the blank's width and height true", hint(t, err))
	err = try("example-co2", func(j *job.Job) { j.Fixture.Skip = []int{5} })
	require.ErrorContains(t, err, "there is no pocket 5 to skip")
	require.Empty(t, hint(t, err))
}

func hint(t *testing.T, err error) string {
	t.Helper()
	var f *fault.Failure
	require.ErrorAs(t, err, &f)
	return f.Hint
}

// A load that the order does not have is told as such, and not asked for.
func TestLoadThatIsNotThere(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	made(t, input(t, "example-fibre", 5, nil), dir)
	old, err := order.Open(dir)
	require.NoError(t, err)
	name, err := old.FileOfLoad(2)
	require.NoError(t, err)
	require.Equal(t, "load-02.mvl", name)
	_, err = old.FileOfLoad(3)
	require.EqualError(t, err, "the order has 2 loads, and no load 3")
	_, err = old.FileOfLoad(0)
	require.EqualError(t, err, "the order has 2 loads")
}
