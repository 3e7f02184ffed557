package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/settings"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// refusal runs the program, wants the exit code and returns its messages.
func refusal(t *testing.T, code int, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	require.Equal(t, code, run(args, strings.NewReader(""), &out, &errs), "furrow %s: %s", strings.Join(args, " "),
		errs.String())
	return errs.String()
}

// tunedGantry is the example gantry, changed, as a file.
func tunedGantry(t *testing.T, change func(*machine.Profile)) string {
	t.Helper()
	p := exampleGantry()
	g := *p.GCode
	p.ID, p.GCode = "tuned", &g
	change(&p)
	text, err := settings.ProfileTOML(p)
	require.NoError(t, err)
	return write(t, "tuned.toml", string(text))
}

// Everything that check proves of a file, each broken once in one that is right:
// the text to replace, with what, and the message with its line.
func TestCheckProves(t *testing.T) {
	machine := tunedGantry(t, func(p *machine.Profile) {
		p.Gantry.Zero, p.Gantry.OriginMM = machine.ZeroBed, [2]float64{10, 10}
		p.GCode.Comments = machine.CommentsNone
	})
	good := filepath.Join(t.TempDir(), "good.nc")
	furrow(t, "hatch", jobOf(t, write(t, "badge.svg", badge), "outline_speed_mm_s = 100"), "-o", good, "--machine",
		machine, "--at", "20,20", "--spacing",
		"1mm", "--speed", "150",
		"--power", "35", "--outline", "after", "--effort", "quick")
	text, err := os.ReadFile(good)
	require.NoError(t, err)
	furrow(t, "check", good, "--machine", machine)
	const modes, end = "G21 G17 G90 G94\n", "M5 S0\nM2\n"
	require.True(t, strings.HasPrefix(string(text), modes+"M5 S0\nM3 S0\nG0 X"))
	require.True(t, strings.HasSuffix(string(text), end))
	for _, tt := range []struct{ name, old, changed, message string }{
		{"grammar", "G0 X", "G0 X--", "line 4: "},
		{"no exponent", "F9000", "F9e3", "line 5: 'E'"},
		{"modal groups", modes, "G21 G17 G90 G91 G94\n", "line 1: "},
		{"axis words", "G0 X", "G0 X1 X", "line 4: two X"},
		{"unit before motion", modes, "G17 G90 G94\n", "line 4: a move before the unit is set"},
		{"absolute before motion", modes, "G21 G17 G94\n", "line 4: a move before G90"},
		{"feed mode before motion", modes, "G21 G17 G90\n", "line 4: a move before G94"},
		{"feed before motion", " F9000", "", "line 5: motion with no feed set"},
		{"armed before a mark", "M3 S0\n", "", "while the beam is off"},
		{"armed at S0", "M5 S0\nM3 S0\n", "M5 S9\nM3\n", "line 3: M3 with no S"},
		{"S0 in a G0", "M3 S0\n", "M3 S0\nS5\n", "S is 5 in a G0"},
		{"S0 at the end", end, "M2\n", "the program ends without M5"},
		{"no S behind the last mark", end, "X0 S5\nM5\nM2\n", "the program ends with S5"},
		{"no dwell with the beam on", " S350\n", " S350\nG4 P1\n", "a dwell with S350"},
		{"no stop with the beam on", " S350\n", " S350\nM0\n", "a stop with S350"},
		{"S in range", " S350\n", " S1001\n", "line 6: S1001 is more than 1000"},
		{"S on a move", "M3 S0\n", "M3 S0\nS5\nS0\n", "line 4: S5 on a line that moves nothing"},
		{"feeds in the axes' limits", "F6000", "F40000", "666.7 mm/s exceeds the 520.5 mm/s of tuned"},
		{"travel on the bed", "G0 X", "G0 X0 Y-10.5\nX", "line 4: the head's travel"},
		{"no motion after the end", end, end + "G0 X1\n", "text behind the end of the program"},
		{"an end", end, "M5 S0\n", "the file does not end with M2 or M30"},
		{"line length", "M3 S0\n", "M3 S0" + strings.Repeat(" ", 66) + "\n",
			"line 3: 71 characters, which is more than 70"},
		{"only the profile's words", "S0\nG0 X", "S0\nF9000\nG2 I1 J0 X",
			"line 5: an arc, which the profile does not say"},
		{"only the profile's comments", "M3 S0\n", "M3 S0 ; armed\n", "line 3: a comment behind a semicolon"},
		{"power that follows speed", "M3 S0\n", "M4 S0\n",
			"line 3: M4 on a controller whose power does not follow speed"},
	} {
		require.Contains(t, string(text), tt.old, tt.name)
		broken := write(t, "broken.nc", strings.Replace(string(text), tt.old, tt.changed, 1))
		said := refusal(t, 1, "check", broken, "--machine", machine)
		require.Contains(t, regexp.MustCompile(` and \d+ more:`).ReplaceAllString(said, ":"), tt.message, tt.name)
	}
}

