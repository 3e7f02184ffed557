package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"io"
	"os"
	"path/filepath"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/settings"
	"furrow/emit/gcode"
	"furrow/emit/link"

	"github.com/spf13/pflag"
)

var sendCommand = command{
	name:     "send",
	synopsis: "FILE.nc --machine ID",
	summary:  "a file to its controller, with a person at the stop",
	about: `The machine runs while you watch it. furrow first proves the file as furrow check does,
opens the link that the profile's [link] names, says what is to be run, and waits for you
to type START on the terminal. Then the space bar holds, Enter goes on, q stops.

What it cannot do: it does not see the machine, the part or the people. A stop that it
sends may not arrive, and after it the controller may still move. If the link is lost,
the beam may be on. Only the machine's own stop is sure: somebody stands at it. Never
start a run and go away, and never from another room. See furrow help safety.`,
	example: `furrow send tag.nc --dry
furrow send tag.nc --note "batch 7"`,
	setup: func(fs *pflag.FlagSet) runner {
		var c sendFlags
		fs.StringVar(&c.machine, "machine", "", machineUsage)
		fs.StringVar(&c.port, "port", "", "serial port `NAME`, in place of the profile's")
		fs.Var((*nth)(&c.load), "load", "load `N` of the order, where several run the same file")
		fs.BoolVar(&c.dry, "dry", false, "with every power 0, to see the head go its way with the beam off")
		fs.StringVar(&c.note, "note", "", "for the log, `TEXT`")
		fs.BoolVar(&c.json, "json", false, "print what is written down of the run as JSON; the screen stays yours")
		return c.run
	},
}

type sendFlags struct {
	machine, port, note string
	load                int
	dry, json           bool
}

// sending is a file that is ready to be sent.
type sending struct {
	proof.File
	contents
	sum      string // SHA-256 of the file
	job      link.Job
	protocol link.Protocol
	dry      bool
	unkept   bool // another run on the machine has its place kept
	json     bool
	note     string
	asked    string // --machine, as it was given
}

func (c *sendFlags) run(a *app, args []string) error {
	name, err := oneFile(args, "written file")
	if err != nil {
		return err
	}
	if name == "-" {
		return fault.Usagef("a file that is sent has a name: the keyboard is for you")
	}
	data, err := readWhole(name)
	if err != nil {
		return err
	}
	s, err := c.prepare(a, name, data)
	if err != nil {
		return err
	}
	a.logCutShort()
	t, err := openTerminal(a)
	if err != nil {
		return err
	}
	defer t.close()
	return a.send(s, t)
}

// readWhole reads a file once: what was proved is what is sent, whatever becomes of it.
func readWhole(name string) ([]byte, error) {
	info, err := os.Stat(name)
	switch {
	case err != nil:
		return nil, fault.Unreadable(err)
	case !info.Mode().IsRegular():
		return nil, fault.Usagef("%s is not a plain file", name)
	case info.Size() > mostInput:
		return nil, fault.Usagef("%s has more than a thousand million bytes", name)
	}
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, fault.Unreadable(err)
	}
	return data, nil
}

// prepare proves the file and all else that can be known before the link is opened.
func (c *sendFlags) prepare(a *app, name string, data []byte) (*sending, error) {
	asked, err := findAsked(c.machine)
	if err != nil {
		return nil, err
	}
	f, err := readProved(name, bytes.NewReader(data), asked)
	if err != nil {
		return nil, err
	}
	if err := c.mayBeSent(f); err != nil {
		return nil, err
	}
	sum := sha256.Sum256(data)
	s := &sending{File: f, sum: hex.EncodeToString(sum[:]), dry: c.dry, json: c.json, note: c.note, asked: c.machine}
	if s.contents, err = contentsOf(name, bytes.NewReader(data), c.load); err != nil {
		return nil, err
	}
	if c.dry {
		if data, err = gcode.Dry(data, f.Machine.Controller()); err != nil {
			return nil, fault.Workf("%s: %w", name, err)
		}
	}
	s.protocol = link.Of(f.Machine.Profile)
	if s.job, err = link.NewJob(data, f.Machine.Profile); err != nil {
		return nil, fault.Workf("%s: %w", name, err)
	}
	if err := s.job.Fits(s.protocol.WindowBytes); err != nil {
		return nil, fault.Workf("%s: %w", name, err).Hintf("link.window_bytes of the profile may be wrong")
	}
	return s, nil
}

// mayBeSent refuses a file or a machine of which there is a doubt.
func (c *sendFlags) mayBeSent(f proof.File) error {
	m := f.Machine
	switch {
	case m == nil:
		return fault.Usagef("%s names no known profile", f.Name).Hintf("add --machine")
	case f.Moves.IsList():
		return fault.Usagef("%s is a mark-vector list: furrow sends G-code alone", f.Name).
			Hintf("run it with the program of the galvo's controller, or see furrow help play")
	case m.Link == nil:
		return fault.Usagef("the profile of %s has no [link], which says how its controller is reached", m.ID).
			Hintf("furrow help machines tells its keys; the controller's manual tells their values")
	case !f.Moves.Header.Whole:
		return fault.Workf("%s: %s", f.Name, proof.CannotBeWhole).Hintf("make it anew, with comments in the profile")
	case f.Moves.Header.Hash == "":
		return fault.Workf("%s does not say for which profile it was made", f.Name).Hintf("make it anew")
	case c.port != "" && m.Link.TCP != "":
		return fault.Usagef("--port is for a serial port, and %s is reached by tcp", m.ID)
	case c.port != "":
		l := *m.Link
		l.Port = c.port
		m.Link = &l
	}
	return nil
}

// readProved proves a file, with the profile that its order's folder keeps where it is
// known by no other.
func readProved(name string, r io.ReaderAt, asked *settings.Machine) (proof.File, error) {
	f, err := proof.Prove(name, r, asked)
	if err != nil || f.Machine != nil {
		return f, err
	}
	if kept, found := keptMachine(filepath.Clean(name)); found {
		return proof.Prove(name, r, kept)
	}
	return f, nil
}
