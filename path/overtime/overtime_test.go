package overtime_test

import (
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"furrow/path/overtime"
)

// The tests that hang do so in a process of their own.
const hang = "FURROW_HANG"

func hangs(t *testing.T) {
	if os.Getenv(hang) == "" {
		return
	}
	select {}
}

func TestHangsHere(t *testing.T) {
	t.Parallel()
	hangs(t)
}

func TestHangsInItsPart(t *testing.T) {
	t.Parallel()
	t.Run("part", func(t *testing.T) {
		hangs(t)
	})
}

// TestNamesWhatHangs runs the two tests above out of time. One that is done is not named,
// nor is one that waits for its part.
func TestNamesWhatHangs(t *testing.T) {
	t.Parallel()
	c := exec.Command(os.Args[0], "-test.run=^TestHangs|^TestRunning", "-test.timeout=500ms", "-test.parallel=2")
	c.Env = append(os.Environ(), hang+"=1")
	begun := time.Now()
	out, err := c.CombinedOutput()
	require.Error(t, err)
	require.Less(t, time.Since(begun), 20*time.Second)
	text := string(out)
	require.LessOrEqual(t, strings.Count(text, "\n"), 10, text)
	require.Contains(t, text, "out of time: -timeout is 500ms; running:\n")
	require.Regexp(t, `(?m)^\tTestHangsHere at overtime_test.go:\d+, select \(no cases\)`, text)
	require.Regexp(t, `(?m)^\tTestHangsInItsPart.func1 at overtime_test.go:\d+, select \(no cases\)`, text)
	require.NotRegexp(t, `TestRunning|TestHangsInItsPart at|testing\.`, text)
}

// A dump, in the form of runtime.Stack, with a test that waits for its turn, one that waits
// for parallel parts, a part that reads, a benchmark, and goroutines that are no tests.
const dump = `goroutine 1 [chan receive]:
testing.(*T).Run(0xc0000, {0x1, 0x2}, 0x3)
	/go/src/testing/testing.go:1 +0x1
main.main()
	_testmain.go:9 +0x1

goroutine 7 [chan receive, 2 minutes]:
testing.(*T).Parallel(0xc0000)
	/go/src/testing/testing.go:2 +0x1
a.example/b.TestWaits(0xc0000)
	/b/b_test.go:3 +0x1
testing.tRunner(0xc0000, 0x1)
	/go/src/testing/testing.go:4 +0x1
created by testing.(*T).Run in goroutine 1
	/go/src/testing/testing.go:5 +0x1

goroutine 11 [chan receive, 2 minutes]:
testing.tRunner.func1()
	/go/src/testing/testing.go:5 +0x1
testing.tRunner(0xc0000, 0x1)
	/go/src/testing/testing.go:4 +0x1

goroutine 8 [IO wait, 2 minutes]:
os.(*File).Read(0xc0000)
	/go/src/os/file.go:6 +0x1
a.example/b.helper({0x1, 0x2})
	/b/helper_test.go:7 +0x1
a.example/b_test.TestReads.func1(0xc0000)
	/b/b_test.go:8 +0x1
testing.tRunner(0xc0000, 0x1)
	/go/src/testing/testing.go:4 +0x1

goroutine 9 [running]:
a.example/b.BenchmarkLong(0xc0000)
	/b/b_test.go:9 +0x1
testing.(*B).runN(0xc0000, 0x1)
	/go/src/testing/benchmark.go:4 +0x1

goroutine 10 [select]:
a.example/b.serve()
	/b/serve.go:6 +0x1
created by a.example/b.TestReads in goroutine 8
	/b/b_test.go:10 +0x1
`

func TestRunningTests(t *testing.T) {
	require.Equal(t, []string{
		"TestReads.func1 at helper_test.go:7, IO wait, 2 minutes",
		"BenchmarkLong at b_test.go:9, running",
	}, overtime.Running(dump))
	require.Empty(t, overtime.Running(""))
}
