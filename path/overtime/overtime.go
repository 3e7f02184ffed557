// Package overtime is for tests: a test that runs out of time says which it is, in a few
// lines. Go's own answer is a dump of every goroutine, below the names.
// A package whose tests wait for processes, ports or channels imports it for that alone,
// unless it imports path/outside, which does:
//
//	import _ "furrow/path/overtime"
//
// It speaks a moment before -timeout is up, and with -timeout=0 never. Panics and races keep
// their stacks.
package overtime

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"time"
)

// most is how many tests are named.
const most = 6

// init reads the flag by itself: flags are parsed after all packages have begun.
func init() {
	for _, arg := range os.Args[1:] {
		text, given := strings.CutPrefix(arg, "-test.timeout=")
		if limit, err := time.ParseDuration(text); given && err == nil && limit > 0 {
			time.AfterFunc(limit-min(limit/20, time.Second), func() { stop(limit) })
		}
	}
}

func stop(limit time.Duration) {
	fmt.Fprintf(os.Stderr, "out of time: -timeout is %v; running:\n%s", limit, shown(Running(stacks())))
	os.Exit(1)
}

func stacks() string {
	for size := 1 << 20; ; size *= 2 {
		buf := make([]byte, size)
		if n := runtime.Stack(buf, true); n < size {
			return string(buf[:n])
		}
	}
}

func shown(tests []string) string {
	if len(tests) == 0 {
		return "\tno test\n"
	}
	text := ""
	for _, t := range tests[:min(most, len(tests))] {
		text += "\t" + t + "\n"
	}
	if more := len(tests) - most; more > 0 {
		text += fmt.Sprintf("\tand %d more\n", more)
	}
	return text
}

// The lines of a stack as runtime.Stack writes them.
var (
	goroutine = regexp.MustCompile(`^goroutine \d+ \[(.*)\]:$`)
	function  = regexp.MustCompile(`^(?:.*/)?[^./]+\.([^()]+)\(`)
	place     = regexp.MustCompile(`^\t(.*_test\.go:\d+)`)
)

// Running returns the tests of the goroutines of a dump that run: not those that wait for
// a place among parallel ones, or for tests of their own. Each is told by its function, the
// line of the test's file where it stands, and what its goroutine does.
func Running(dump string) (tests []string) {
	for stack := range strings.SplitSeq(dump, "\n\n") {
		if t := test(strings.Split(strings.TrimRight(stack, "\n"), "\n")); t != "" {
			tests = append(tests, t)
		}
	}
	return tests
}

// test returns the test of a goroutine, or "". A frame is two lines, the innermost first.
func test(stack []string) string {
	state, name, at := goroutine.FindStringSubmatch(stack[0]), "", ""
	if state == nil {
		return ""
	}
	for i := 1; i+1 < len(stack); i += 2 {
		switch call := stack[i]; {
		case strings.HasPrefix(call, "testing.(*T).Run("), strings.HasPrefix(call, "testing.(*T).Parallel("):
			return ""
		case strings.HasPrefix(call, "testing.tRunner("), strings.HasPrefix(call, "testing.(*B).runN("):
			if name == "" { // the runner waits for parallel parts
				return ""
			}
			return fmt.Sprintf("%s%s, %s", name, at, state[1])
		}
		if m := function.FindStringSubmatch(stack[i]); m != nil && !strings.HasPrefix(stack[i], "testing.") {
			name = m[1]
		}
		if m := place.FindStringSubmatch(stack[i+1]); m != nil && at == "" {
			at = " at " + filepath.Base(m[1])
		}
	}
	return ""
}
