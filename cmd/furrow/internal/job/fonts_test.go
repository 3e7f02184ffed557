package job_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/job"
)

// What is read whole is noted, each file once, in the sequence of the folders and of the names
// in them; what is only opened is not. Nil notes nothing.
func TestFontsThatAreNoted(t *testing.T) {
	one, two := t.TempDir(), t.TempDir()
	for _, name := range []string{filepath.Join(one, "b.ttf"), filepath.Join(one, "a.ttf"), filepath.Join(two, "a.ttf")} {
		require.NoError(t, os.WriteFile(name, []byte(name), 0o600))
	}
	f := &job.Fonts{Kept: fstest.MapFS{"0/z.ttf": {Data: []byte("z")}}}
	dirs := f.Folders(one, two)
	read := func(dir fs.FS, name string) {
		_, err := fs.ReadFile(dir, name)
		require.NoError(t, err)
	}
	read(dirs[1], "a.ttf")
	read(dirs[0], "b.ttf")
	read(dirs[0], "b.ttf")
	read(f.First(), "0/z.ttf")
	read(dirs[0], "a.ttf")
	opened, err := dirs[1].Open("a.ttf")
	require.NoError(t, err)
	require.NoError(t, opened.Close())
	_, err = fs.ReadFile(dirs[1], "b.ttf")
	require.ErrorIs(t, err, fs.ErrNotExist)
	var got []string
	for _, u := range f.Used() {
		require.Equal(t, u.Kept, u.Name == filepath.Join("0", "z.ttf"))
		if !u.Kept {
			require.Equal(t, u.Name, string(u.Data))
		}
		got = append(got, u.Name)
	}
	require.Equal(t, []string{filepath.Join("0", "z.ttf"), filepath.Join(one, "a.ttf"), filepath.Join(one, "b.ttf"),
		filepath.Join(two, "a.ttf")}, got)
	f.Forget()
	require.Empty(t, f.Used())

	var none *job.Fonts
	none.Forget()
	require.Nil(t, none.First())
	read(none.Folders(one)[0], "a.ttf")
	require.Nil(t, new(job.Fonts).First())
}
