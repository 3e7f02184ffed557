package product_test

import (
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/product"
	_ "furrow/path/overtime"
)

const mark = "order.toml"

func text(s string) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, s)
		return err
	}
}

// fill writes a folder of a version: more files in an odd one.
func fill(dir string, version int) (product.Changes, error) {
	f, err := product.NewFolder(dir, mark)
	if err != nil {
		return product.Changes{}, err
	}
	v := fmt.Sprint(version)
	err = errors.Join(
		f.Write(mark, text(v)),
		f.Write("kept/tag.svg", text("the same")),
		f.Write("load-01.nc", text(strings.Repeat(v+"\n", 20000))))
	if version%2 == 1 {
		err = errors.Join(err, f.Write("load-02.nc", text(v)))
	}
	return f.End(err, []string{mark, "kept/tag.svg", "load-01.nc", "load-02.nc"})
}

func read(t *testing.T, dir, name string) string {
	data, err := os.ReadFile(filepath.Join(dir, name))
	require.NoError(t, err)
	return string(data)
}

func TestFolder(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "tags")
	c, err := fill(dir+string(filepath.Separator), 1)
	require.NoError(t, err)
	for _, name := range []string{".", "kept"} { // for others to look into
		info, err := os.Stat(filepath.Join(dir, name))
		require.NoError(t, err)
		assert.Equal(t, os.FileMode(0o5), info.Mode().Perm()&0o7, name)
	}
	assert.Equal(t, product.Changes{Fresh: true, Added: []string{"kept/tag.svg", "load-01.nc", "load-02.nc", mark}}, c)

	require.NoError(t, os.WriteFile(filepath.Join(dir, "photo.txt"), []byte("mine"), 0o600))
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "notes"), 0o700))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "notes", "a"), []byte("mine too"), 0o600))
	before, err := os.Stat(filepath.Join(dir, "kept/tag.svg"))
	require.NoError(t, err)

	c, err = fill(dir, 2)
	require.NoError(t, err)
	assert.Equal(t, product.Changes{Altered: []string{"load-01.nc", mark}, Same: []string{"kept/tag.svg"},
		Taken: []string{"load-02.nc"}}, c)
	assert.True(t, c.Any())
	assert.Equal(t, "mine", read(t, dir, "photo.txt"))
	assert.Equal(t, "mine too", read(t, dir, "notes/a"))
	notes, err := os.Stat(filepath.Join(dir, "notes"))
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o700), notes.Mode().Perm(), "nobody else may look into it, as before")
	assert.NoFileExists(t, filepath.Join(dir, "load-02.nc"))
	after, err := os.Stat(filepath.Join(dir, "kept/tag.svg"))
	require.NoError(t, err)
	assert.Equal(t, before.ModTime(), after.ModTime())

	c, err = fill(dir, 2)
	require.NoError(t, err)
	assert.False(t, c.Any())
	entries, err := os.ReadDir(parent)
	require.NoError(t, err)
	assert.Len(t, entries, 1, "nothing is left beside")
}

func TestFolderOfSomethingElse(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "thesis.txt"), nil, 0o600))
	_, err := fill(dir, 1)
	var not *product.NotOurs
	assert.ErrorAs(t, err, &not)
	_, err = fill(filepath.Join(dir, "thesis.txt"), 1)
	assert.ErrorAs(t, err, &not)
	_, err = fill(filepath.Join(t.TempDir(), "a", "b"), 1)
	assert.Error(t, err, "no parent")
	_, err = fill(t.TempDir(), 1)
	assert.NoError(t, err, "an empty one is taken")
}

func TestFolderThatFails(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "tags")
	_, err := fill(dir, 1)
	require.NoError(t, err)
	f, err := product.NewFolder(dir, mark)
	require.NoError(t, err)
	full := errors.New("disk full")
	_, err = f.End(f.Write(mark, func(io.Writer) error { return full }), nil)
	assert.ErrorIs(t, err, full)
	assert.Equal(t, "1", read(t, dir, mark))
	entries, _ := os.ReadDir(parent)
	assert.Len(t, entries, 1)
}

// A process that rewrites a folder over and over is killed at random moments:
// there is always a whole folder, of one version or the next, with what others
// put into it.
func TestKilledFolder(t *testing.T) {
	if dir := os.Getenv("FURROW_TEST_FOLDER"); dir != "" {
		for v := 1; ; v++ {
			if _, err := fill(dir, v); err != nil {
				t.Fatal(err)
			}
		}
	}
	kills := 200
	if testing.Short() {
		kills = 20
	}
	parent := t.TempDir()
	dir := filepath.Join(parent, "tags")
	_, err := fill(dir, 0)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "runs.csv"), []byte("mine"), 0o600))
	seed := uint64(time.Now().UnixNano())
	r := rand.New(rand.NewPCG(seed, 0))
	for range kills {
		c := exec.Command(os.Args[0], "-test.run=^TestKilledFolder$")
		c.Env = append(os.Environ(), "FURROW_TEST_FOLDER="+dir)
		require.NoError(t, c.Start())
		time.Sleep(time.Duration(r.IntN(25_000)) * time.Microsecond)
		require.NoError(t, c.Process.Kill())
		c.Wait()
		v := read(t, dir, mark)
		require.Equal(t, strings.Repeat(v+"\n", 20000), read(t, dir, "load-01.nc"), "seed %d", seed)
		require.Equal(t, "the same", read(t, dir, "kept/tag.svg"))
		require.Equal(t, "mine", read(t, dir, "runs.csv"), "seed %d", seed)
		_, err := os.Stat(filepath.Join(dir, "load-02.nc"))
		require.Equal(t, strings.ContainsAny(v[len(v)-1:], "13579"), err == nil, "seed %d", seed)
	}
	_, err = fill(dir, 2)
	require.NoError(t, err)
	entries, _ := os.ReadDir(parent)
	require.Len(t, entries, 1, "what the kills left is removed")
}

func TestLocalNames(t *testing.T) {
	for name, want := range map[string]bool{"tag.svg": true, "a/b": true, "../a": false, "/a": false, `a\b`: false,
		"c:x": false, "": false} {
		assert.Equal(t, want, product.LocalName(name), name)
	}
}

// A folder that is a link stays one, and what is taken away is told by its names.
func TestFolderBehindALink(t *testing.T) {
	dir := t.TempDir()
	linked := filepath.Join(dir, "link")
	require.NoError(t, os.Mkdir(filepath.Join(dir, "real"), 0o755))
	require.NoError(t, os.Symlink("real", linked))
	write := func(ours []string, names ...string) product.Changes {
		f, err := product.NewFolder(linked, mark)
		require.NoError(t, err)
		for _, n := range append(names, mark) {
			err = errors.Join(err, f.Write(n, text(n)))
		}
		c, err := f.End(err, ours)
		require.NoError(t, err)
		return c
	}
	write(nil, "c", "a", "b")
	info, err := os.Lstat(linked)
	require.NoError(t, err)
	require.NotZero(t, info.Mode()&os.ModeSymlink)
	require.Equal(t, "a", read(t, filepath.Join(dir, "real"), "a"))
	require.Equal(t, []string{"a", "b", "c"}, write([]string{"c", "b", "a"}).Taken)
	for _, c := range []product.Changes{{Added: []string{"a"}, Altered: []string{"b"}},
		{Altered: []string{"a"}, Taken: []string{"b"}}, {Taken: []string{"a"}}} {
		require.True(t, c.Any())
	}
	require.False(t, product.Changes{Same: []string{"a"}}.Any())
}
