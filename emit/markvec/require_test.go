package markvec_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// ownProgram is a program of someone else's that reads a list.
const ownProgram = `package main

import (
	"fmt"
	"io"
	"os"

	"furrow/emit/markvec"
)

func main() {
	r, err := markvec.NewReader(os.Stdin)
	marks := 0
	for err == nil {
		var rec markvec.Record
		if rec, err = r.Next(); rec.Op == markvec.Mark {
			marks++
		}
	}
	if err != io.EOF {
		fmt.Println(err)
		os.Exit(1)
	}
	fmt.Println(marks, "marks")
}
`

// The lines of the README let a module of one's own import the reader. Nothing
// is downloaded: what it needs is what these tests were built with.
func TestReadmeSaysHowToRequireTheModule(t *testing.T) {
	root, err := filepath.Abs("../..")
	require.NoError(t, err)
	readme, err := os.ReadFile(filepath.Join(root, "README.md"))
	require.NoError(t, err)
	steps := regexp.MustCompile(`(?m)^    (go mod .*)$`).FindAllStringSubmatch(string(readme), -1)
	require.Len(t, steps, 2)

	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "main.go"), []byte(ownProgram), 0o644))
	run := func(stdin, command string) string {
		words := strings.Fields(command)
		for i := range words {
			words[i] = strings.Replace(words[i], "../furrow", root, 1)
		}
		cmd := exec.Command(words[0], words[1:]...)
		cmd.Dir, cmd.Stdin = dir, strings.NewReader(stdin)
		cmd.Env = append(os.Environ(), "GOPROXY=off", "GOSUMDB=off", "GOWORK=off", "GOFLAGS=")
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, "%s: %s", command, out)
		return string(out)
	}
	run("", "go mod init shop")
	for _, step := range steps {
		run("", step[1])
	}
	require.Equal(t, "1 marks\n", run(docLists(t)[0], "go run ."))
}
