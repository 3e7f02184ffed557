//go:build unix

package main

import (
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/claim"
	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/journal"
	"furrow/cmd/furrow/internal/runlog"
	"furrow/emit/link/simulate"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// sentOf is what the workshop's journal holds.
func (s *workshop) sentOf() (e journal.Entry) {
	text, err := os.ReadFile(s.path("settings/furrow/runs/bench.sent.json"))
	require.NoError(s.t, err)
	require.NoError(s.t, json.Unmarshal(text, &e))
	return e
}

// rest makes the rest of the workshop's file, as the hint of furrow send says.
func (s *workshop) rest(more ...string) (code int, said string) {
	args := []string{"resume", s.file, "-o", s.path("rest.nc"), "--machine", s.path("bench.toml"), "--force"}
	out, err := s.furrow(append(args, more...)...).CombinedOutput()
	return exitCode(err), string(out)
}

// A place by the clock is told as such: how much is marked twice if the machine had done all
// that it was sent, counted here by the lines of the file that mark, 20 mm each. A recipe
// that forbids it takes no place by the clock, but one that a person has looked for.
func TestResumeTellsWhatTheClockDoesNotKnow(t *testing.T) {
	t.Parallel()
	s := newWorkshop(t, simulate.Controller{Refuse: 300, Refused: "error:3"}, true)
	p := s.send()
	p.start()
	_, screen := p.end()
	require.Contains(t, screen, "furrow resume "+s.file+" -o REST --machine "+s.path("bench.toml")+" makes the rest")
	e := s.sentOf()
	require.True(t, e.Ended)
	require.Equal(t, 299, e.Taken)
	require.Less(t, e.Done, e.Taken)
	require.GreaterOrEqual(t, e.Sent, 300)
	marked := 0
	for _, line := range strings.Split(s.data, "\n")[e.Done:e.Sent] {
		if strings.HasSuffix(line, " S400") {
			marked++
		}
	}
	require.Positive(t, marked)
	code, said := s.rest("--json")
	require.Zero(t, code, said)
	var told restFigures
	require.NoError(t, json.Unmarshal([]byte(said), &told), said)
	require.True(t, told.ByClock)
	require.InDelta(t, told.AgainMM+20*float64(marked), told.MostMM, 1e-9)
	_, said = s.rest()
	require.Contains(t, said, "by the clock nothing is marked twice; up to ")
	require.Contains(t, said, "if the machine had done all that was sent")
	require.Contains(t, said, "a machine slower than its profile had not come to X")

	once := s.path("once.toml")
	require.NoError(t, os.WriteFile(once, []byte("furrow = 1\nid = \"once\"\nname = \"once\"\nmachine = \"bench\"\n"+
		"material = \"steel\"\npurpose = \"mark\"\nspeed_mm_s = 200\n"+
		"power_percent = 40\nspacing_mm = 0.1\nrework = false\n"), 0o600))
	code, said = s.rest("--recipe", once)
	require.Equal(t, fault.CodeWork, code, said)
	require.Contains(t, said, "up to ")
	require.Contains(t, said, "would be marked twice, which recipe once forbids")
	require.Contains(t, said, "--after-line N --exactly")
	code, said = s.rest("--recipe", once, "--after-line", "299", "--exactly")
	require.Zero(t, code, said)
	require.Contains(t, said, "twice        nothing is marked twice")

	// Another file takes the place of that place, and says so; its rest does not.
	require.NoError(t, os.WriteFile(s.path("bar.svg"), []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="9mm" `+
		`height="4mm"><rect width="9mm" height="4mm"/></svg>`), 0o600))
	s.tell("hatch", s.path("bar.svg"), "-o", s.path("bar.nc"), "--machine", s.path("bench.toml"), "--spacing", "1mm",
		"--speed", "100", "--power", "30")
	stopped := s.file
	for file, told := range map[string]bool{"bar.nc": true, "rest.nc": false} {
		s.file = s.path(file)
		s.reach(s.begin(true))
		p := s.send()
		p.until("Who stands at the stop?")
		p.types("no\r")
		_, screen := p.end()
		require.Equal(t, told, strings.Contains(screen, fmt.Sprintf("place        %s was stopped behind line %d, by the "+
			"clock: START drops that place", stopped, e.Done)), screen)
	}
}

// Where the program was killed it is not known what was sent last, and that is said. Where
// by the clock nothing was done yet, there is no rest, and a way on.
func TestResumeOfAProgramThatWasKilled(t *testing.T) {
	t.Parallel()
	s := newWorkshop(t, simulate.Controller{PerLine: 20 * time.Millisecond}, true)
	p := s.send()
	p.start()
	p.until("line 6")
	require.NoError(t, p.cmd.Process.Kill())
	p.end()
	require.False(t, s.sentOf().Ended)
	code, said := s.rest()
	require.Zero(t, code, said)
	require.Contains(t, said, "furrow was ended in the midst of it")
	require.Contains(t, said, "if the machine had done all that is known to be sent")

	e := s.sentOf()
	e.Done = 0
	text, err := json.Marshal(e)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(s.path("settings/furrow/runs/bench.sent.json"), text, 0o600))
	code, said = s.rest()
	require.Equal(t, fault.CodeWork, code, said)
	require.Contains(t, said, "by the clock the machine had done nothing of it")
	require.Contains(t, said, "send the whole file again")

	// Of a place that an earlier program kept it is not claimed how its run ended.
	old := []byte(fmt.Sprintf(`{"file": "x", "sha256": %q, "acknowledged_line": %d, "done_line": 5}`, e.SHA256, e.Taken))
	require.NoError(t, os.WriteFile(s.path("settings/furrow/runs/bench.sent.json"), old, 0o600))
	code, said = s.rest()
	require.Zero(t, code, said)
	require.Contains(t, said, "an earlier furrow sent it, and did not keep how much more was sent")
	require.NotContains(t, said, "ended in the midst")
	code, said = s.rest("--json")
	require.Zero(t, code, said)
	require.NotContains(t, said, "ended")
}

// Of a run that was killed the logs get a line at the next command, once: which parts were done
// by the clock, which was under way, and no time, since none is known. While a run is under way
// nothing is said of it.
func TestKilledRunIsWrittenDown(t *testing.T) {
	t.Parallel()
	s := ordered(t, simulate.Controller{PerLine: 20 * time.Millisecond}, "12", "")
	s.tell("order", s.path("job.toml"), "-o", s.path("other"))
	p := s.send("--load", "2", "--note", "blue")
	p.start()
	p.until("part 6 pocket 2")
	deadline := time.Now().Add(10 * time.Second)
	for s.sentOf().Pending.Run.Parts == "" && time.Now().Before(deadline) {
		time.Sleep(50 * time.Millisecond)
	}
	require.NotContains(t, s.tell("log", s.path("other"), "--accept"), "cut short")
	require.NoError(t, p.cmd.Process.Kill())
	p.end()
	e := s.sentOf()
	require.Contains(t, s.tell("log", s.path("other"), "--accept", "--sure"), fmt.Sprintf("a run of %s on bench was cut "+
		"short behind line %d, when furrow was ended in the midst of it: written down in %s", s.file, e.Taken,
		s.path("bars/runs.csv")))
	r := s.lastRun()
	require.Equal(t, runlog.Stopped, r.What)
	require.Equal(t, 2, r.Load)
	under := map[string]string{"5": "part 6", "5-6": "part 7", "5-7": "part 8"}[r.Parts] // on a busy machine some are done
	require.NotEmpty(t, under, r.Parts)
	require.Zero(t, r.MeasuredS)
	require.Positive(t, r.Predicted.TotalS)
	require.Equal(t, fmt.Sprintf("blue; furrow was ended in the midst of it; line %d is the last that is known to be "+
		"acknowledged; %s under way", e.Taken, under), r.Note)
	code, said := s.rest()
	require.Zero(t, code, said)
	require.NotContains(t, said, "cut short behind", "it was told")
	require.Contains(t, said, "furrow was ended in the midst of it, and up to a second more was sent")
	own, _, err := runlog.Read(s.path("settings/furrow/runs/bench.csv"))
	require.NoError(t, err)
	require.Len(t, own, 1)
	require.Contains(t, s.tell("log", s.file, "--withdraw", "--machine", s.path("bench.toml")),
		"withdrawn    load-01.nc of "+r.Date+", in a time that is not known, load 2, in ")
}

// Where another run on a machine of that name is under way, its place stays, and that is said.
func TestPlaceOfAnotherRunStays(t *testing.T) {
	t.Parallel()
	s := newWorkshop(t, simulate.Controller{Refuse: 30, Refused: "error:3"}, true)
	require.NoError(t, os.MkdirAll(s.path("settings/furrow/runs"), 0o755))
	own, err := claim.Lay(s.path("settings/furrow/runs/bench.sent.json.lock"))
	require.NoError(t, err)
	defer own.Close()
	p := s.send()
	p.start()
	code, screen := p.end()
	require.Equal(t, fault.CodeWork, code, screen)
	require.Contains(t, screen, "place        another file runs on bench: the place of this one is not kept")
	require.NoFileExists(t, s.path("settings/furrow/runs/bench.sent.json"))
}

// tell runs the program and returns what it says.
func (s *workshop) tell(args ...string) string {
	out, err := s.furrow(args...).CombinedOutput()
	require.NoError(s.t, err, string(out))
	return string(out)
}

// The place is kept though nothing is heard: a controller that answered 199 lines at once and
// then nothing has taken 199, as the program that was killed kept.
func TestPlaceIsKeptWhileNothingIsHeard(t *testing.T) {
	t.Parallel()
	s := newWorkshopOf(t, benchMachine(), benchFile(t), simulate.Controller{Forget: 200}, true,
		func(l *machine.Link) { l.AnswerS = 60 })
	p := s.send()
	p.start()
	p.until("line 199")
	first := s.sentOf()
	deadline := time.Now().Add(10 * time.Second)
	for s.sentOf().Taken < 199 && time.Now().Before(deadline) {
		time.Sleep(50 * time.Millisecond)
	}
	require.NoError(t, p.cmd.Process.Kill())
	p.end()
	require.Positive(t, first.Taken, "it is kept from the first answer on")
	require.Equal(t, 199, s.sentOf().Taken)
}

// Where the machine stands for the operator, all before that is done, however quickly the
// controller has answered: the part is written down as done, and the rest begins behind it.
func TestAllIsDoneWhereTheMachineStands(t *testing.T) {
	t.Parallel()
	p := plotter()
	s := newWorkshopOf(t, p, plotterFile(t, p), simulate.Controller{GoOn: 0x11, Waits: "M0"}, true)
	seat := s.send()
	seat.start()
	seat.until("stops for you: Enter goes on")
	time.Sleep(time.Second)
	seat.types("q")
	code, screen := seat.end()
	require.Equal(t, fault.CodeWork, code, screen)
	e := s.sentOf()
	require.Equal(t, e.Taken, e.Done)
	lines := strings.Split(s.data, "\n")
	require.True(t, strings.HasPrefix(lines[e.Taken], "M0"), "the next one is that of the stop")
	runs, _, err := runlog.Read(s.path("settings/furrow/runs/bench.csv"))
	require.NoError(t, err)
	require.Equal(t, "3", runs[0].Parts)
}
