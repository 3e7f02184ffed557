//go:build unix

package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/runlog"
	"furrow/emit/link/simulate"

	"github.com/stretchr/testify/require"
)

// ordered is a workshop with the folder of an order of so many bars, four a load.
func ordered(t *testing.T, c simulate.Controller, quantity, more string) *workshop {
	s := newWorkshop(t, c, true)
	art := `<svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="4mm" viewBox="0 0 10 4"><rect width="10" ` +
		`height="4"/></svg>`
	require.NoError(t, os.WriteFile(s.path("bar.svg"), []byte(art), 0o644))
	job := "furrow = 1\nmachine = \"bench.toml\"\n[order]\nname = \"bars\"\nquantity = " + quantity + "\n" +
		"[blank]\nmaterial = \"slate\"\nwidth = \"12mm\"\nheight = \"6mm\"\n[artwork]\nfile = \"bar.svg\"\n" +
		"[fill]\nspacing = \"0.5mm\"\nspeed_mm_s = 200\npower_percent = 40\n" +
		"[fixture]\ncolumns = 2\nrows = 2\npitch = [\"15mm\", \"10mm\"]\n" + more
	require.NoError(t, os.WriteFile(s.path("job.toml"), []byte(job), 0o644))
	out, err := s.furrow("order", s.path("job.toml"), "-o", s.path("bars"), "--effort", "quick").CombinedOutput()
	require.NoError(t, err, string(out))
	s.file = s.path("bars/load-01.nc")
	data, err := os.ReadFile(s.file)
	require.NoError(t, err)
	s.data = string(data)
	return s
}

// lastRun is what both logs hold last.
func (s *workshop) lastRun() runlog.Run {
	own, _, err := runlog.Read(s.path("settings/furrow/runs/bench.csv"))
	require.NoError(s.t, err)
	require.NotEmpty(s.t, own)
	ofOrder, _, err := runlog.Read(filepath.Join(filepath.Dir(s.file), "runs.csv"))
	require.NoError(s.t, err)
	require.Equal(s.t, own[len(own)-1], ofOrder[len(ofOrder)-1])
	return own[len(own)-1]
}

// The log of a run says which load it was and which parts, as the order's table tells: all
// of them, or those that were done when the run was stopped.
func TestSendLogsLoadAndParts(t *testing.T) {
	t.Parallel()
	s := ordered(t, simulate.Controller{}, "4", "")
	p := s.send()
	p.until("order        load 1, parts 1 to 4")
	p.start()
	code, screen := p.end()
	require.Zero(t, code, screen)
	require.Contains(t, screen, "part 4 pocket 4")
	r := s.lastRun()
	require.Equal(t, 1, r.Load)
	require.Equal(t, "1-4", r.Parts)
	require.Equal(t, "load-01.nc", r.File)

	s = ordered(t, simulate.Controller{}, "4", "")
	p = s.send("--dry")
	p.start()
	code, screen = p.end()
	require.Zero(t, code, screen)
	r = s.lastRun()
	require.Equal(t, 1, r.Load)
	require.Empty(t, r.Parts, "nothing is marked")
}

// A run that is stopped in the third part has two done.
func TestSendLogsThePartsThatAreDone(t *testing.T) {
	t.Parallel()
	begins := 0
	s := ordered(t, simulate.Controller{}, "4", "")
	for i, line := range strings.Split(s.data, "\n") {
		if strings.HasPrefix(line, "(part 3 ") {
			begins = i
		}
	}
	require.Positive(t, begins)
	s = ordered(t, simulate.Controller{Refuse: begins + 12, Refused: "error", PerLine: 30 * time.Millisecond}, "4", "")
	p := s.send("--note", "blue ones")
	p.start()
	_, screen := p.end()
	require.Contains(t, screen, "the controller refused a line")
	r := s.lastRun()
	require.Equal(t, runlog.Stopped, r.What)
	require.Equal(t, "1-2", r.Parts, screen)
	require.Contains(t, r.Note, "blue ones; the controller refused a line")
	require.Contains(t, r.Note, "part 3 under way")

	require.Contains(t, screen, "furrow resume "+s.file+" -o "+s.path("bars/REST"))
	code, told := s.rest()
	require.Zero(t, code, told)
	require.Contains(t, told, "the order's log takes a run of it where it lies in "+s.path("bars"))
	s.sendRest("order        load 1, parts 3, 4")
	require.Equal(t, "3-4", s.lastRun().Parts)
	require.Equal(t, 1, s.lastRun().Load)
	require.Equal(t, "rest.nc", s.lastRun().File)

	// A rest of the rest, timed by a watch.
	out, err := s.furrow("resume", s.file, "-o", s.path("bars/last.nc"), "--after-part", "3", "--machine",
		s.path("bench.toml")).CombinedOutput()
	require.NoError(t, err, string(out))
	require.NotContains(t, string(out), "the order's log takes")
	out, err = s.furrow("log", s.path("bars/last.nc"), "--measured", "7s", "--sure", "--machine",
		s.path("bench.toml")).CombinedOutput()
	require.NoError(t, err, string(out))
	require.Equal(t, "4", s.lastRun().Parts)
	require.Equal(t, 1, s.lastRun().Load)
}

