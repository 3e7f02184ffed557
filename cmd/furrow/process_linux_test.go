package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// BenchmarkProcess goes from an SVG file to a written list as a process of its
// own, and tells its greatest resident memory: 1,000 bars and 1,000 rows, a
// million spans.
func BenchmarkProcess(b *testing.B) {
	in := write(b, "bars.svg", bars(1000))
	out := filepath.Join(b.TempDir(), "bars.mvl")
	for _, effort := range []string{"none", "quick"} {
		b.Run("effort="+effort, func(b *testing.B) {
			peak := int64(0)
			for b.Loop() {
				cmd := exec.Command(os.Args[0], "hatch", in, "-o", out, "--force", "--machine", "example-fibre",
					"--spacing", "0.1mm", "--speed", "1000", "--power", "50", "--frequency", "50kHz",
					"--effort", effort, "-q")
				cmd.Args[0] = "furrow" // which TestMain takes for the program
				require.NoError(b, cmd.Run())
				peak = max(peak, cmd.ProcessState.SysUsage().(*syscall.Rusage).Maxrss)
			}
			b.ReportMetric(float64(peak)/1000, "MB")
		})
	}
}
