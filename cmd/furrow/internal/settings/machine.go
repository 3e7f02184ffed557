package settings

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/emit/gcode"
	"furrow/emit/lens"
	"furrow/emit/machine"
)

// Machine is a profile and where it came from.
type Machine struct {
	machine.Profile
	File string // empty for a built-in example
}

// BuiltIn reports that the profile describes no real machine.
func (m Machine) BuiltIn() bool { return m.File == "" }

// NameWords names the machine, and says so where it is none.
func (m Machine) NameWords() string {
	if m.BuiltIn() {
		return m.Name + ": a built-in example, not your machine"
	}
	return m.Name
}

// FindMachine returns the profile that --machine names: a file, one of the
// user's own, or a built-in example, in this sequence.
func FindMachine(name string) (Machine, error) {
	if name == "" {
		return Machine{}, fault.Usagef("no machine named").
			Hintf("add --machine ID or --machine FILE.toml; furrow machines lists them")
	}
	if isFile(name) {
		return readMachine(name)
	}
	all, err := AllMachines()
	if err != nil {
		return Machine{}, err
	}
	i := slices.IndexFunc(all, func(m Machine) bool { return m.ID == name })
	if i < 0 {
		var ids []string
		for _, m := range all {
			ids = append(ids, m.ID)
		}
		return Machine{}, unknownMachine(name, ids)
	}
	return all[i], nil
}

func unknownMachine(name string, ids []string) error {
	f := fault.Usagef("unknown machine %q", name).Hintf("%s", fault.Suggest(name, ids))
	if fault.Nearest(name, ids) != "" {
		return f
	}
	return f.Hintf("%s; a profile that is not in your settings folder is named by its file, as in --machine %s.toml",
		f.Hint, name)
}

// isFile tells a file of settings from an id.
func isFile(name string) bool {
	return strings.HasSuffix(name, ".toml") || strings.ContainsAny(name, `/\`)
}

// AllMachines returns the user's own profiles, then the examples that none of
// them replaces.
func AllMachines() ([]Machine, error) {
	var examples []Machine
	for _, p := range machine.Examples() {
		examples = append(examples, Machine{Profile: p})
	}
	return own("machines", readMachine, examples)
}

func (m Machine) source() (id, file string) { return m.ID, m.File }

func readMachine(file string) (Machine, error) {
	data, err := ReadFile(file)
	if err != nil {
		return Machine{}, err
	}
	return ParseMachine(file, data)
}

// ParseMachine reads a profile that a file holds, or is to hold.
func ParseMachine(file string, data []byte) (Machine, error) {
	m, err := parseUnproved(file, data)
	if err != nil {
		return Machine{}, err
	}
	return m, ValidateProfile(file, data, m.Profile)
}

// parseUnproved reads a profile whose values may not go together.
func parseUnproved(file string, data []byte) (Machine, error) {
	m := Machine{File: file}
	if err := Decode(file, data, &m.Profile); err != nil {
		return Machine{}, err
	}
	m.Profile = m.Complete(func(key string) bool { return stands(data, key) })
	if err := m.readCorrection(data); err != nil {
		return Machine{}, err
	}
	return m, nil
}

// CorrectionFile names the file of the field's correction, "" where there is none.
func (m *Machine) CorrectionFile() string {
	switch {
	case !m.IsGalvo() || m.Galvo.CorrectionCSV == "":
		return ""
	case filepath.IsAbs(m.Galvo.CorrectionCSV):
		return m.Galvo.CorrectionCSV
	}
	return filepath.Join(filepath.Dir(m.File), m.Galvo.CorrectionCSV)
}

// readCorrection reads the points that the field's correction is made from, from
// a file beside the profile.
func (m *Machine) readCorrection(data []byte) error {
	name := m.CorrectionFile()
	if name == "" {
		return nil
	}
	f, err := os.Open(name)
	if err != nil {
		return fault.Usagef("%s: no file %s", At(m.File, data, "galvo.correction_csv"), name).
			Hintf("furrow machines grid draws the grid and writes the file to measure it into")
	}
	defer f.Close()
	if m.Galvo.Samples, err = lens.ReadCSV(f); err != nil {
		return fault.Usagef("%s: %w", name, err)
	}
	if len(m.Galvo.Samples) == 0 {
		return fault.Usagef("%s holds no points", name)
	}
	return nil
}

// ValidateProfile checks the values of a profile and adds file and line to each
// problem.
func ValidateProfile(file string, data []byte, p machine.Profile) error {
	var problems machine.KeyErrors
	errors.As(p.Validate(), &problems)
	if p.GCode != nil {
		var own *gcode.LineError
		if errors.As(gcode.CheckLines(p.GCode.StartLines, p.GCode.EndLines), &own) {
			problems = append(problems, &machine.KeyError{Key: "gcode." + own.Key,
				Problem: fmt.Sprintf("%q: %v", own.Line, own.Err)})
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
		lines = append(lines, fmt.Sprintf("%s: %s", At(file, data, ke.Key), problemOf(data, ke)))
	}
	lines = slices.Compact(lines) // a key that is missing may break two rules
	return fault.Usagef("%s", strings.Join(lines, "\n")).Hintf("%s", problems[0].Hint)
}

// ProfileTOML writes a profile as the commented file it can be read from.
func ProfileTOML(p machine.Profile) ([]byte, error) {
	var b bytes.Buffer
	err := WriteCommented(&b, p)
	return b.Bytes(), err
}