// sendRest makes the rest of the workshop's file, in its order's folder, and runs it on a new
// controller, of which the screen tells something.
func (s *workshop) sendRest(tells string, more ...string) {
	file := s.file
	s.file = filepath.Join(filepath.Dir(file), "rest.nc")
	out, err := s.furrow("resume", file, "-o", s.file, "--machine", s.path("bench.toml")).CombinedOutput()
	require.NoError(s.t, err, string(out))
	s.setup.Controller = simulate.Controller{}
	s.reach(s.begin(true))
	p := s.send(more...)
	p.start()
	code, screen := p.end()
	require.Zero(s.t, code, screen)
	require.Contains(s.t, screen, tells)
}

// Loads that are alike share a file: which of them is run is said, or left open. Rows that
// run across parts name their pockets.
func TestSendAsksForTheLoad(t *testing.T) {
	t.Parallel()
	s := ordered(t, simulate.Controller{}, "12", "")
	require.NotContains(t, s.data, "(part")
	p := s.send()
	p.until("it is run by 3 loads: 1 to 3; --load N says which")
	p.start()
	code, screen := p.end()
	require.Zero(t, code, screen)
	require.Contains(t, screen, "pocket 4")
	r := s.lastRun()
	require.Zero(t, r.Load)
	require.Empty(t, r.Parts)

	s = ordered(t, simulate.Controller{}, "12", "sequence = \"across\"\n")
	p = s.send("--load", "2")
	p.until("load 2, parts 5 to 8")
	p.start()
	code, screen = p.end()
	require.Zero(t, code, screen)
	r = s.lastRun()
	require.Equal(t, 2, r.Load)
	require.Equal(t, "5-8", r.Parts)
	out, err := s.furrow("send", s.file, "--load", "7", "--machine", s.path("bench.toml")).CombinedOutput()
	require.Error(t, err)
	require.Contains(t, string(out), "load 7 does not run")
	require.Contains(t, string(out), "3 loads: 1 to 3")
}

func TestPlacesInAFile(t *testing.T) {
	t.Parallel()
	s := saying(t, "G21\n; the rest of load-02.nc, begins at X1 Y-2.5\n(part 12 pocket 3)\nG0 X1\n"+
		"; pocket 4\n(pockets 1 to 3, 7)\n(pocket)\nN7 (part 2 pocket 1)\n")
	require.Equal(t, "load-02.nc", s.restOf)
	require.Equal(t, []place{
		{line: 2, note: "part 12 pocket 3", parts: []int{12}, pockets: []int{3}},
		{line: 4, note: "pocket 4", pockets: []int{4}},
		{line: 5, note: "pockets 1 to 3, 7", pockets: []int{1, 2, 3, 7}},
		{line: 7, note: "part 2 pocket 1", parts: []int{2}, pockets: []int{1}},
	}, s.places)
	require.Nil(t, s.parts(), "one of them does not tell")
	require.Equal(t, "part 12 pocket 3", s.places[0].words())
	require.Equal(t, "pockets 1 to 3, 7", s.places[2].words())
	s.filling.Parts = []int{9, 12}
	require.Nil(t, s.parts(), "of a load of which it is the rest")
	s.restOf = ""
	require.Equal(t, []int{9, 12}, s.parts())
	s.places = s.places[:1]
	require.Equal(t, []int{12}, s.parts())
}
