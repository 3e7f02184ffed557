package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os/exec"
	"sort"
	"strings"
	"time"
)

// binary is the tests of a package, the quickest first.
type binary struct {
	pkg, dir, file string
	tests          []test
}

// test is one with the time that it takes, and the numbers of the faults it reaches.
type test struct {
	name    string
	took    time.Duration
	reaches map[int]bool
}

// result is what came of a run of tests.
type result int

const (
	passed result = iota
	failed
	outOfTime
)

const (
	longest = 10 * time.Minute // that a test may take without a fault
	spare   = 15 * time.Second // that a fault may cost, beyond ten times what the tests need
	batch   = time.Second      // what tests that run together take
)

// list returns the names of all tests, examples and fuzz targets.
func (b *binary) list() ([]string, error) {
	cmd := exec.Command(b.file, "-test.list", ".")
	cmd.Dir = b.dir
	out, err := cmd.CombinedOutput()
	if err != nil {
		return nil, fmt.Errorf("%s: %w\n%s", b.pkg, err, out)
	}
	var names []string
	for _, name := range strings.Fields(string(out)) {
		if !strings.HasPrefix(name, "Benchmark") {
			names = append(names, name)
		}
	}
	return names, nil
}

// run runs tests of the binary as `go test -short` does. What does not end by itself is
// stopped soon after the limit.
func (b *binary) run(names []string, skip string, limit time.Duration) (r result, said []byte, err error) {
	ctx, cancel := context.WithTimeout(context.Background(), limit+spare)
	defer cancel()
	cmd := exec.CommandContext(ctx, b.file, "-test.short", "-test.failfast", "-test.timeout", limit.String(),
		"-test.skip", skip, "-test.run", "^("+strings.Join(names, "|")+")$")
	cmd.Dir, cmd.WaitDelay = b.dir, time.Second
	said, err = cmd.CombinedOutput()
	var exit *exec.ExitError
	switch {
	case err == nil:
		return passed, said, nil
	case ctx.Err() != nil || bytes.Contains(said, []byte("panic: test timed out after ")):
		return outOfTime, said, nil
	case errors.As(err, &exit) || errors.Is(err, exec.ErrWaitDelay):
		return failed, said, nil
	}
	return failed, said, err
}

// judge runs tests, a second's worth at a time, until some do not pass.
func (b *binary) judge(tests []test, skip string) (result, error) {
	for len(tests) > 0 {
		var names []string
		var sum time.Duration
		for len(tests) > 0 && (sum == 0 || sum+tests[0].took <= batch) {
			names, sum, tests = append(names, tests[0].name), sum+tests[0].took, tests[1:]
		}
		if r, _, err := b.run(names, skip, 10*sum+spare); r != passed || err != nil {
			return r, err
		}
	}
	return passed, nil
}

func (b *binary) reaching(fault int) (tests []test) {
	for _, t := range b.tests {
		if t.reaches[fault] {
			tests = append(tests, t)
		}
	}
	return tests
}

func (b *binary) sort() {
	sort.SliceStable(b.tests, func(i, j int) bool { return b.tests[i].took < b.tests[j].took })
}
