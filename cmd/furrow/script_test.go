package main

import (
	"encoding/json"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"furrow/emit/link/simulate"

	"github.com/rogpeppe/go-internal/testscript"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
)

func TestMain(m *testing.M) {
	if simulate.Main() {
		return
	}
	testscript.Main(tests{m}, map[string]func(){"furrow": main})
}

// TestScripts runs every command line in testdata/script as a process of its
// own in a fresh folder.
func TestScripts(t *testing.T) {
	t.Parallel() // with the README's commands, which take as long
	testscript.Run(t, scriptParams("testdata/script"))
}

func scriptParams(dir string) testscript.Params {
	return testscript.Params{
		Dir:                 dir,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits, "same-figures": sameFigures, "compared": compared, "crlf": crlf, "replace": replace,
			"font": font,
		},
		Setup: setUpScript,
	}
}

func setUpScript(env *testscript.Env) error {
	// The user's own profiles must not leak into a test.
	env.Setenv("XDG_CONFIG_HOME", env.WorkDir+"/.config")
	env.Setenv("FURROW_STRICT", os.Getenv("FURROW_STRICT"))
	env.Setenv("GOGC", "400") // what ends soon need not collect often
	judgeGCode(env)
	return nil
}

// exits runs a command and wants exactly the given exit code: exits 2 furrow ...
// The code must be above 0.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND ...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	err = ts.Exec(args[1], args[2:]...)
	if got := exitCode(err); got != want {
		ts.Fatalf("exit code %d, want %d", got, want)
	}
}

func exitCode(err error) int {
	if err == nil {
		return 0
	}
	var e *exec.ExitError
	if errors.As(err, &e) {
		return e.ExitCode()
	}
	return -1
}

// sameFigures wants two JSON summaries to agree in every key both have, to the
// last digit, and the second to have no key of its own but what was proved:
// same-figures A B.
func sameFigures(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: same-figures HATCH.json CHECK.json")
	}
	hatched, checked := readFigures(ts, args[0]), readFigures(ts, args[1])
	delete(checked, "proved")
	delete(checked, "not_proved")
	for key, got := range checked {
		if want := string(hatched[key]); string(got) != want {
			ts.Fatalf("%s: hatch says %s, check says %s", key, want, got)
		}
	}
	if len(checked) < 11 {
		ts.Fatalf("only %d figures", len(checked))
	}
}

// compared wants the figures of the first machine of a comparison to be those of
// a check, to the last digit: compared COMPARE.json CHECK.json.
func compared(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: compared COMPARE.json CHECK.json")
	}
	var c struct {
		Machines []struct {
			Figures map[string]json.RawMessage `json:"figures"`
		} `json:"machines"`
	}
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(args[0])), &c))
	checked := readFigures(ts, args[1])
	delete(checked, "proved")
	delete(checked, "not_proved")
	for key, want := range checked {
		if got := c.Machines[0].Figures[key]; plain(got) != plain(want) {
			ts.Fatalf("%s: compare says %s, check says %s", key, got, want)
		}
	}
	if len(checked) < 11 {
		ts.Fatalf("only %d figures", len(checked))
	}
}

// plain drops the indentation of JSON.
func plain(raw json.RawMessage) string { return strings.Join(strings.Fields(string(raw)), "") }

func readFigures(ts *testscript.TestScript, name string) map[string]json.RawMessage {
	var m map[string]json.RawMessage
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(name)), &m))
	return m
}

// replace changes the one place where a text stands in a file: replace FILE
// OLD NEW.
func replace(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: replace FILE OLD NEW")
	}
	text := ts.ReadFile(args[0])
	if strings.Count(text, args[1]) != 1 {
		ts.Fatalf("%q stands %d times in %s", args[1], strings.Count(text, args[1]), args[0])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(strings.Replace(text, args[1], args[2], 1)), 0o644))
}

// font writes a font of the Go family into a file: font regular|bold FILE.
func font(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: font regular|bold FILE")
	}
	data := goregular.TTF
	if args[0] == "bold" {
		data = gobold.TTF
	}
	ts.Check(os.MkdirAll(filepath.Dir(ts.MkAbs(args[1])), 0o755))
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), data, 0o644))
}

// crlf gives a file the line ends of Windows: crlf FILE.
func crlf(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: crlf FILE")
	}
	text := strings.ReplaceAll(ts.ReadFile(args[0]), "\n", "\r\n")
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(text), 0o644))
}
