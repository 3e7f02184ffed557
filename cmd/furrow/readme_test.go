package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/require"
)

// readmeCommand is a command line as the README shows it.
var readmeCommand = regexp.MustCompile(`(?m)^ *\$ (furrow (?:.*\\\n)*.*)$`)

// searches are the subcommands that look for a short way, unless told not to.
var searches = regexp.MustCompile(`^furrow (hatch|preview|locate) `)

// TestReadmeCommands runs every command of the README, in its sequence, in one
// folder that is empty at first. They look for a short way quickly only, which
// other tests are about.
func TestReadmeCommands(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	var script strings.Builder
	for _, m := range readmeCommand.FindAllStringSubmatch(string(readme), -1) {
		line := strings.ReplaceAll(m[1], "\\\n", " ")
		if searches.MatchString(line) && !strings.Contains(line, "--effort") {
			line += " --effort quick"
		}
		script.WriteString("exec " + line + "\n")
	}
	require.Greater(t, strings.Count(script.String(), "\n"), 5, "the README shows commands")
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "readme.txt"), []byte(script.String()), 0o644))
	testscript.Run(t, scriptParams(dir))
}

// TestReadmeNamesTheTwoCommands guards the two commands of the first minute.
func TestReadmeNamesTheTwoCommands(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	require.Contains(t, string(readme), "go run ./cmd/furrow demo\n")
	require.Contains(t, string(readme), "go test ./...\n")
}
