//go:build unix

package main

import (
	"math/rand/v2"
	"os"
	"strings"
	"syscall"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/runlog"
	"furrow/emit/clock"
	"furrow/emit/link/simulate"

	"github.com/stretchr/testify/require"
)

// q, control-C, and each signal that would end the program stop the machine; the log says
// so, and the rest can be made.
func TestSendStops(t *testing.T) {
	t.Parallel()
	for _, stop := range []func(p *seat){
		func(p *seat) { p.types("q") },
		func(p *seat) { p.types("\x03") },
		func(p *seat) { p.cmd.Process.Signal(os.Interrupt) },
		func(p *seat) { p.cmd.Process.Signal(syscall.SIGTERM) },
		func(p *seat) { p.cmd.Process.Signal(syscall.SIGHUP) },
		func(p *seat) { p.cmd.Process.Signal(syscall.SIGTSTP) },
	} {
		s := newWorkshop(t, simulate.Controller{PerLine: 3 * time.Millisecond}, true)
		p := s.send()
		p.start()
		p.until("line 1")
		stop(p)
		code, screen := p.end()
		require.Equal(t, fault.CodeWork, code, screen)
		require.Contains(t, screen, "Only the machine's own stop is sure: look")
		got := s.got()
		sent, stopped := strings.CutSuffix(got, theStop)
		require.True(t, stopped, screen)
		require.True(t, strings.HasPrefix(s.data, sent) && strings.HasSuffix(sent, "\n"))
		runs, _, err := runlog.Read(s.path("settings/furrow/runs/bench.csv"))
		require.NoError(t, err)
		require.Equal(t, runlog.Stopped, runs[0].What)
	}
}

// A file that was stopped goes on where the machine was, without a line being named.
func TestResumeTakesOver(t *testing.T) {
	s := newWorkshop(t, simulate.Controller{Refuse: 300, Refused: "error:3"}, true)
	p := s.send()
	p.start()
	code, screen := p.end()
	require.Equal(t, fault.CodeWork, code)
	require.Contains(t, screen, `line 300: the controller refused a line: "error:3"`)
	out, err := s.furrow("resume", s.file, "-o", s.path("rest.nc"), "--machine", s.path("bench.toml")).CombinedOutput()
	require.NoError(t, err, string(out))
	require.Contains(t, string(out), "acknowledged line 299")
}

// A dry run sends the same lines with every power 0, and the log says so.
func TestSendDry(t *testing.T) {
	s := newWorkshop(t, simulate.Controller{}, true)
	p := s.send("--dry")
	p.start()
	code, screen := p.end()
	require.Zero(t, code, screen)
	require.Contains(t, screen, "every power is 0")
	got := strings.Split(s.got(), "\n")
	want := strings.Split(s.data, "\n")
	require.Len(t, got, len(want))
	require.Contains(t, s.data, " S400")
	for i, line := range got {
		if !strings.Contains(line, "(whole") {
			require.Equal(t, strings.Replace(want[i], " S400", " S0", 1), line)
		}
	}
	runs, _, err := runlog.Read(s.path("settings/furrow/runs/bench.csv"))
	require.NoError(t, err)
	require.Equal(t, runlog.Doubtful, runs[0].What)
	require.Equal(t, "every power 0; far off the prediction", runs[0].Note)
}

// A time is doubted from a half more, or a third less, than is possible by the clock; of a
// run that was stopped, or dry, nothing else is said.
func TestSendDoubtsATime(t *testing.T) {
	t.Parallel()
	s := &sending{File: proof.File{Report: clock.Report{Parts: clock.Parts{Mark: 10 * time.Second}}}}
	for measured, want := range map[float64]runlog.What{
		0: runlog.Ran, 0.25: runlog.Doubtful, 6.6: runlog.Doubtful, 6.7: runlog.Ran, 10: runlog.Ran, 14.9: runlog.Ran,
		15.1: runlog.Doubtful,
	} {
		r := runlog.Run{What: runlog.Ran, MeasuredS: measured}
		require.Equal(t, want == runlog.Doubtful, s.doubts(&r))
		require.Equal(t, want, r.What, "%g s", measured)
	}
	s.Span = figures.Span{Low: 5 * time.Second, High: 20 * time.Second}
	for measured, want := range map[float64]runlog.What{3.3: runlog.Doubtful, 3.4: runlog.Dry, 29.9: runlog.Dry,
		30.1: runlog.Doubtful} {
		r := runlog.Run{What: runlog.Dry, MeasuredS: measured}
		s.doubts(&r)
		require.Equal(t, want, r.What, "%g s", measured)
	}
	r := runlog.Run{What: runlog.Stopped, MeasuredS: 0.25}
	require.False(t, s.doubts(&r))
	require.Equal(t, runlog.Stopped, r.What)
}

// A hold by the space bar lasts until Enter, and is no part of the measured time.
func TestSendHolds(t *testing.T) {
	t.Parallel()
	s := newWorkshop(t, simulate.Controller{Hold: 0x13, GoOn: 0x11, PerLine: time.Millisecond}, true)
	p := s.send()
	p.start()
	began := time.Now()
	p.until("line 1")
	p.types(" ")
	p.until("held")
	time.Sleep(700 * time.Millisecond)
	p.types("\r")
	code, screen := p.end()
	require.Zero(t, code, screen)
	require.Equal(t, s.data, strings.NewReplacer("\x13", "", "\x11", "").Replace(s.got()))
	runs, _, err := runlog.Read(s.path("settings/furrow/runs/bench.csv"))
	require.NoError(t, err)
	require.Contains(t, runs[0].Note, "held once")
	require.Less(t, runs[0].MeasuredS, time.Since(began).Seconds()-0.7)
}

// However the program ends, the controller has got the stop, or what stands last on the
// screen says that the beam may be on.
func TestSendKilled(t *testing.T) {
	t.Parallel()
	kills := 8
	if os.Getenv("FURROW_STRICT") == "1" {
		kills = 100
	}
	seed := uint64(time.Now().UnixNano())
	r := rand.New(rand.NewPCG(seed, 0))
	signals := []syscall.Signal{syscall.SIGKILL, syscall.SIGTERM, syscall.SIGKILL, syscall.SIGINT, syscall.SIGHUP}
	stopped := 0
	for i := range kills {
		s := newWorkshop(t, simulate.Controller{PerLine: time.Millisecond}, i%2 == 0)
		p := s.send()
		p.start()
		p.until("START\r\n")
		time.Sleep(time.Duration(r.Int64N(int64(120 * time.Millisecond))))
		sig := signals[i%len(signals)]
		require.NoError(t, p.cmd.Process.Signal(sig))
		_, screen := p.end()
		sent, got := strings.CutSuffix(s.got(), theStop)
		require.True(t, strings.HasPrefix(s.data, sent), "seed %d, kill %d by %v", seed, i, sig)
		last := screen[strings.LastIndex(strings.TrimRight(screen, "\r\n"), "\n")+1:]
		require.True(t, got || sent == "" || strings.Contains(last, "BEAM MAY BE ON"), "seed %d, kill %d by %v: %s",
			seed, i, sig, screen)
		if got {
			stopped++
		}
	}
	require.Positive(t, stopped)
	require.Less(t, stopped, kills)
}