// Of many problems of a list check tells the first twenty, and that there may be
// more.
func TestCheckTellsThatItStops(t *testing.T) {
	list := dotted(t, strings.Repeat("M 10 0\nM 10 0\n", 25)) // the second of each goes nowhere
	said := refusal(t, 1, "check", list)
	require.Contains(t, said, "\nand perhaps more\n")
	require.Equal(t, proof.AuditLimit, strings.Count(said, "line "), said)
}

// What hatch does with the limits and habits of a gantry's profile.
func TestGantryProfile(t *testing.T) {
	t.Parallel()
	art := write(t, "tag.svg", tagArt)
	hatch := func(machine, power string, args ...string) []string {
		return append([]string{"hatch", art, "-o", filepath.Join(t.TempDir(), "tag.nc"), "--machine", machine,
			"--spacing", "1mm",
			"--speed", "150", "--power", power, "--effort", "quick"}, args...)
	}
	t.Run("bed", func(t *testing.T) {
		bed := tunedGantry(t, func(p *machine.Profile) { p.Gantry.Zero = machine.ZeroBed })
		require.Contains(t, furrow(t, hatch(bed, "35")...),
			"zero on the bed, the page's corner at X2.8 Y0, moved there to make room for the run-up")
		require.Contains(t, refusal(t, 1, hatch(bed, "35", "--at", "1,0")...), "1.795 mm past the left edge")
	})
	t.Run("overtravel by hand", func(t *testing.T) {
		short := tunedGantry(t, func(p *machine.Profile) { p.Gantry.OvertravelMM = 1 })
		args := hatch(short, "35")
		require.Contains(t, furrow(t, args...), "beyond the page 1.0 mm left, 1.0 mm right")
		require.Contains(t, refusal(t, 0, hatch(short, "35")...),
			"an overtravel of 1 mm, set by hand, is less than the 2.25 mm")
	})
	t.Run("floor", func(t *testing.T) {
		floor := tunedGantry(t, func(p *machine.Profile) { p.Laser.FloorPercent = 12 })
		require.Contains(t, refusal(t, 1, hatch(floor, "11")...),
			"below 12 percent, where the source of tuned does not fire")
		furrow(t, hatch(floor, "12")...)
	})
	t.Run("clamp in the profile", func(t *testing.T) {
		clamp := tunedGantry(t, func(p *machine.Profile) { p.Gantry.KeepOutMM = []machine.Clamp{{62, 0, 70, 10}} })
		require.Contains(t, refusal(t, 1, hatch(clamp, "35")...),
			"the head passes 0.795 mm into the keep-out from X62 Y0 to X70 Y10")
		slower := hatch(clamp, "35", "--speed", "100")
		require.Contains(t, furrow(t, slower...), "beyond the page 1.5 mm left")
	})
	t.Run("power curve", func(t *testing.T) {
		curve := tunedGantry(t, func(p *machine.Profile) {
			p.Laser.PowerCurve = [][2]float64{{10, 0}, {40, 20}, {100, 40}}
		})
		require.Regexp(t, `J/cm2 from 20 W`, furrow(t, hatch(curve, "40")...))
	})
	t.Run("motor steps", func(t *testing.T) {
		steps := tunedGantry(t, func(p *machine.Profile) { p.Gantry.StepsPerMM = [2]float64{80, 80} })
		require.Contains(t, refusal(t, 0, hatch(steps, "35", "--spacing", "0.0635mm")...),
			"5.08 motor steps of Y, so rows will lie unevenly; 0.0625 mm")
	})
	t.Run("planner", func(t *testing.T) {
		ring := write(t, "badge.svg", badge)
		planner := tunedGantry(t, func(p *machine.Profile) { p.GCode.LinkBytesPerS, p.GCode.LookaheadMoves = 0, 8 })
		message := refusal(t, 0, "hatch", ring, "-o", filepath.Join(t.TempDir(), "ring.nc"), "--machine", planner,
			"--outline", "only",
			"--speed", "100", "--power", "35", "--tolerance", "0.0005mm")
		require.Regexp(t, `the moves that the controller looks ahead limit this file to [\d.]+ mm/s in \d+ of \d+ `+
			`marks`,
			message)
	})
}

// Gaps in a row are swept where that is quicker by the clock; two logos far apart
// on a sheet are not swept across.
func TestIslands(t *testing.T) {
	for _, tt := range []struct {
		apart string
		swept bool
	}{{"3", true}, {"120", false}} {
		sheet := write(t, "sheet.svg",
			`<svg xmlns="http://www.w3.org/2000/svg" width="140mm" height="10mm" viewBox="0 0 140 10">
<rect width="8" height="10"/><rect x="8" width="8" height="10" transform="translate(`+tt.apart+`)"/></svg>`)
		got := hatchJSON(t, sheet, "--machine", "example-co2", "--speed", "150", "--power", "35", "--spacing", "0.5mm")
		require.Equal(t, tt.swept, got.GapMM > 0, "%s mm apart", tt.apart)
		require.InDelta(t, 2*8*20, got.MarkMM, 1e-6)
		if tt.swept {
			require.InDelta(t, 3*20, got.GapMM, 1e-6)
		} else {
			require.Less(t, got.TravelMM, 200.0, "once across, and the steps")
		}
	}
}

