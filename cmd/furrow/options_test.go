package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/settings"
	"furrow/emit/gcode"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// badge is 30 x 20 mm, with curves and straight edges.
const badge = `<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="20mm" viewBox="0 0 30 20">
<circle cx="8" cy="10" r="6"/><path d="M18 3h9v14h-9z"/></svg>`

// gcodeOptions are what a profile may ask of a file, each with what must stand
// in one and what must not.
var gcodeOptions = []struct {
	name     string
	set      func(*machine.GCode)
	with     []string
	without  []string
	moreArgs string
}{
	{"plain", func(*machine.GCode) {}, []string{`(?m)^G21 G17 G90 G94$`, `(?m)^M3 S0$`, `(?m)^G0 X`, `F9000`, `S350`,
		`M5 S0\n\(whole \d+ lines crc [0-9a-f]{8}\)\nM2\n$`},
		[]string{`G[23] `, `\r`, `M4`, `N\d`, `M[789]\b`, `G20`, `G64`, `M30`, `;`}, ""},
	{"speed-following", func(g *machine.GCode) { g.PowerMode = machine.PowerSpeedFollowing }, []string{`(?m)^M4 S0$`},
		[]string{`M3`}, ""},
	{"S to 1", func(g *machine.GCode) { g.PowerWordMax, g.PowerDecimals = 1, 3 }, []string{`S0\.35\n`}, nil, ""},
	{"S to 100", func(g *machine.GCode) { g.PowerWordMax, g.PowerDecimals = 100, 1 }, []string{`S34\.6\n`}, nil,
		"--power 34.56"},
	{"S to 255", func(g *machine.GCode) { g.PowerWordMax = 255 }, []string{`S89\n`}, nil, ""},
	{"arcs", func(g *machine.GCode) { g.Arcs = true }, []string{`(?m)^G[23] X[-.\d]+ Y[-.\d]+ I[-.\d]+ J[-.\d]+`},
		nil, ""},
	{"line numbers", func(g *machine.GCode) { g.LineNumbers = true }, []string{`(?m)^N1 G21 `, `(?m)^N9 `},
		[]string{`(?m)^[GMXY]`}, ""},
	{"CR LF", func(g *machine.GCode) { g.CRLF = true }, []string{`M2\r\n$`}, []string{`[^\r]\n`}, ""},
	{"inch", func(g *machine.GCode) { g.Inch = true }, []string{`(?m)^G20 `, `F354\.33071`, `X1\.\d{5}\n`},
		[]string{`G21`}, ""},
	{"air", func(g *machine.GCode) { g.Air = "M8" }, []string{`(?m)^M8$`, `(?m)^M9$`}, nil, "--air"},
	{"no air asked for", func(g *machine.GCode) { g.Air = "M7" }, nil, []string{`(?m)^M[79]$`}, ""},
	{"own lines", func(g *machine.GCode) { g.StartLines, g.EndLines = []string{"G54", "G64"}, []string{"G4 P0.5", "M0"} },
		[]string{`(?m)^M5 S0\nG54\nG64\nM3 S0\n`, `M5 S0\nG4 P0.5\nM0\n\(whole .*\)\nM2\n$`}, nil, ""},
	{"semicolons", func(g *machine.GCode) { g.Comments = machine.CommentsSemicolon },
		[]string{`(?m)^; profile options`},
		[]string{`\(`}, ""},
	{"no comments", func(g *machine.GCode) { g.Comments = machine.CommentsNone }, []string{`^G21`},
		[]string{`\(`, `;`}, ""},
	{"repeated words", func(g *machine.GCode) { g.RepeatWords = true },
		[]string{`(?m)^G1 X[-.\d]+ Y[-.\d]+ F9000 S350$`}, []string{`(?m)^X`}, ""},
	{"blend", func(g *machine.GCode) { g.Blend = true }, []string{`(?m)^G64$`}, nil, ""},
	{"M30", func(g *machine.GCode) { g.End = "M30" }, []string{`M30\n$`}, []string{`(?m)^M2$`}, ""},
	{"all at once", func(g *machine.GCode) {
		*g = machine.GCode{
			PowerWordMax: 255, PowerDecimals: 2, PowerMode: machine.PowerSpeedFollowing, Arcs: true,
			Inch: true, Air: "M7",
			Blend: true,
			End:   "M30", LineNumbers: true, CRLF: true, RepeatWords: true, StartLines: []string{"G54 (left fixture)"},
			EndLines: []string{"G4 P1"},
		}
	}, []string{`(?m)^N\d+ M7\r$`, `(?m)^N\d+ G[23] X`, `(?m)^N\d+ G54 \(left fixture\)\r$`}, nil, "--air"},
}

