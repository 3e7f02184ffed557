package product_test

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/product"
)

// What an output cannot be is said before any work.
func TestOutputsThatCannotBe(t *testing.T) {
	dir := t.TempDir()
	file, link, dangling := filepath.Join(dir, "a.nc"), filepath.Join(dir, "link.nc"), filepath.Join(dir, "gone.nc")
	require.NoError(t, os.WriteFile(file, []byte("old"), 0o600))
	other := filepath.Join(dir, "b.svg")
	require.NoError(t, os.WriteFile(other, []byte("old"), 0o600))
	require.NoError(t, os.Symlink(file, link))
	require.NoError(t, os.Symlink(filepath.Join(dir, "nowhere"), dangling))
	for _, tt := range []struct {
		out    product.Output
		inputs []string
		want   string
	}{
		{product.Output{}, nil, "no output file"}, {product.Output{Path: "-"}, []string{"-"}, ""},
		{product.Output{Path: filepath.Join(dir, "new.nc")}, []string{file, "no file"}, ""},
		{product.Output{Path: filepath.Join(dir, "none", "a.nc")}, nil, "does not exist"},
		{product.Output{Path: filepath.Join(file, "a.nc")}, nil, "does not exist"},
		{product.Output{Path: file}, nil, "is already there"}, {product.Output{Path: file, Force: true}, nil, ""},
		{product.Output{Path: file, Force: true}, []string{other}, ""},
		{product.Output{Path: file, Force: true}, []string{link}, "is also the input"}, {product.Output{Path: dir},
			nil, "is a folder"},
		{product.Output{Path: dir, Force: true}, nil, "is a folder"}, {product.Output{Path: dangling, Force: true},
			nil, "is a link that leads nowhere"},
		{product.Output{Path: os.DevNull, Force: true}, nil, "is a device or pipe"},
	} {
		err := tt.out.Check(tt.inputs...)
		if tt.want == "" {
			require.NoError(t, err, "%+v", tt)
		} else {
			require.ErrorContains(t, err, tt.want, "%+v", tt)
		}
	}
}

// Names that lead out of a folder, on any platform.
func TestNamesThatStayInside(t *testing.T) {
	for name, local := range map[string]bool{
		"a.nc": true, "kept/a.svg": true, "a/../b": true, "": false, "..": false, "../a": false, "/a": false,
		"a/../../b": false,
		`..\a`:      false, `a\b`: false, "C:a": false,
	} {
		require.Equal(t, local, product.LocalName(name), name)
	}
}

// A folder's files may be read by others, and are where Path says until it is whole.
func TestFolderInTheMaking(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, strings.Repeat("long", 50))
	f, err := product.NewFolder(dir, mark)
	require.NoError(t, err)
	require.NoError(t, f.Write("kept/a.svg", text("abc")))
	data, err := os.ReadFile(f.Path("kept/a.svg"))
	require.NoError(t, err)
	require.Equal(t, "abc", string(data))
	require.NoDirExists(t, dir)
	c, err := f.End(nil, []string{"kept/a.svg", "never.nc"})
	require.NoError(t, err)
	require.Equal(t, product.Changes{Fresh: true, Added: []string{"kept/a.svg"}}, c)
	if runtime.GOOS != "windows" {
		info, err := os.Stat(dir)
		require.NoError(t, err)
		require.Equal(t, os.FileMode(0o755), info.Mode().Perm())
	}
	// As long as before, of another content; and links and modes of others' files stay.
	require.NoError(t, os.WriteFile(filepath.Join(dir, mark), nil, 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "mine"), []byte("m"), 0o640))
	require.NoError(t, os.Symlink("mine", filepath.Join(dir, "link")))
	f, err = product.NewFolder(dir, mark)
	require.NoError(t, err)
	require.NoError(t, f.Write("kept/a.svg", text("abd")))
	require.NoError(t, f.Write("b.nc", text("")))
	c, err = f.End(nil, nil)
	require.NoError(t, err)
	require.Equal(t, product.Changes{Added: []string{"b.nc"}, Altered: []string{"kept/a.svg"}}, c)
	require.Equal(t, "abd", read(t, dir, "kept/a.svg"))
	to, err := os.Readlink(filepath.Join(dir, "link"))
	require.NoError(t, err)
	require.Equal(t, "mine", to)
	require.Error(t, product.CheckFolder(filepath.Join(parent, "none", "x"), mark))
	require.NoError(t, product.CheckFolder(dir, mark))
	require.NoError(t, product.CheckFolder(filepath.Join(parent, "new"), mark))
	require.ErrorContains(t, product.CheckFolder(filepath.Join(dir, "kept"), mark), "is there and holds no order.toml")
}

// What is left beside a folder by a run that is no more goes, what a run at work has
// stays; an earlier folder that was moved away comes back.
func TestLeftFolders(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "tags")
	gone, own, other := filepath.Join(parent, ".furrow-tags-999999999-1"), filepath.Join(parent, ".furrow-tags-1-1"),
		filepath.Join(parent, ".furrow-other-999999999-1")
	for _, d := range []string{gone, own, other} {
		require.NoError(t, os.Mkdir(d, 0o755))
	}
	_, err := fill(dir, 1)
	require.NoError(t, err)
	require.NoDirExists(t, gone)
	require.DirExists(t, own, "the first process is always there")
	require.DirExists(t, other)
}

// What cannot be written is told with its name, and nothing appears, on standard output
// either.
func TestOutputsThatFail(t *testing.T) {
	dir := t.TempDir()
	out := product.Output{Path: filepath.Join(dir, "a.nc")}
	full := errors.New("disk full")
	var stdout bytes.Buffer
	err := product.Together(&stdout, product.Part{Output: product.Output{Path: "-"}, Fn: text("b")},
		product.Part{Output: out, Fn: func(io.Writer) error { return full }})
	require.EqualError(t, err, "writing "+out.Path+": disk full")
	require.ErrorIs(t, err, full)
	require.Empty(t, stdout.String())
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Empty(t, entries)
	require.NoError(t, out.WriteBytes(&stdout, []byte("abc")))
	require.Equal(t, "abc", read(t, dir, "a.nc"))
	require.ErrorContains(t, out.WriteBytes(&stdout, []byte("d")), "is already there")
	out.Force = true
	require.NoError(t, out.WriteBytes(&stdout, []byte("d")))
	require.Equal(t, "d", read(t, dir, "a.nc"))
	require.NoError(t, product.Output{Path: "-"}.WriteBytes(&stdout, []byte("e")))
	require.Equal(t, "e", stdout.String())
}