// endless is input that never ends.
type endless struct{ text string }

func (e endless) Read(p []byte) (int, error) {
	n := 0
	for n < len(p) {
		n += copy(p[n:], e.text)
	}
	return n, nil
}

// What comes in without an end is refused, as a file of its kind would be.
func TestInputWithoutAnEnd(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	var out, errs bytes.Buffer
	require.Equal(t, 2, run([]string{"check", "-"}, endless{"\x00"}, &out, &errs))
	require.Contains(t, errs.String(), "a million bytes without the end of a line")

	lines := strings.Repeat("G0 X1\n", mostLine)
	k, err := keep(strings.NewReader(lines), int64(len(lines)))
	require.NoError(t, err)
	require.NoError(t, k.discard())
	for _, r := range []io.Reader{endless{"G0 X1\n"}, strings.NewReader(lines + "\n")} {
		_, err = keep(r, int64(len(lines)))
		require.ErrorContains(t, err, "it does not end")
	}
	left, err := os.ReadDir(os.TempDir())
	require.NoError(t, err)
	require.Empty(t, left)
}

// A file names the blank that it was made for, and one whose marks leave it is refused.
func TestCheckKnowsTheBlank(t *testing.T) {
	art := write(t, "badge.svg", badge)
	for _, tt := range []struct{ machine, out, said, smaller string }{
		{"example-co2", "a.nc", "(blank 80 x 70 mm at X0 Y0, bleed 0.5 mm)",
			"(blank 12 x 70 mm at X0 Y0, bleed 0.5 mm)"},
		{"example-fibre", "a.mvl", "# blank 80 x 70 mm at X-40 Y-35, bleed 0.5 mm", ""},
	} {
		out := filepath.Join(t.TempDir(), tt.out)
		args := []string{"hatch", art, "-o", out, "--machine", tt.machine, "--spacing", "1mm", "--speed", "150",
			"--power", "35",
			"--blank-size", "80,70", "--bleed", "0.5mm", "--effort", "quick", "--json"}
		if tt.machine == "example-fibre" {
			args = append(args, "--frequency", "50kHz")
		}
		hatched := furrow(t, args...)
		checked := furrow(t, "check", out, "--json")
		requireSameFigures(t, hatched, checked)
		require.Contains(t, checked, "blank_mm")
		require.Contains(t, checked, "the marks lie on the blank of 80.0 x 70.0 mm, or over its edge by 0.5 mm at most")
		text, err := os.ReadFile(out)
		require.NoError(t, err)
		require.Contains(t, string(text), tt.said)
		if tt.smaller == "" {
			continue
		}
		open := regexp.MustCompile(`(?m)^\((whole|furrow|profile) .*\)\n`).
			ReplaceAllString(strings.Replace(string(text), tt.said, tt.smaller, 1), "")
		var stdout, stderr bytes.Buffer
		require.Equal(t, 1, run([]string{"check", write(t, "b.nc", open)}, strings.NewReader(""), &stdout, &stderr))
		require.Contains(t, stderr.String(), "marks reach past the blank of 12.0 x 70.0 mm that the file names: ")
	}
}

// A load's file names all its blanks, and each mark has to lie on one of them: none may reach
// from one to the next.
func TestCheckKnowsTheBlanksOfALoad(t *testing.T) {
	out := filepath.Join(t.TempDir(), "a.nc")
	furrow(t, "hatch", write(t, "badge.svg", badge), "-o", out, "--machine", "example-co2", "--spacing", "1mm",
		"--speed", "150",
		"--power", "35", "--blank-size", "80,70", "--effort", "quick")
	text, err := os.ReadFile(out)
	require.NoError(t, err)
	open := regexp.MustCompile(`(?m)^\((whole|furrow|profile) .*\)\n`).ReplaceAllString(string(text), "")
	whole, far := "(blank 80 x 70 mm at X0 Y0, bleed 0 mm)\n", "(blank 80 x 70 mm at X90 Y0, bleed 0 mm)\n"
	halves := "(blank 33 x 70 mm at X0 Y0, bleed 0 mm)\n(blank 47 x 70 mm at X33 Y0, bleed 0 mm)\n" // through the disc
	require.Contains(t, open, whole)
	for blanks, refused := range map[string]bool{far + whole: false, halves: true, far + far: true} {
		var stdout, stderr bytes.Buffer
		code := run([]string{"check", write(t, "b.nc", strings.Replace(open, whole, blanks, 1))}, strings.NewReader(""),
			&stdout, &stderr)
		if !refused {
			require.Zero(t, code, stderr.String())
			require.Contains(t, stdout.String(), "each mark lies on one of the 2 blanks that the file names")
			continue
		}
		require.Equal(t, 1, code)
		require.Contains(t, stderr.String(), "reaches past the nearest of the 2 blanks that the file names: ")
	}
}
