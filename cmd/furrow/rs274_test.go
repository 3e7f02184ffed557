package main

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"furrow/emit/gcode/ngc"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/require"
)

// Every G-code file that a test makes passes a validator written from the
// grammar and modal groups of RS274/NGC (NISTIR 6556).

// spoilt is how the files are named that a script makes wrong on purpose.
const spoilt = "spoilt"

// judgeGCode judges the files that a script leaves behind, all but those that it
// came with and the spoilt ones.
func judgeGCode(env *testscript.Env) {
	given := map[string]bool{}
	for _, file := range gcodeFiles(env.WorkDir) {
		given[file] = true
	}
	env.Defer(func() {
		for _, file := range gcodeFiles(env.WorkDir) {
			if given[file] || strings.HasPrefix(filepath.Base(file), spoilt) {
				continue
			}
			if problem := judge(file); problem != "" {
				env.T().Fatal(filepath.Base(file), ": ", problem)
			}
		}
	})
}

func gcodeFiles(dir string) []string {
	var files []string
	filepath.WalkDir(dir, func(name string, _ fs.DirEntry, _ error) error { // what cannot be read is not there
		if strings.HasSuffix(name, ".nc") {
			files = append(files, name)
		}
		return nil
	})
	return files
}

// semicolon is a comment outside the grammar, which a profile may ask for.
var semicolon = regexp.MustCompile(`(?m)^;.*$`)

// judge returns what is wrong with a file, or nothing.
func judge(file string) string {
	data, err := os.ReadFile(file)
	if err != nil {
		return err.Error()
	}
	problems, err := ngc.Validate(bytes.NewReader(semicolon.ReplaceAll(data, nil)), 1)
	switch {
	case err != nil:
		return err.Error()
	case len(problems) > 0:
		return problems[0].Error()
	}
	return ""
}

// judgeOutputs judges what a command has written in the file that -o names.
func judgeOutputs(t testing.TB, args []string) {
	t.Helper()
	for i, arg := range args {
		if i > 0 && args[i-1] == "-o" && strings.HasSuffix(arg, ".nc") {
			require.Empty(t, judge(arg), arg)
		}
	}
}

// The judge itself: a word too many is found.
func TestJudge(t *testing.T) {
	require.Empty(t, judge(write(t, "right.nc", "; a comment\nG21\nM2\n")))
	require.Contains(t, judge(write(t, "wrong.nc", "G21\nG0 X1 X2\nM2\n")), "two X")
}
