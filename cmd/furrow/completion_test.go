package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"furrow/path/outside"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/require"
)

// completionCases are what a person types, with a word that must be offered and
// one that must not.
var completionCases = []struct{ line, offered, not string }{
	{"furrow com", "compare", "hatch"},
	{"furrow compare --same", "--same-dose", "--json"},
	{"furrow hatch --outline ", "before", "compare"},
	{"furrow machines ", "check", "save"},
	{"furrow hatch --machine example-f", "example-fibre", "example-co2"},
	{"furrow help sa", "safety", "hatch"},
	{"furrow man ins", "inspect", "script"},
	{"furrow man ", "hatch", "script"},
}

// withFurrow makes a folder with the program in it, the path with it first, and
// the script of a shell.
func withFurrow(t *testing.T, shell string) (dir string, env []string) {
	outside.Program(t, shell)
	dir = t.TempDir()
	self, err := os.Executable()
	require.NoError(t, err)
	require.NoError(t, os.Symlink(self, filepath.Join(dir, "furrow"))) // TestMain runs the program under this name
	require.NoError(t, os.WriteFile(filepath.Join(dir, "script"), []byte(furrow(t, "completion", shell)), 0o644))
	return dir, append(os.Environ(), "PATH="+dir+string(os.PathListSeparator)+os.Getenv("PATH"), "HOME="+dir,
		"XDG_CONFIG_HOME="+dir)
}

// said is what a shell prints, which complains of nothing.
func said(t *testing.T, dir string, env []string, name string, args ...string) string {
	var out, errs bytes.Buffer
	c := exec.Command(name, args...)
	c.Dir, c.Env, c.Stdout, c.Stderr = dir, env, &out, &errs
	require.NoError(t, c.Run(), errs.String())
	require.Empty(t, errs.String())
	return out.String()
}

func TestBashCompletion(t *testing.T) { testBashLike(t, "bash", "") }

func TestZshCompletion(t *testing.T) {
	t.Parallel()
	testBashLike(t, "zsh", "autoload -U compinit; compinit -u -D; ")
}

func testBashLike(t *testing.T, shell, before string) {
	dir, env := withFurrow(t, shell)
	script := before + "source ./script; " + map[string]string{"zsh": "emulate sh; "}[shell]
	for _, tt := range completionCases {
		script += "COMPREPLY=(); COMP_WORDS=('" + strings.ReplaceAll(tt.line, " ", "' '") +
			"'); COMP_CWORD=$((${#COMP_WORDS[@]} - 1)); _furrow; echo \"${COMPREPLY[@]}\"; "
	}
	lines := strings.Split(said(t, dir, env, shell, "-c", script), "\n")
	require.Len(t, lines, len(completionCases)+1)
	for i, tt := range completionCases {
		words, got := strings.Split(tt.line, " "), strings.Fields(lines[i])
		if shell == "zsh" { // which takes what fits from all that it is given
			got = slices.DeleteFunc(got, func(w string) bool { return !strings.HasPrefix(w, words[len(words)-1]) })
		}
		require.Contains(t, got, tt.offered, tt.line)
		require.NotContains(t, got, tt.not, tt.line)
	}
}

func TestFishCompletion(t *testing.T) {
	t.Parallel()
	dir, env := withFurrow(t, "fish")
	for _, tt := range completionCases {
		got := strings.Fields(said(t, dir, env, "fish", "--no-config", "-c",
			"source ./script; complete -C '"+tt.line+"'"))
		require.Contains(t, got, tt.offered, tt.line)
		require.NotContains(t, got, tt.not, tt.line)
	}
}

// PowerShell cannot be had where the tests run. What can be told without it: the
// brackets and quotes of the script are closed, and it names every subcommand with
// its flags.
func TestPowerShellCompletionIsWhole(t *testing.T) {
	script := furrow(t, "completion", "powershell")
	for _, l := range listedFlags {
		require.Contains(t, script, "'--"+l.flag+"' = '"+l.command+"'")
	}
	require.Empty(t, openBrackets(regexp.MustCompile(`'[^']*'|"[^"]*"`).ReplaceAllString(script, "")))
	for _, c := range commands() {
		fs, _ := c.flags()
		line := regexp.MustCompile(`(?m)^    '` + c.name + `' = @\((.*)\)$`).FindStringSubmatch(script)
		require.NotNil(t, line, c.name)
		fs.VisitAll(func(f *pflag.Flag) { require.Contains(t, line[1], "'--"+f.Name+"'", c.name) })
	}
}

// openBrackets returns the brackets of a text that are not closed, or that close
// none.
func openBrackets(text string) string {
	var open []rune
	for _, r := range text {
		switch last := len(open) - 1; {
		case strings.ContainsRune("([{", r):
			open = append(open, r)
		case !strings.ContainsRune(")]}", r):
		case last >= 0 && strings.ContainsRune("(){}[]", open[last]) &&
			map[rune]rune{'(': ')', '[': ']', '{': '}'}[open[last]] == r:
			open = open[:last]
		default:
			open = append(open, r)
		}
	}
	return string(open)
}
