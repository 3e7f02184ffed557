// Package outside finds what tests hold furrow against and what is not part of
// it: programs, and data from npm. A test that misses one is skipped; where
// FURROW_STRICT is 1, as in .ci/run, which installs all of it, it fails. Tests that wait for
// programs may hang, so this package brings path/overtime.
package outside

import (
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	_ "furrow/path/overtime"
)

// Strict reports that everything must be there, and that what takes long is run.
func Strict() bool { return os.Getenv("FURROW_STRICT") == "1" }

// Missing ends a test that cannot do without what.
func Missing(t testing.TB, what string) {
	t.Helper()
	if Strict() {
		t.Fatal(what + " is missing")
	}
	t.Skip(what + " is missing")
}

// Slow ends a test that takes long, where nothing is strict.
func Slow(t testing.TB) {
	t.Helper()
	if !Strict() {
		t.Skip("takes long; FURROW_STRICT=1 runs it")
	}
}

// Program returns the file of a program.
func Program(t testing.TB, name string) string {
	t.Helper()
	file, err := exec.LookPath(name)
	if err != nil {
		Missing(t, name)
	}
	return file
}

// Files returns the files of npm packages that match a pattern, at least so many
// and sorted, from the folder that FURROW_DATA names.
func Files(t testing.TB, pattern string, least int) []string {
	t.Helper()
	folder := os.Getenv("FURROW_DATA")
	files, err := filepath.Glob(filepath.Join(folder, pattern))
	if folder == "" || err != nil || len(files) < max(least, 1) {
		Missing(t, "FURROW_DATA/"+pattern)
	}
	slices.Sort(files)
	return files
}
