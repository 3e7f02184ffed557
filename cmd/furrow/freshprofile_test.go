package main

import (
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// sampleLine is a key of a fresh profile that is left out.
var sampleLine = regexp.MustCompile(`^#([a-z_0-9]+) =`)

// Every remark of a fresh profile that holds a key, uncommented as it stands, is refused:
// no number or word in it may pass as the shop's own. A table's head goes with all its keys.
func TestSamplesAreRefusedAsTheyStand(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	dir := t.TempDir()
	for _, kind := range []string{"gantry", "galvo"} {
		fresh := filepath.Join(dir, kind+".toml")
		require.Equal(t, 0, quietly("machines", "new", "-o", fresh, "--kind", kind, "--reach", "110,110",
			"--rated-power", "20", "--wavelength", "1064", "--top-speed", "5000"))
		text, err := os.ReadFile(fresh)
		require.NoError(t, err)
		lines := strings.Split(string(text), "\n")
		tried := 0
		for i := range lines {
			changed, ok := uncommented(lines, i)
			if !ok {
				continue
			}
			name := filepath.Join(dir, "changed.toml")
			require.NoError(t, os.WriteFile(name, []byte(strings.Join(changed, "\n")), 0o600))
			require.Equal(t, 2, quietly("machines", "check", name), "%s: %s", kind, lines[i])
			tried++
		}
		require.Greater(t, tried, 30)
	}
}

// uncommented takes the # from a key, or from the head of a table and all keys of it.
func uncommented(lines []string, i int) ([]string, bool) {
	changed := append([]string{}, lines...)
	switch {
	case strings.HasPrefix(lines[i], "#["):
		for ; i < len(lines) && lines[i] != ""; i++ {
			if strings.HasPrefix(lines[i], "#[") || sampleLine.MatchString(lines[i]) {
				changed[i] = strings.TrimPrefix(lines[i], "#")
			}
		}
	case sampleLine.MatchString(lines[i]):
		changed[i] = strings.TrimPrefix(lines[i], "#")
	default:
		return nil, false
	}
	return changed, true
}

// quietly runs the program and returns its exit code.
func quietly(args ...string) int { return run(args, strings.NewReader(""), io.Discard, io.Discard) }
