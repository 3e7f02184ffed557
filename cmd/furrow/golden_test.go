package main

import (
	"bytes"
	"crypto/sha256"
	"flag"
	"fmt"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"runtime"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the golden files anew; look at them before you commit")

// goldenDir holds what the demo gives, so that a change of it is seen.
const goldenDir = "../../testdata/demo"

// shownLines of a controller's file stand in the golden file, above the digest
// of all of it.
const shownLines = 40

// TestDemoGolden compares all that the demo prints and writes with what it gave
// when a person last looked at it.
func TestDemoGolden(t *testing.T) {
	t.Parallel()
	screen, folder := demoRan(t)
	got := map[string][]byte{"screen.txt": []byte(screen)}
	written, err := filepath.Glob(folder + "/*.*")
	require.NoError(t, err)
	loads, err := filepath.Glob(folder + "/order-*/load-*")
	require.NoError(t, err)
	for _, file := range append(written, loads...) {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		switch name := filepath.Base(file); filepath.Ext(file) {
		case ".nc", ".mvl":
			got[name+".txt"] = digest(data)
		case ".png":
			got[name] = data
		}
	}
	dir := filepath.Join(testDir, goldenDir)
	if *update {
		writeGolden(t, dir, got)
	}
	compareGolden(t, dir, got)
}

// testDir is where the tests start, before any of them moves away.
var testDir, _ = os.Getwd()

func digest(data []byte) []byte {
	lines := bytes.SplitAfterN(data, []byte("\n"), shownLines+1)
	head := bytes.Join(lines[:min(len(lines), shownLines)], nil)
	return fmt.Appendf(head, "... %d lines in all, SHA-256 %x\n", bytes.Count(data, []byte("\n")), sha256.Sum256(data))
}

func writeGolden(t *testing.T, dir string, files map[string][]byte) {
	t.Helper()
	require.NoError(t, os.RemoveAll(dir))
	require.NoError(t, os.MkdirAll(dir, 0o755))
	for name, data := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o644))
	}
}

// compareGolden wants the same files, none missing and none left over.
func compareGolden(t *testing.T, dir string, got map[string][]byte) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var want, have []string
	for _, e := range entries {
		want = append(want, e.Name())
	}
	for name := range got {
		have = append(have, name)
	}
	sort.Strings(have)
	require.Equal(t, want, have)
	for name, data := range got {
		golden, err := os.ReadFile(filepath.Join(dir, name))
		require.NoError(t, err)
		switch {
		case strings.HasSuffix(name, ".png"):
			comparePictures(t, name, golden, data)
		case runtime.GOARCH != "amd64" && name != "screen.txt":
			// The standard library's sines may differ in the last bit elsewhere,
			// and so may a coordinate that lies half-way between two steps.
		default:
			require.Equal(t, string(golden), string(data), name)
		}
	}
}

// pictureTolerance is how far a channel of a pixel may be off: the rounding of
// a float32 sum, no more.
const pictureTolerance = 2

func comparePictures(t *testing.T, name string, golden, data []byte) {
	t.Helper()
	a, b := decodePNG(t, golden), decodePNG(t, data)
	require.Equal(t, a.Bounds(), b.Bounds(), name)
	off := 0
	for y := range a.Bounds().Dy() {
		for x := range a.Bounds().Dx() {
			r0, g0, b0, _ := a.At(x, y).RGBA()
			r1, g1, b1, _ := b.At(x, y).RGBA()
			if apart(r0, r1) || apart(g0, g1) || apart(b0, b1) {
				off++
			}
		}
	}
	require.Zero(t, off, "%s: pixels that differ", name)
}

func apart(a, b uint32) bool {
	return max(a, b)-min(a, b) > pictureTolerance*0x101
}

func decodePNG(t *testing.T, data []byte) image.Image {
	t.Helper()
	img, err := png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	return img
}