// Each option, from the command line to a file that is RS-274, that check reads
// to the same figures, and that is written again from what was read as the same
// bytes.
func TestGCodeOptions(t *testing.T) {
	t.Parallel()
	art := jobOf(t, write(t, "badge.svg", badge), "outline_speed_mm_s = 100")
	for _, tt := range gcodeOptions {
		t.Run(tt.name, func(t *testing.T) {
			p := exampleGantry()
			g := *p.GCode
			tt.set(&g)
			p.GCode, p.ID = &g, "options"
			toml, err := settings.ProfileTOML(p)
			require.NoError(t, err)
			machine := write(t, "options.toml", string(toml))
			out := filepath.Join(t.TempDir(), "badge.nc")
			args := strings.Fields("--effort quick --spacing 0.5mm --speed 150 --outline after " +
				tt.moreArgs)
			if !strings.Contains(tt.moreArgs, "--power") {
				args = append(args, "--power", "35")
			}
			hatched := furrow(t, append([]string{"hatch", art, "-o", out, "--machine", machine, "--json"}, args...)...)
			checked := furrow(t, "check", out, "--machine", machine, "--json")
			requireSameFigures(t, hatched, checked)

			data, err := os.ReadFile(out)
			require.NoError(t, err)
			text := string(data)
			for _, want := range tt.with {
				require.Regexp(t, regexp.MustCompile(want), text)
			}
			for _, none := range tt.without {
				require.NotRegexp(t, regexp.MustCompile(none), afterComments(text))
			}
			require.Equal(t, afterComments(text), afterComments(rewritten(t, data, g)))
			for line := range strings.Lines(text) {
				require.LessOrEqual(t, len(strings.TrimRight(line, "\r\n")), 70)
				require.NotRegexp(t, `[XYIJFS]-0\b[^.]`, line)
			}
		})
	}
}

func requireSameFigures(t *testing.T, hatched, checked string) {
	t.Helper()
	var h, c map[string]json.RawMessage
	require.NoError(t, json.Unmarshal([]byte(hatched), &h))
	require.NoError(t, json.Unmarshal([]byte(checked), &c))
	require.Greater(t, len(c), 10)
	delete(c, "proved")
	delete(c, "not_proved")
	for key, got := range c {
		require.Equal(t, string(h[key]), string(got), key)
	}
}

// afterComments is a file without the comments at its head, which tell of the
// artwork and are not read back, and without that at its end, which sums them up.
func afterComments(text string) string {
	lines := strings.SplitAfter(text, "\n")
	for len(lines) > 0 && (strings.HasPrefix(lines[0], "(") || strings.HasPrefix(lines[0], ";")) {
		lines = lines[1:]
	}
	return closing.ReplaceAllString(strings.Join(lines, ""), "")
}

var closing = regexp.MustCompile(`(?m)^(\(|; )whole \d+ lines crc [0-9a-f]{8}\)?\r?\n`)

// rewritten is a file read and written again.
func rewritten(t *testing.T, data []byte, g machine.GCode) string {
	t.Helper()
	m, err := gcode.Read(bytes.NewReader(data), g)
	require.NoError(t, err)
	var again bytes.Buffer
	require.NoError(t, gcode.Encoder{Profile: g}.Encode(&again, m))
	return again.String()
}

// jobOf writes a job file for artwork, with a line of its fill.
func jobOf(t *testing.T, art, fill string) string {
	t.Helper()
	return write(t, "job.toml", fmt.Sprintf("furrow = 1\n[artwork]\nfile = %q\n[fill]\n%s\n", art, fill))
}
