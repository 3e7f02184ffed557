package main

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/fault"
	ramps "furrow/raster/colour"
	"furrow/raster/density"

	"github.com/stretchr/testify/require"
)

// squareJob is a job of a square of 10 mm in the middle of a blank of 30 mm, in a
// folder of its own; more is added to the job file.
func squareJob(t *testing.T, more string) string {
	t.Helper()
	dir := t.TempDir()
	art := `<svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="10mm" viewBox="0 0 10 10">
<rect width="10" height="10"/></svg>`
	require.NoError(t, os.WriteFile(filepath.Join(dir, "square.svg"), []byte(art), 0o600))
	file := filepath.Join(dir, "job.toml")
	job := "furrow = 1\n" + more + "\n[artwork]\nfile = \"square.svg\"\nat = \"10,10\"\n"
	require.NoError(t, os.WriteFile(file, []byte(job), 0o600))
	return file
}

// areas returns the mm2 that each colour covers in a picture.
func areas(t *testing.T, args ...string) map[color.RGBA]float64 {
	t.Helper()
	out, said, code := previewed(t, append(args, "--dpi", "254")...)
	require.Equal(t, fault.CodeDone, code, said)
	img, err := png.Decode(bytes.NewReader(out))
	require.NoError(t, err)
	mm2 := map[color.RGBA]float64{}
	for pix := img.(*image.RGBA).Pix; len(pix) > 0; pix = pix[4:] {
		mm2[color.RGBA{pix[0], pix[1], pix[2], 255}] += 0.01
	}
	return mm2
}

// The finish shows the blank's colour as the job names it, and on it the tone of
// the recipe; the command line goes before both.
func TestFinishTakesTheJobsBlankAndTheRecipesTone(t *testing.T) {
	const blank = "[blank]\nwidth = 30\nheight = 30\n"
	slate := color.RGBA{0x2f, 0x4f, 0x4f, 255} // SVG 2's darkslategrey, from memory
	for name, c := range map[string]struct {
		job          string
		args         []string
		blank, marks color.RGBA
	}{
		"lighter": {"recipe = \"example-co2-plastic\"\n" + blank + `colour = "dark slate grey"`, nil, slate,
			density.Lighter(slate)},
		"darker": {"recipe = \"example-co2-birch\"\n" + blank + `colour = "#2F4F4F"`, nil, slate,
			density.Darker(slate)},
		"asked for": {
			"recipe = \"example-co2-birch\"\n" + blank + `colour = "#2f4f4f"`,
			[]string{"--blank-colour", "#102030", "--tone", "#fedcba"},
			color.RGBA{0x10, 0x20, 0x30, 255}, color.RGBA{0xfe, 0xdc, 0xba, 255},
		},
	} {
		mm2 := areas(t, append([]string{squareJob(t, c.job), "--show", "finish"}, c.args...)...)
		require.InEpsilon(t, 30*30-10*10, mm2[c.blank], 0.02, "%s: the blank", name)
		require.InEpsilon(t, 10*10, mm2[c.marks], 0.06, "%s: the marks", name)
	}
}

func TestUnknownColourOfTheBlankIsRefused(t *testing.T) {
	job := squareJob(t, "machine = \"example-co2\"\n[blank]\nwidth = 30\nheight = 30\ncolour = \"walnut\"")
	_, said, code := previewed(t, job, "--spacing", "0.2mm", "--speed", "250", "--power", "40")
	require.Equal(t, fault.CodeUsage, code, said)
	require.Regexp(t, `toml:\d+: blank.colour: "walnut" is no colour: write it as #rrggbb`, said)
}

// 20 W at 500 mm/s in rows 50 um apart lay down P/(v h) = 0.8 J/mm2 = 80 J/cm2 a
// pass (formula from memory). Passes and directions add. Of a scale from 0 to top, n J/cm2
// have the colour n/top of the way.
func TestDoseOfTheWorkedExampleInAPicture(t *testing.T) {
	profile := filepath.Join(t.TempDir(), "laser.toml")
	var stdout, stderr bytes.Buffer
	require.Equal(t, fault.CodeDone, run([]string{"machines", "show", "example-co2"}, nil, &stdout, &stderr))
	text := strings.NewReplacer("rated_power_w = 40", "rated_power_w = 20", "[500.0, 300.0]",
		"[500.0, 500.0]").Replace(stdout.String())
	require.NoError(t, os.WriteFile(profile, []byte(text), 0o600))
	for name, c := range map[string]struct {
		args      []string
		dose, top float64
	}{
		"a pass":                 {nil, 80, 80},
		"crossed, at half power": {[]string{"--cross", "--power", "50"}, 80, 80},
		"crossed, two passes":    {[]string{"--cross", "--passes", "2"}, 320, 400},
	} {
		args := []string{squareJob(t, ""), "--machine", profile, "--spacing", "50um", "--speed", "500",
			"--power", "100",
			"--mark-width", "50um", "--inset", "0", "--effort", "quick", "--show", "dose"}
		mm2 := areas(t, append(args, c.args...)...)
		ramp := ramps.Cividis.Reversed()
		sum := 0.0
		for _, off := range []float64{-2, -1, 0, 1, 2} { // hundredths; a colour is 1/255
			at := min(1, c.dose/c.top*(1+off/200))
			sum += mm2[ramp.At(at)]
			delete(mm2, ramp.At(at))
		}
		require.InEpsilon(t, 10*10, sum, 0.06, name)
	}
}

// A clamp in the head's way is a reason to look, not one to see nothing.
func TestPreviewShowsWhatCannotBeMarked(t *testing.T) {
	t.Parallel()
	job := squareJob(t, "machine = \"example-co2\"\nkeep_out = [[0, 12, 8, 18]]\n"+
		"[blank]\nmaterial = \"6061\"\nwidth = 30\nheight = 30\nthickness = 1")
	args := []string{"--spacing", "0.2mm", "--speed", "250", "--power", "40"}
	var stdout, stderr bytes.Buffer
	require.Equal(t, fault.CodeWork, run(append([]string{"hatch", job, "-o", "-"}, args...), nil, &stdout, &stderr))
	require.Contains(t, stderr.String(), "keep-out")
	for _, show := range density.Shows() {
		_, said, code := previewed(t, append([]string{job, "--show", show}, args...)...)
		require.Equal(t, fault.CodeDone, code, said)
		require.Contains(t, said, "warning: the head passes")
	}
}

func TestMarksBesideTheBlankAreTold(t *testing.T) {
	args := []string{"--spacing", "0.15mm", "--speed", "250", "--power", "40"}
	for size, want := range map[string]string{"30": "",
		"15": "marks reach past the blank of 15.0 x 15.0 mm: 5.00 mm right", "19.9": "0.10 mm right"} {
		job := squareJob(t, "machine = \"example-co2\"\n[blank]\nwidth = "+size+"\nheight = "+size)
		_, said, code := previewed(t, append([]string{job}, args...)...)
		require.Equal(t, fault.CodeDone, code, said)
		if want == "" {
			require.Empty(t, said)
		}
		require.Contains(t, said, want)
	}
}
