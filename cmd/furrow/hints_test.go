package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// advised is a command line and what its screen says to do, in the brackets of says. A
// subcommand is run as it stands; a flag or a value is added to the line, which is run again,
// or stands in it for what is named. Capitals stand for what a person fills in.
type advised struct {
	line, says string
	stands     string            // what in the line the value stands for; empty where it is added
	fill       map[string]string // of what is advised
}

// fillOf is the work that most of the lines do.
const fillOf = " --machine example-co2 --spacing 0.5mm --speed 100 --power 30 --effort quick"

const cardOfBirch = " --machine example-co2 --columns speed=100:400:2 --rows power=20,35 --recipe example-co2-birch"

// hintsOfCommands stand in the order in which they are run, in one folder.
var hintsOfCommands = []advised{
	{line: "hatch tag.svg -o a.nc --machine example-co2 --speed 100 --power 30", says: `add (--spacing \S+)`},
	{line: "hatch tag.svg" + fillOf, says: `add (-o FILE)`, fill: map[string]string{"FILE": "b.nc"}},
	{line: "hatch tag.svg -o a.nc" + fillOf, says: `add (--force) to overwrite`},
	{line: "hatch tag.svg -o c.nc --blank-size 50,50" + fillOf, says: `allow it: (--bleed \S+)`},
	{line: "hatch tag.svg -o d.nc --machine example-co2 --spacing 0.5mm --power 30 --speed 12000",
		says: `12000 mm/min is (200) mm/s`, stands: "12000"},
	{line: "hatch tag.svg -o e.mvl --machine example-fibre --spacing 0.5mm --speed 900 --power 30 --frequency 50kHz " +
		"--at 120,0",
		says: `(--at \S+)`},
	{line: "hatch tag.svg -o f.nc --machin example-co2", says: `did you mean (--machine)`,
		stands: "--machin example-co2",
		fill:   map[string]string{"--machine": fillOf}},
	{line: "order tag.svg -o x", says: `(furrow new tag\.svg -o JOB\.toml) writes one`,
		fill: map[string]string{"JOB": "new"}},
	{line: "machines set example-co2 rapid_mm_s=300",
		says: `(furrow machines new example-co2 -o mine\.toml) writes one`},
	{line: "machines set mine.toml", says: `add KEY=VALUE, as (\S+),`},
	{line: "machines show example-co", says: `did you mean "(example-co2)"`, stands: "example-co"},
	{line: "recipes show example-co2-birk", says: `did you mean "(example-co2-birch)"`, stands: "example-co2-birk"},
	{line: "quote --new-rates", says: `(furrow quote --new-rates -o rates\.toml)`},
	{line: "preview tags.toml -o heat.png --show heat", says: `(furrow help materials)`},
	{line: "resume a.nc -o rest.nc", says: `add one of (--after-line N)`, fill: map[string]string{"N": "30"}},
	{line: "swatch --machine example-co2 --recipe example-co2-birch -o s.nc", says: `add (--columns \S+) and`},
	{line: "swatch -o card.nc" + cardOfBirch, says: `(furrow recipes save NAME --from card\.toml --patch \S+)`,
		fill: map[string]string{"NAME": "birch"}},
	{line: "swatch -o two.nc" + cardOfBirch, says: `(furrow swatch --finer \S+ --from two\.toml -o FINER)`,
		fill: map[string]string{"FINER": "finer.nc"}},
	{line: "order tags.toml -o step --rest", says: `make it with (--first) in place`, stands: "--rest"},
	{line: "order tags.toml -o step --rest", says: `(furrow log step --accept)`},
	{line: "log a.nc", says: `add (--measured 12:30)`, fill: map[string]string{"12:30": "12:30 --sure"}},
	{line: "tune mine.toml --stopwatch runs", says: `(furrow log FILE --machine mine\.toml --measured 0:40)`,
		fill: map[string]string{"FILE": "runs/x.nc", "0:40": "0:40 --sure"}},
	{line: "tune mine.toml --stopwatch more", says: `then (furrow tune mine\.toml more -o NEW\.toml)`,
		fill: map[string]string{"more": "runs", "NEW": "tuned"}},
	{line: "send a.nc --machine example-co2", says: `(furrow help machines)`},
}

// follow is the line that does what is advised.
func (a advised) follow(advice string) string {
	for from, to := range a.fill {
		advice = strings.ReplaceAll(advice, from, to)
	}
	switch {
	case strings.HasPrefix(advice, "furrow "):
		return strings.TrimPrefix(advice, "furrow ")
	case a.stands != "":
		return strings.Replace(a.line, a.stands, advice, 1)
	}
	return a.line + " " + advice
}

// Whatever a command says to do is done once, and that works.
func TestHintsOfCommandsWorkWhenFollowed(t *testing.T) {
	t.Chdir(t.TempDir())
	t.Setenv("XDG_CONFIG_HOME", filepath.Join(t.TempDir(), "settings"))
	const tag = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="60mm" viewBox="0 0 60 60"><rect ` +
		`width="60" height="60"/></svg>`
	const tags = "furrow = 1\nmachine = \"example-co2\"\neffort = \"none\"\n" +
		"[order]\nquantity = 3\n[blank]\nwidth = \"60mm\"\nheight = \"60mm\"\n" +
		"[artwork]\nfile = \"tag.svg\"\n[fill]\nspacing = \"0.5mm\"\nspeed_mm_s = 100\n" +
		"power_percent = 30\n[fixture]\ncolumns = 3\npitch = [\"70mm\", \"70mm\"]\n"
	require.NoError(t, os.WriteFile("tag.svg", []byte(tag), 0o644))
	require.NoError(t, os.WriteFile("tags.toml", []byte(tags), 0o644))
	ran := func(line string) (code int, screen string) {
		var out bytes.Buffer
		code = run(strings.Fields(line), strings.NewReader(""), &out, &out)
		return code, out.String()
	}
	for _, a := range hintsOfCommands {
		_, screen := ran(a.line)
		found := regexp.MustCompile(a.says).FindStringSubmatch(screen)
		require.NotNil(t, found, "furrow %s\n%s", a.line, screen)
		next := a.follow(found[1])
		code, screen := ran(next)
		require.Zero(t, code, "furrow %s\nfurrow %s\n%s", a.line, next, screen)
	}
}
