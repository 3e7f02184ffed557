package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"furrow/emit/gcode"
	"furrow/emit/lens"
	"furrow/emit/machine"
)

// machine is a profile and where it came from.
type machineFile struct {
	machine.Profile
	file string // empty for a built-in example
}

// builtIn reports that the profile describes no real machine.
func (m machineFile) builtIn() bool { return m.file == "" }

// nameWords names the machine, and says so where it is none.
func (m machineFile) nameWords() string {
	if m.builtIn() {
		return m.Name + ": a built-in example, not your machine"
	}
	return m.Name
}

// findMachine returns the profile that --machine names: a file, one of the
// user's own, or a built-in example, in this sequence.
func findMachine(name string) (machineFile, error) {
	if name == "" {
		return machineFile{}, usagef("no machine named").hintf("add --machine ID or --machine FILE.toml; furrow machines lists them")
	}
	if isFile(name) {
		return readMachine(name)
	}
	all, err := allMachines()
	if err != nil {
		return machineFile{}, err
	}
	i := slices.IndexFunc(all, func(m machineFile) bool { return m.ID == name })
	if i < 0 {
		var ids []string
		for _, m := range all {
			ids = append(ids, m.ID)
		}
		return machineFile{}, unknownMachine(name, ids)
	}
	return all[i], nil
}

func unknownMachine(name string, ids []string) error {
	f := usagef("unknown machine %q", name).hintf("%s", suggest(name, ids))
	if nearest(name, ids) != "" {
		return f
	}
	return f.hintf("%s; a profile that is not in your settings folder is named by its file, as in --machine %s.toml", f.hint, name)
}

// isFile tells a file of settings from an id.
func isFile(name string) bool {
	return strings.HasSuffix(name, ".toml") || strings.ContainsAny(name, `/\`)
}

// allMachines returns the user's own profiles, then the examples that none of
// them replaces.
func allMachines() ([]machineFile, error) {
	var all []machineFile
	for _, file := range userFiles("machines") {
		m, err := readMachine(file)
		if err != nil {
			return nil, err
		}
		for _, other := range all {
			if other.ID == m.ID {
				return nil, sameID(m.ID, other.file, file)
			}
		}
		all = append(all, m)
	}
	for _, p := range machine.Examples() {
		if !slices.ContainsFunc(all, func(m machineFile) bool { return m.ID == p.ID }) {
			all = append(all, machineFile{Profile: p})
		}
	}
	return all, nil
}

// sameID refuses two files of settings of which an id would pick the first.
func sameID(id, file, other string) error {
	return usagef("%s and %s both have the id %q", file, other, id).hintf("give one of them an id of its own")
}

// userFiles lists furrow/KIND/*.toml in the platform's folder for settings.
func userFiles(kind string) []string {
	dir, err := userFolder(kind)
	if err != nil {
		return nil // no home: there are only the examples
	}
	files, _ := filepath.Glob(filepath.Join(dir, "*.toml"))
	return files
}

// userFolder returns furrow/KIND in the platform's folder for settings.
func userFolder(kind string) (string, error) {
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", usagef("no folder for settings: %w", err)
	}
	return filepath.Join(dir, "furrow", kind), nil
}

func readMachine(file string) (machineFile, error) {
	m := machineFile{file: file}
	data, err := readTOML(file, &m.Profile)
	if err != nil {
		return machineFile{}, err
	}
	if err := m.readCorrection(data); err != nil {
		return machineFile{}, err
	}
	return m, validate(file, data, m.Profile)
}

// correctionFile names the file of the field's correction, "" where there is none.
func (m *machineFile) correctionFile() string {
	switch {
	case m.Galvo == nil || m.Galvo.CorrectionCSV == "":
		return ""
	case filepath.IsAbs(m.Galvo.CorrectionCSV):
		return m.Galvo.CorrectionCSV
	}
	return filepath.Join(filepath.Dir(m.file), m.Galvo.CorrectionCSV)
}

// readCorrection reads the points that the field's correction is made from, from
// a file beside the profile.
func (m *machineFile) readCorrection(data []byte) error {
	name := m.correctionFile()
	if name == "" {
		return nil
	}
	f, err := os.Open(name)
	if err != nil {
		return usagef("%s: no file %s", at(m.file, data, "galvo.correction_csv"), name).
			hintf("furrow hatch --field-grid draws the grid and writes the file to measure it into")
	}
	defer f.Close()
	if m.Galvo.Samples, err = lens.ReadCSV(f); err != nil {
		return usagef("%s: %w", name, err)
	}
	if len(m.Galvo.Samples) == 0 {
		return usagef("%s holds no points", name)
	}
	return nil
}

// validate checks the values of a profile and adds file and line to each
// problem.
func validate(file string, data []byte, p machine.Profile) error {
	var problems machine.KeyErrors
	errors.As(p.Validate(), &problems)
	if p.GCode != nil {
		var own *gcode.LineError
		if errors.As(gcode.CheckLines(p.GCode.StartLines, p.GCode.EndLines), &own) {
			problems = append(problems, &machine.KeyError{Key: "gcode." + own.Key, Problem: fmt.Sprintf("%q: %v", own.Line, own.Err)})
		}
	}
	return located(file, data, problems)
}

// located words problems with file and line; none give nil.
func located(file string, data []byte, problems machine.KeyErrors) error {
	if len(problems) == 0 {
		return nil
	}
	var lines []string
	for _, ke := range problems {
		lines = append(lines, fmt.Sprintf("%s: %s", at(file, data, ke.Key), ke.Problem))
	}
	return usagef("%s", strings.Join(lines, "\n")).hintf("%s", problems[0].Hint)
}

// profileTOML writes a profile as the commented file it can be read from.
func profileTOML(p machine.Profile) ([]byte, error) {
	var b bytes.Buffer
	err := writeCommented(&b, p)
	return b.Bytes(), err
}
