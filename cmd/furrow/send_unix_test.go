//go:build unix

package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/runlog"
	"furrow/cmd/furrow/internal/settings"
	"furrow/emit"
	"furrow/emit/gcode"
	"furrow/emit/link/simulate"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/creack/pty"
	"github.com/stretchr/testify/require"
	"golang.org/x/term"
)

// theStop is what turns the machine of these tests off: the stop of its profile, and the
// line of RS-274 that turns the beam off.
const theStop = "\x04M5 S0\n"

// workshop is a folder with a profile, a file for it, and a controller that runs on its own.
type workshop struct {
	t          *testing.T
	dir        string
	controller *exec.Cmd
	setup      simulate.Setup
	machine    machine.Profile
	file, data string
}

// newWorkshop makes a file of some rows for a machine whose controller is reached by TCP or
// over a pseudo-terminal.
func newWorkshop(t *testing.T, c simulate.Controller, tcp bool) *workshop {
	return newWorkshopOf(t, benchMachine(), benchFile(t), c, tcp)
}

// newWorkshopOf is the same for another machine and file.
func newWorkshopOf(t *testing.T, p machine.Profile, file []byte, c simulate.Controller, tcp bool,
	more ...func(*machine.Link)) *workshop {
	s := &workshop{t: t, dir: t.TempDir(), machine: p}
	s.setup = simulate.Setup{Controller: c, TCP: tcp, Got: s.path("got"), Report: s.path("report")}
	s.reach(s.begin(tcp), more...)
	s.file, s.data = s.path("bars.nc"), string(file)
	require.NoError(t, os.WriteFile(s.file, file, 0o644))
	return s
}

// reach has the profile name a link.
func (s *workshop) reach(link machine.Link, more ...func(*machine.Link)) {
	link.Acknowledge, link.Refusal, link.Stop, link.ReadyS, link.AnswerS = "ok", "error", "\u0004", 0.02, 1
	link.Hold, link.GoOn, link.HoldsBeamOff = "\u0013", "\u0011", true
	for _, change := range more {
		change(&link)
	}
	s.machine.Link = &link
	text, err := settings.ProfileTOML(s.machine)
	require.NoError(s.t, err)
	require.NoError(s.t, os.WriteFile(s.path("bench.toml"), text, 0o644))
}

func benchMachine() machine.Profile {
	p := machine.Examples()[0]
	p.ID = "bench"
	return p
}

// benchFile is a file for that machine, of a hundred rows 20 mm long. How a controller is
// reached alters nothing in it.
func benchFile(t *testing.T) []byte {
	prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 200, Power: 0.4}}}
	for i := range 100 {
		y := float64(i) / 10
		prog.Append(path.Stroke{Sweep: int32(i + 1)}, path.Point{Y: y}, path.Point{X: 20, Y: y})
	}
	p := benchMachine()
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	m.Header.Profile, m.Header.Hash = p.ID, p.Hash()
	var b bytes.Buffer
	require.NoError(t, gcode.Encoder{Profile: p.Controller(), Comments: []string{"furrow " + version}}.Encode(&b, m))
	return b.Bytes()
}

func (s *workshop) path(name string) string { return filepath.Join(s.dir, name) }

// begin starts the controller and returns how it is reached.
func (s *workshop) begin(tcp bool) (l machine.Link) {
	text, err := json.Marshal(s.setup)
	require.NoError(s.t, err)
	s.controller = exec.Command(os.Args[0])
	s.controller.Env = append(os.Environ(), simulate.Variable+"="+string(text))
	s.t.Cleanup(func() { s.controller.Process.Kill() })
	if tcp {
		out, err := s.controller.StdoutPipe()
		require.NoError(s.t, err)
		require.NoError(s.t, s.controller.Start())
		address, err := bufio.NewReader(out).ReadString('\n')
		require.NoError(s.t, err)
		return machine.Link{TCP: strings.TrimSpace(address)}
	}
	master, terminal, err := pty.Open()
	require.NoError(s.t, err)
	_, err = term.MakeRaw(int(terminal.Fd()))
	require.NoError(s.t, err)
	s.controller.ExtraFiles = []*os.File{master}
	require.NoError(s.t, s.controller.Start())
	require.NoError(s.t, master.Close())
	s.t.Cleanup(func() { terminal.Close() })
	return machine.Link{Port: terminal.Name(), Baud: 115200}
}

// got is what came in at the controller, once it has nothing more to read.
func (s *workshop) got() string {
	last := -1
	for i := 0; ; i++ {
		data, err := os.ReadFile(s.setup.Got)
		require.NoError(s.t, err)
		if len(data) == last || i > 100 {
			return string(data)
		}
		last = len(data)
		time.Sleep(30 * time.Millisecond)
	}
}

func (s *workshop) furrow(args ...string) *exec.Cmd {
	c := exec.Command(os.Args[0], args...)
	c.Args[0] = "furrow" // which TestMain takes for the program
	c.Env = append(os.Environ(), "XDG_CONFIG_HOME="+s.path("settings"), "HOME="+s.dir)
	return c
}

// seat is a person at a terminal on which the program runs.
type seat struct {
	t      *testing.T
	cmd    *exec.Cmd
	screen *os.File
	text   strings.Builder
	all    chan string
}

// sit runs the program on a terminal of its own.
func (s *workshop) sit(args ...string) *seat { return s.sitAt(s.furrow(args...)) }

func (s *workshop) sitAt(c *exec.Cmd) *seat {
	p := &seat{t: s.t, cmd: c, all: make(chan string, 1000)}
	var err error
	p.screen, err = pty.StartWithSize(p.cmd, &pty.Winsize{Rows: 40, Cols: 200})
	require.NoError(s.t, err)
	s.t.Cleanup(func() { p.screen.Close(); p.cmd.Process.Kill() })
	go p.read()
	return p
}

