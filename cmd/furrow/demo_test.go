package main

import (
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"strconv"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

// tests makes a folder for what they share.
type tests struct{ m *testing.M }

func (s tests) Run() int {
	flag.Parse()
	if flag.Lookup("test.bench").Value.String() == "" {
		hurry()
	}
	dir, err := os.MkdirTemp("", "furrow")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	sharedDir = dir
	if !chosen() {
		go func() { _, _ = runDemo() }() // beside the tests that run one after the other
	}
	return s.m.Run()
}

var sharedDir string

// chosen reports that not all tests run.
func chosen() bool {
	return flag.Lookup("test.run").Value.String()+flag.Lookup("test.list").Value.String() != ""
}

// hurry collects seldom, and lets more tests run at once than there are processors: many
// wait for a controller that takes its time. Whoever says how many is followed.
func hurry() {
	debug.SetGCPercent(400)
	if p := flag.Lookup("test.parallel"); p.Value.String() == p.DefValue {
		p.Value.Set(strconv.Itoa(2 * runtime.GOMAXPROCS(0)))
	}
}

// runDemo runs furrow demo, the longest of the README's commands, once for all tests
// that look at it, and returns what it printed.
var runDemo = sync.OnceValues(func() (string, error) {
	cmd := exec.Command("furrow", "demo")
	cmd.Dir = sharedDir
	cmd.Env = append(os.Environ(), "XDG_CONFIG_HOME="+filepath.Join(sharedDir, ".config"), "GOGC=400")
	screen, err := cmd.Output()
	return string(screen), err
})

// demoRan returns what the demo printed, and the folder that it filled.
func demoRan(t *testing.T) (screen, dir string) {
	t.Helper()
	screen, err := runDemo()
	require.NoError(t, err)
	dir = filepath.Join(sharedDir, demoFolder)
	files := gcodeFiles(dir)
	require.NotEmpty(t, files)
	for _, file := range files {
		require.Empty(t, judge(file), file)
	}
	return screen, dir
}
