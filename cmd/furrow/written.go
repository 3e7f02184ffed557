package main

import (
	"bytes"
	"errors"
	"io"
	"os"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/settings"
	"furrow/emit"
	"furrow/emit/gcode"
	"furrow/emit/machine"
	"furrow/emit/markvec"
)

// written is a file made for a controller, read back.
type written struct {
	name   string
	format string
	moves  emit.Moves
	file   io.ReaderAt
	close  func() error
}

// isWritten reports that a file is for a controller and not artwork or a job.
func isWritten(name string) bool {
	for _, ext := range []string{".nc", ".gcode", ".mvl"} {
		if strings.HasSuffix(strings.ToLower(name), ext) {
			return true
		}
	}
	return false
}

// markvecStart is what a mark-vector list starts with.
const markvecStart = "markvec "

// readWritten opens a controller's file. Its content, not its name, decides
// the format. A file is read with the profile asked for, or with the one it
// names, if that is known; the profile is nil otherwise. read is for G-code.
func (a *app) readWritten(name string, asked *settings.Machine, read gcodeReader) (written, *settings.Machine, error) {
	r, closeFile, err := a.openRandom(name)
	if err != nil {
		return written{}, nil, err
	}
	w, m, err := decodeWritten(name, r, asked, read)
	if err != nil {
		closeFile()
		return written{}, nil, err
	}
	w.close = closeFile
	return w, m, nil
}

// gcodeReader is a way to read G-code.
type gcodeReader func(io.ReaderAt, machine.GCode) (emit.Moves, error)

func decodeWritten(name string, r io.ReaderAt, asked *settings.Machine, read gcodeReader) (written, *settings.Machine, error) {
	if err := refuseArtwork(name, r); err != nil {
		return written{}, nil, err
	}
	w := written{name: name, format: formatGCode, file: r}
	decode := func(m *settings.Machine) (err error) {
		w.moves, err = read(r, gcodeSection(m))
		return err
	}
	start := make([]byte, len(markvecStart))
	n, _ := r.ReadAt(start, 0)
	if string(start[:n]) == markvecStart {
		w.format = formatMarkvec
		decode = func(*settings.Machine) (err error) {
			w.moves, err = markvec.Read(r)
			return err
		}
	}
	m := asked
	err := decode(m)
	if named, findErr := settings.FindMachine(w.moves.Header.Profile); err == nil && asked == nil && findErr == nil {
		m = &named
		err = decode(m)
	}
	var problem *gcode.Problem
	if errors.As(err, &problem) {
		if all := audit(name, r, gcodeSection(m)); all != nil {
			return written{}, nil, all
		}
	}
	if err != nil {
		return written{}, nil, fault.Workf("%s: %w", name, err)
	}
	return w, m, nil
}

// refuseArtwork says what to do with a file that is no controller's.
func refuseArtwork(name string, r io.ReaderAt) error {
	start := make([]byte, 512)
	n, _ := r.ReadAt(start, 0)
	text := bytes.TrimSpace(bytes.TrimPrefix(start[:n], []byte("\xef\xbb\xbf")))
	switch {
	case bytes.HasPrefix(text, []byte("<")):
		return fault.Usagef("%s is artwork, not a file for a controller", name).
			Hintf("furrow inspect %s says what is in it, furrow hatch makes the controller's file of it", name)
	case strings.HasSuffix(strings.ToLower(name), ".toml"):
		return fault.Usagef("%s is a settings file, not a file for a controller", name).
			Hintf("furrow hatch makes the controller's file of a job")
	}
	return nil
}

func gcodeSection(m *settings.Machine) machine.GCode {
	if m == nil || m.GCode == nil {
		return machine.GCode{}
	}
	return *m.GCode
}

// openRandom opens a file, or holds all of standard input, for readers that go
// over it more than once.
func (a *app) openRandom(name string) (io.ReaderAt, func() error, error) {
	f, err := a.open(name)
	if err != nil {
		return nil, nil, err
	}
	if file, ok := f.(*os.File); ok {
		return file, file.Close, nil
	}
	data, err := io.ReadAll(f)
	if err != nil {
		return nil, nil, fault.Usagef("%s: %w", name, err)
	}
	return bytes.NewReader(data), f.Close, nil
}
