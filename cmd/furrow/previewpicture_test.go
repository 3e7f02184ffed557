package main

import (
	"bytes"
	"fmt"
	"hash/crc32"
	"image/color"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/view"
	"furrow/raster/density"

	"github.com/stretchr/testify/require"
)

// dotted is a list of dots every 2 mm and one mark, 1 ms each dot.
func dotted(t *testing.T, marks string) string {
	t.Helper()
	body := "markvec 1\nfield 1000000 1000000\ncorrected 0\n" +
		"setting 0 speed 1000 jumpspeed 4000 power 5000 frequency 50000 pulse 100 on 0 off 0 " +
		"jump 250 jumpmin 60 jumpfull 20000 mark 100 corner 40\n" +
		"use 0\n"
	for x := range 5 {
		body += fmt.Sprintf("J %d 0\nP 1000\n", x*20000)
	}
	body += marks
	n := func(word string) int { return strings.Count(body, "\n"+word+" ") }
	body += fmt.Sprintf("end %d %d 0 %08x\n", n("J"), n("M"), crc32.ChecksumIEEE([]byte(body)))
	file := filepath.Join(t.TempDir(), "dots.mvl")
	require.NoError(t, os.WriteFile(file, []byte(body), 0o600))
	return file
}

// A dot has the energy of its pulses and the time that it takes: 50 percent of 50 W
// for 1 ms is 25 mJ (arithmetic).
func TestDotsHaveEnergyAndTime(t *testing.T) {
	a := &app{stderr: &bytes.Buffer{}}
	c, err := a.openWritten(dotted(t, ""), "example-fibre", proof.Look)
	require.NoError(t, err)
	defer c.close()
	require.Equal(t, 50.0, c.Machine.Laser.RatedPowerW)
	s, err := view.OfFile(c.File)
	require.NoError(t, err)
	o := density.Options{Show: density.ShowDose}
	require.NoError(t, s.AddFacts(&o, 0))
	require.Len(t, s.Program.Strokes, 5)
	require.Len(t, o.Marking, 5)
	for i, m := range o.Marking {
		require.InEpsilon(t, 0.025, m.EnergyJ, 1e-9)
		require.Equal(t, time.Millisecond, m.End-m.Start)
		if i > 0 { // jumps of 2 mm at 4,000 mm/s, and their delay
			require.Greater(t, m.Start-o.Marking[i-1].End, 500*time.Microsecond)
		}
	}
}

// Every flag of a number names its range, and nothing is left behind.
func TestPictureFlagsNameTheirRange(t *testing.T) {
	file := dotted(t, "J 0 -20000\nM 80000 -20000\n")
	for flag, c := range map[string]struct {
		bad   []string
		names string
	}{
		"--dpi": {[]string{"0", "-1", "0.5", "1e6"}, "1 to 100000 pixels an inch"},
		"--size": {[]string{"0", "-5", "299", "20001", "1e3", "99999999999999999999", "NaN", ""},
			"300 to 20000"},
		"--film-seconds": {[]string{"0", "-1", "0.5", "61", "1e300"}, "use 1 to 60"},
		"--window": {[]string{
			"0,0,0,1", "0,0,1,-1", "0,0,1e-9,1", "0,0,1e6,1", "0,0,1,1e300",
		}, "0.001 to 20000 mm wide and high"},
	} {
		for _, bad := range c.bad {
			out := filepath.Join(t.TempDir(), "x.png")
			var stdout, stderr bytes.Buffer
			args := []string{"preview", file, "-o", out, flag + "=" + bad}
			if flag == "--film-seconds" {
				args = append(args, "--film", out+".film.png")
			}
			require.Equal(t, fault.CodeUsage, run(args, nil, &stdout, &stderr), "%s=%s", flag, bad)
			require.Contains(t, stderr.String(), c.names, "%s=%s", flag, bad)
			require.NoFileExists(t, out)
		}
	}
	for _, bad := range []string{
		"--window=NaN,0,1,1", "--window=0,Inf,1,1", "--window=0,0,Inf,1", "--window=0,0,1,NaN", "--window=1e300,0,1,1",
		"--window=0,-1e9,1,1", "--window=0,0,1e400,1", "--dpi=NaN", "--dpi=Inf", "--dpi=x", "--dpi=", "--size=1.5",
		"--film-seconds=NaN",
	} {
		_, said, code := previewed(t, file, bad)
		require.Equal(t, fault.CodeUsage, code, "%s: %s", bad, said)
	}
}

func previewed(t *testing.T, args ...string) (out []byte, said string, code int) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	code = run(append([]string{"preview", "-o", "-", "--size", "500"}, args...), nil, &stdout, &stderr)
	return stdout.Bytes(), stderr.String(), code
}

// A dot is a mark of its own: it has a place.
func TestPreviewShowsDots(t *testing.T) {
	file := dotted(t, "J 0 -20000\nM 80000 -20000\n")
	ground := color.RGBA{243, 243, 243, 255} // of the field
	for _, show := range []string{"dose", "finish", "sequence", "rows"} {
		mm2 := areas(t, file, "--machine", "example-fibre", "--show", show, "--mark-width", "1mm",
			"--window", "-1,-1,10,2")
		// Five discs 1 mm across, with the pixels of 0.1 mm that their edges touch by a
		// sixteenth at least.
		require.InDelta(t, 10*2-5*math.Pi/4*1.06*1.06, mm2[ground], 0.6, show)
	}
	for _, show := range []string{"travel", "density"} {
		_, said, code := previewed(t, file, "--machine", "example-fibre", "--show", show, "--crop")
		require.Equal(t, fault.CodeDone, code, "%s: %s", show, said)
	}
	_, said, code := previewed(t, dotted(t, ""), "--show", "density")
	require.Equal(t, fault.CodeWork, code)
	require.Contains(t, said, "dots have no length")
}
