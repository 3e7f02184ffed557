// Package journal keeps how far the file came that was last sent to a machine, so that
// the rest of it can be made. It is written while the file runs: what ends the program
// does not lose it.
package journal

import (
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/runlog"
	"furrow/cmd/furrow/internal/settings"
)

// Entry is how far a file came.
type Entry struct {
	File   string `json:"file"`
	SHA256 string `json:"sha256"`
	Taken  int    `json:"acknowledged_line"` // the last one that the controller acknowledged
	Sent   int    `json:"sent_line"`         // the last one that was sent
	Done   int    `json:"done_line"`         // the last one that the machine was done with, by the clock
	Ended  bool   `json:"ended"`             // the run came to an end of its own: nothing was sent behind that

	// Pending is what the logs are to hold of a run that comes to no end of its own; nil where
	// they hold it.
	Pending *Pending `json:"pending,omitempty"`
}

// Pending is a line of logs that is not written yet.
type Pending struct {
	Logs []string   `json:"logs"`
	Run  runlog.Run `json:"line"`
}

// extension is that of the entries: they stand beside the machines' logs.
const extension = ".sent.json"

func nameOf(machine string) (string, error) {
	dir, err := settings.Folder("runs")
	if err != nil {
		return "", err
	}
	return filepath.Join(dir, filepath.Base(machine)+extension), nil
}

// Keep puts an entry in the place of the machine's last.
func Keep(machine string, e Entry) error {
	name, err := nameOf(machine)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		return fault.Usagef("%w", err)
	}
	text, err := json.MarshalIndent(e, "", "  ")
	if err != nil {
		return err
	}
	beside := name + ".new"
	if err := os.WriteFile(beside, append(text, '\n'), 0o644); err != nil {
		return err
	}
	return os.Rename(beside, name)
}

// Forget drops the entry of a machine whose file came to its end.
func Forget(machine string) error {
	name, err := nameOf(machine)
	if err == nil {
		err = os.Remove(name)
	}
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}

// Find returns the entry of a machine, if it is about a file with that sum. One that
// cannot be read is none.
func Find(machine, sha256 string) (Entry, bool) {
	e, found := Last(machine)
	return e, found && e.SHA256 == sha256
}

// Last returns the entry of a machine, whatever file it is about, if there is one that can be.
func Last(machine string) (e Entry, found bool) {
	name, err := nameOf(machine)
	if err != nil {
		return e, false
	}
	text, err := os.ReadFile(name)
	if err != nil || json.Unmarshal(text, &e) != nil {
		return Entry{}, false
	}
	return e, e.Done >= 0 && e.Taken >= e.Done
}
