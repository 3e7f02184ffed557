package journal

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"furrow/cmd/furrow/internal/claim"
	"furrow/cmd/furrow/internal/runlog"
	"furrow/cmd/furrow/internal/settings"
)

// Claim keeps the entry of a machine for this process, until it is given up or the process
// ends: the run of which it tells is under way so long. The error is claim.ErrTaken where
// another process has it.
func Claim(machine string) (io.Closer, error) {
	name, err := nameOf(machine)
	if err != nil {
		return nil, err
	}
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		return nil, err
	}
	return claim.Lay(name + ".lock")
}

// CutShort is a run that came to no end of its own, as a program's does that was killed.
type CutShort struct {
	Entry
	Run    runlog.Run
	Logs   []string // in which it now stands
	Failed []error  // of logs that could not be written
}

// Settle writes into their logs what is known of the runs that came to no end of their own,
// once each. A run that is under way is left alone, and so is one of which that is not known.
func Settle() (all []CutShort, err error) {
	dir, err := settings.Folder("runs")
	if err != nil {
		return nil, nil // no home: nothing is kept
	}
	files, err := os.ReadDir(dir)
	if err != nil {
		return nil, nil
	}
	for _, f := range files {
		machine, ours := strings.CutSuffix(f.Name(), extension)
		if !ours {
			continue
		}
		c, found, bad := settle(machine)
		if err = errors.Join(err, bad); found {
			all = append(all, c)
		}
	}
	return all, err
}

func settle(machine string) (c CutShort, found bool, err error) {
	own, err := Claim(machine)
	if err != nil {
		return c, false, nil
	}
	defer own.Close()
	e, found := Last(machine)
	if !found || e.Pending == nil {
		return c, false, nil
	}
	c = CutShort{Entry: e, Run: e.Pending.Run}
	var left []string
	for _, l := range e.Pending.Logs {
		switch err := runlog.Append(l, c.Run); {
		case err == nil:
			c.Logs = append(c.Logs, l)
		case !errors.Is(err, fs.ErrNotExist): // there is hope for another time
			left = append(left, l)
			fallthrough
		default:
			c.Failed = append(c.Failed, err)
		}
	}
	if e.Pending = nil; len(left) > 0 {
		e.Pending = &Pending{Logs: left, Run: c.Run}
	}
	return c, true, Keep(machine, e)
}
