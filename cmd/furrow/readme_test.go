package main

import (
	"errors"
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
var searches = regexp.MustCompile(`^furrow (hatch|locate) `)

// readmeAnswer is the one answer that the README shows, after its command.
var readmeAnswer = regexp.MustCompile("(?ms)^ *\\$ (furrow hatch [^`]*?-o tag\\.nc [^`]*?)\n\n" +
	"and its answer:\n\n```\n(.*?)```")

// TestReadmeCommands runs every command of the README, in its sequence, in one
// folder that is empty at first, and compares the answer that it shows. The others
// look for a short way quickly only, which other tests are about.
func TestReadmeCommands(t *testing.T) {
	t.Parallel()
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	answer := readmeAnswer.FindStringSubmatch(string(readme))
	require.NotNil(t, answer, "the README shows a command and its answer")
	var script strings.Builder
	_, demo := demoRan(t)
	for _, m := range readmeCommand.FindAllStringSubmatch(string(readme), -1) {
		line := strings.ReplaceAll(m[1], "\\\n", " ")
		if m[1] == answer[1] {
			script.WriteString("exec " + line + "\ncmp stdout answer.txt\n")
			continue
		}
		if line == "furrow demo" {
			continue // its folder is there
		}
		if searches.MatchString(line) && !strings.Contains(line, "--effort") {
			line += " --effort quick"
		}
		script.WriteString("exec " + line + "\n")
	}
	require.Contains(t, script.String(), "cmp stdout")
	script.WriteString("-- answer.txt --\n" + answer[2])
	require.Greater(t, strings.Count(script.String(), "\n"), 5, "the README shows commands")
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "readme.txt"), []byte(script.String()), 0o644))
	params := scriptParams(dir)
	params.Setup = func(env *testscript.Env) error {
		return errors.Join(setUpScript(env), os.CopyFS(filepath.Join(env.WorkDir, demoFolder), os.DirFS(demo)))
	}
	testscript.Run(t, params)
}

// TestReadmeNamesTheTwoCommands guards the two commands of the first minute.
func TestReadmeNamesTheTwoCommands(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	require.Contains(t, string(readme), "go run ./cmd/furrow demo\n")
	require.Contains(t, string(readme), "go test ./...\n")
}
