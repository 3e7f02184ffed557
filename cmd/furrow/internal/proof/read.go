package proof

import (
	"bytes"
	"errors"
	"io"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/settings"
	"furrow/emit"
	"furrow/emit/gcode"
	"furrow/emit/machine"
	"furrow/emit/markvec"
)

// markvecStart is what a mark-vector list starts with.
const markvecStart = "markvec "

// readWritten reads a controller's file. Its content, not its name, decides
// the format. A file is read with the profile asked for, or with the one it
// names, if that is known; the profile is nil otherwise. read is for G-code.
func readWritten(name string, r io.ReaderAt, asked *settings.Machine, read gcodeReader) (File, error) {
	if err := refuseArtwork(name, r); err != nil {
		return File{}, err
	}
	c := File{Name: name, Format: figures.GCode, file: r, Machine: asked}
	decode := func() (err error) {
		c.Moves, err = read(r, gcodeSection(c.Machine))
		if err == nil && c.Machine != nil {
			c.Moves, err = emit.OfGCode(c.Moves, c.Machine.Profile)
		}
		return err
	}
	start := make([]byte, len(markvecStart))
	n, _ := r.ReadAt(start, 0)
	if string(start[:n]) == markvecStart {
		c.Format = figures.Markvec
		decode = func() (err error) {
			c.Moves, err = markvec.Read(r)
			return err
		}
	}
	err := decode()
	if named, findErr := settings.FindMachine(c.Moves.Header.Profile); err == nil && asked == nil && findErr == nil {
		c.Machine = &named
		err = decode()
	}
	if err == nil {
		return c, nil
	}
	var problem *gcode.Problem
	if errors.As(err, &problem) {
		if all := c.audit(); all != nil {
			return File{}, all
		}
	}
	return File{}, c.refuse(problemOf(ruleReadable, err))
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
	case bytes.HasPrefix(start[:n], []byte("%PDF-")):
		return fault.Usagef("%s is a PDF, not a file for a controller", name)
	case bytes.IndexByte(start[:n], 0) >= 0:
		return fault.Usagef("%s is no text, and so no file for a controller", name)
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

// gcodeReader is a way to read G-code.
type gcodeReader func(io.ReaderAt, machine.GCode) (emit.Moves, error)
