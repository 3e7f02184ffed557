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

// quickly is what keeps commands short that would take long.
var quickly = []struct {
	command *regexp.Regexp
	flag    string
}{
	{regexp.MustCompile(`^furrow (hatch|locate|compare|quote [^-]|preview [^ ]*\.(svg|toml) )`), "--effort none"},
	{regexp.MustCompile(`^furrow preview .*\.png`), "--size 400"},
	{regexp.MustCompile(`^furrow preview .*\.pdf`), "--dpi 60"},
	{regexp.MustCompile(`^furrow preview .*--film `), "--film-seconds 1"},
}

// readmeAnswer is the one answer that the README shows, after its command.
var readmeAnswer = regexp.MustCompile("(?ms)^ *\\$ (furrow hatch [^`]*?-o tag\\.nc [^`]*?)\n\n" +
	"and its answer:\n\n```\n(.*?)```")

// TestReadmeCommands runs every command of the README, in its sequence, in one
// folder that is empty at first, and compares the answer that it shows. The others
// are made short: they look for no short way, pictures are small, films last a second, and of the demo's
// tags, which TestDemoGolden makes as they are, there are no more than the README speaks
// of, with coarse rows. It takes longest, and of the tests that run beside each other those
// of the last files are begun first.
func TestReadmeCommands(t *testing.T) {
	t.Parallel()
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	answer := readmeAnswer.FindStringSubmatch(string(readme))
	require.NotNil(t, answer, "the README shows a command and its answer")
	script := readmeScript(string(readme), answer[1])
	require.Contains(t, script, "cmp stdout")
	require.Greater(t, strings.Count(script, "\nexec "), 5, "the README shows commands")
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "readme.txt"),
		[]byte(script+"-- answer.txt --\n"+answer[2]), 0o644))
	_, demo := demoRan(t)
	params := scriptParams(dir)
	params.Deadline, _ = t.Deadline()
	params.Setup = func(env *testscript.Env) error {
		folder := filepath.Join(env.WorkDir, demoFolder)
		return errors.Join(setUpScript(env), os.CopyFS(folder, os.DirFS(demo)), lighten(folder))
	}
	testscript.RunT(atOnce{t}, params)
}

// atOnce runs a script in the place of its test. By itself it would wait for all others,
// and then run alone for as long as they took.
type atOnce struct{ *testing.T }

func (atOnce) Parallel() {}

func (atOnce) Verbose() bool { return testing.Verbose() }

func (t atOnce) Run(name string, f func(testscript.T)) {
	t.T.Run(name, func(t *testing.T) { f(atOnce{t}) })
}

// readmeScript is the commands of the README, each a section of its own, so that what it
// prints is shown only where it fails.
func readmeScript(readme, answered string) string {
	var script strings.Builder
	for _, m := range readmeCommand.FindAllStringSubmatch(readme, -1) {
		line := strings.ReplaceAll(m[1], "\\\n", " ")
		if line == "furrow demo" {
			continue // its folder is there
		}
		script.WriteString("# " + line + "\nexec " + line)
		if m[1] == answered {
			script.WriteString("\ncmp stdout answer.txt\n")
			continue
		}
		for _, q := range quickly {
			if q.command.MatchString(line) {
				script.WriteString(" " + q.flag)
			}
		}
		script.WriteString("\n")
	}
	return script.String()
}

// readmeParts is the last of the parts that the README names.
const readmeParts = 14

// lighten leaves few of the demo's tags, looks for no short way between their marks, and
// sets their rows as far apart as their codes allow, those of plastic so much slower that
// the times that the README logs are as likely as they are of the demo.
func lighten(folder string) error {
	return errors.Join(
		edit(filepath.Join(folder, "tags.csv"), func(text string) string {
			return strings.Join(strings.SplitAfter(text, "\n")[:1+readmeParts], "")
		}),
		edit(filepath.Join(folder, "tags-co2.toml"), func(text string) string {
			return strings.NewReplacer("furrow = 1\n", "furrow = 1\neffort = \"none\"\n",
				`spacing = "0.1mm"`, `spacing = "0.3mm"`, "speed_mm_s = 250", "speed_mm_s = 70").Replace(text)
		}),
		edit(filepath.Join(folder, "tag-co2.toml"), func(text string) string {
			return strings.Replace(text, `spacing = "0.1mm"`, `spacing = "0.3mm"`, 1)
		}),
		edit(filepath.Join(folder, "tags-fibre.toml"), func(text string) string {
			return strings.Replace(text, `spacing = "0.05mm"`, `spacing = "0.1mm"`, 1)
		}))
}

func edit(file string, change func(text string) string) error {
	text, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	return os.WriteFile(file, []byte(change(string(text))), 0o644)
}

// TestReadmeNamesTheTwoCommands guards the two commands of the first minute.
func TestReadmeNamesTheTwoCommands(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	require.Contains(t, string(readme), "go run ./cmd/furrow demo\n")
	require.Contains(t, string(readme), "go test ./...\n")
}