// read passes on what comes to the screen, until the program is gone.
func (p *seat) read() {
	defer close(p.all)
	buf := make([]byte, 4096)
	for {
		n, err := p.screen.Read(buf)
		p.all <- string(buf[:n])
		if err != nil {
			return
		}
	}
}

func (s *workshop) send(more ...string) *seat {
	return s.sit(append([]string{"send", s.file, "--machine", s.path("bench.toml")}, more...)...)
}

// until reads the screen until a text stands on it.
func (p *seat) until(text string) {
	late := time.After(20 * time.Second)
	for !strings.Contains(p.text.String(), text) {
		select {
		case more, open := <-p.all:
			p.text.WriteString(more)
			require.True(p.t, open, "%q never came: %s", text, p.text.String())
		case <-late:
			require.Fail(p.t, "too late", "%q never came: %s", text, p.text.String())
		}
	}
}

func (p *seat) types(text string) {
	_, err := p.screen.WriteString(text)
	require.NoError(p.t, err)
}

func (p *seat) start() {
	p.until("Who stands at the stop?")
	p.types("START\r")
}

// end waits for the program and returns its exit code, and all that it showed.
func (p *seat) end() (code int, screen string) {
	for more := range p.all {
		p.text.WriteString(more)
	}
	return exitCode(p.cmd.Wait()), p.text.String()
}

// A person who types START has the whole file run, is shown how it stands, and finds the
// measured time in the log.
func TestSend(t *testing.T) {
	t.Parallel()
	for _, tcp := range []bool{true, false} {
		s := newWorkshop(t, simulate.Controller{Greeting: "Quillmere motion 7", PerLine: 500 * time.Microsecond}, tcp)
		p := s.send("--note", "a tag")
		p.start()
		code, screen := p.end()
		require.Zero(t, code, screen)
		require.Equal(t, s.data, s.got())
		for _, text := range []string{
			"controller   Quillmere motion 7", "eyewear", "Only the machine's own stop is sure",
			"space holds, Enter goes on, q stops",
			"BEAM MAY BE ON", "100 %", "measured", "predicted",
		} {
			require.Contains(t, screen, text)
		}
		runs, _, err := runlog.Read(s.path("settings/furrow/runs/bench.csv"))
		require.NoError(t, err)
		require.Len(t, runs, 1)
		require.Equal(t, runlog.Doubtful, runs[0].What, "it answers long before a machine could have moved")
		require.Contains(t, screen, "written down as doubtful: furrow tune leaves it out")
		require.Greater(t, runs[0].MeasuredS, 0.0005*float64(strings.Count(s.data, "\n")))
		require.Equal(t, "a tag; far off the prediction", runs[0].Note)
	}
}

// With its output apart from the screen, send tells a program what the log tells a person.
func TestSendAsJSON(t *testing.T) {
	t.Parallel()
	s := newWorkshop(t, simulate.Controller{PerLine: 500 * time.Microsecond}, true)
	told, err := os.Create(s.path("told.json"))
	require.NoError(t, err)
	defer told.Close()
	c := s.furrow("send", s.file, "--machine", s.path("bench.toml"), "--json")
	c.Stdout = told
	p := s.sitAt(c)
	p.start()
	code, screen := p.end()
	require.Zero(t, code, screen)
	require.NotContains(t, screen, "predicted_s")
	text, err := os.ReadFile(told.Name())
	require.NoError(t, err)
	var got struct {
		Logs      []string `json:"logs"`
		What      string   `json:"what"`
		File      string   `json:"file"`
		Machine   string   `json:"machine"`
		MeasuredS float64  `json:"measured_s"`
	}
	require.NoError(t, json.Unmarshal(text, &got), "%s", text)
	runs, _, err := runlog.Read(s.path("settings/furrow/runs/bench.csv"))
	require.NoError(t, err)
	require.Len(t, runs, 1)
	require.Equal(t, []string{s.path("settings/furrow/runs/bench.csv")}, got.Logs)
	require.Equal(t, string(runs[0].What), got.What)
	require.Equal(t, "bars.nc", got.File)
	require.Equal(t, "bench", got.Machine)
	require.InDelta(t, runs[0].MeasuredS, got.MeasuredS, 0.05)
}

// Nothing but START starts a machine, nothing but a terminal is asked, and never from the
// background.
func TestSendRefusesToStart(t *testing.T) {
	s := newWorkshop(t, simulate.Controller{}, true)
	out, err := s.furrow("send", s.file, "--machine", s.path("bench.toml")).CombinedOutput()
	require.Equal(t, fault.CodeUsage, exitCode(err))
	require.Contains(t, string(out), "from a terminal")

	p := s.send()
	p.until("Who stands at the stop?")
	p.types("start\r")
	code, screen := p.end()
	require.Equal(t, fault.CodeWork, code)
	require.Contains(t, screen, "not started")
	require.Empty(t, s.got())

	self, err := os.Executable()
	require.NoError(t, err)
	require.NoError(t, os.Symlink(self, s.path("furrow")))
	shell := s.furrow()
	shell.Path, shell.Args = "/bin/sh", []string{"sh", "-c", fmt.Sprintf("set -m; %q send %q --machine %q & wait $!",
		s.path("furrow"), s.file, s.path("bench.toml"))}
	b := s.sitAt(shell)
	code, screen = b.end()
	require.Equal(t, fault.CodeUsage, code, screen)
	require.Contains(t, screen, "never sent from the background")
	require.Empty(t, s.got())
}
