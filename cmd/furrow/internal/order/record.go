package order

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"path"
	"path/filepath"
	"reflect"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/work"
)

// RecordName is the file that tells an order's folder.
const RecordName = "order.toml"

// Record is what order.toml holds: what the order was made from and what came of it.
type Record struct {
	Furrow  int         `toml:"furrow"`
	Version string      `toml:"version" comment:"of the program"`
	Machine string      `toml:"machine"`
	Profile string      `toml:"profile_hash"`
	Recipe  string      `toml:"recipe,omitempty"`
	Parts   int         `toml:"parts"`
	Flags   []string    `toml:"flags,omitempty" comment:"what the command line said besides the job file"`
	Values  []Value     `toml:"value" comment:"every value that was used, and where it came from"`
	Inputs  []InputFile `toml:"input" comment:"what was read, and what is kept of it"`
	Outputs []Output    `toml:"output" comment:"what was made"`
}

// Value is one that was used.
type Value struct {
	Group string `toml:"group,omitempty"` // what the job picks; of the whole where empty
	Key   string `toml:"key"`
	Value string `toml:"value"`
	From  string `toml:"from"`
}

// InputFile is a file that was read.
type InputFile struct {
	Role    Role   `toml:"role"`
	Name    string `toml:"name"`               // as seen from the folder
	BuiltIn bool   `toml:"built_in,omitempty"` // into the program; there is no such file
	Kept    string `toml:"kept"`               // in the folder
	SHA256  string `toml:"sha256"`
}

// Output is a file that was made.
type Output struct {
	Name   string `toml:"name"`
	SHA256 string `toml:"sha256"`
	Lines  int    `toml:"lines,omitempty"`
	CRC    string `toml:"crc,omitempty"`
}

// Role is what an input is for.
type Role string

// The roles of inputs.
const (
	JobFile    Role = "job"
	Artwork    Role = "artwork"
	Profile    Role = "profile"
	Correction Role = "correction"
	Recipe     Role = "recipe"
	Data       Role = "data"
	Pockets    Role = "pockets"
	Rates      Role = "rates"
	Font       Role = "font" // one for each file that letters were set from
)

// Roles lists those that an input may have.
func Roles() []Role {
	return []Role{JobFile, Artwork, Profile, Correction, Recipe, Data, Pockets, Rates, Font}
}

// Kept is an input with what it holds.
type Kept struct {
	Role    Role
	Name    string
	BuiltIn bool // no file: the name is that of one that it might have
	Data    []byte
}

// digest returns the SHA-256 of data in hexadecimal digits.
func digest(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// keep returns where inputs are kept: the job beside the record, the others in a
// folder of their own, by their names; a name that is taken gets a number.
func keep(dir string, inputs []Kept) (all []InputFile) {
	taken := map[string]bool{"job.toml": true}
	for _, in := range inputs {
		kept := "job.toml"
		if in.Role != JobFile {
			kept = free("kept/"+base(in.Name, in.Role), taken)
		}
		name := in.Name
		if !in.BuiltIn && !(in.Role == Font && filepath.IsAbs(name)) { // the system's do not move with the order
			name = seenFrom(dir, name)
		}
		all = append(all, InputFile{Role: in.Role, Name: name, BuiltIn: in.BuiltIn, Kept: kept,
			SHA256: digest(in.Data)})
	}
	return all
}

// seenFrom returns the way from a folder to a file, so that both can be moved
// together; the whole name where there is no way.
func seenFrom(dir, name string) string {
	from, err := filepath.Abs(dir)
	if err != nil {
		return name
	}
	to, err := filepath.Abs(name)
	if err != nil {
		return name
	}
	way, err := filepath.Rel(from, to)
	if err != nil {
		return name
	}
	return filepath.ToSlash(way)
}

// base is the last part of a name written on any platform.
func base(name string, role Role) string {
	i := len(name)
	for i > 0 && name[i-1] != '/' && name[i-1] != '\\' {
		i--
	}
	if name = name[i:]; name == "" || name == "-" || name == "." || name == ".." {
		return string(role)
	}
	return name
}

func free(name string, taken map[string]bool) string {
	ext := path.Ext(name)
	stem, try := name[:len(name)-len(ext)], name
	for n := 2; taken[try]; n++ {
		try = fmt.Sprintf("%s-%d%s", stem, n, ext)
	}
	taken[try] = true
	return try
}

// valuesOf lists what a resolved job uses.
func valuesOf(j job.Resolved) (all []Value) {
	add := func(table string, v any, from func(key string) string) {
		for _, f := range settings.FieldsOf(reflect.ValueOf(v)) {
			if !f.Value.IsZero() {
				all = append(all, Value{Key: table + f.Key, Value: fmt.Sprint(reflect.Indirect(f.Value).Interface()),
					From: from(f.Key)})
			}
		}
	}
	job := func(string) string { return "job" }
	add("blank.", j.Job.Blank, job)
	add("artwork.", j.Job.Artwork, job)
	for i, f := range j.Fills {
		first := len(all)
		add("", f.Spec, func(key string) string { return fromWords(f.From[key], j.Job.Name) })
		for k := first; k < len(all) && i > 0; k++ {
			all[k].Group = work.GroupName(i)
		}
	}
	return all
}

// fromWords says where a value came from, whatever the job file is called.
func fromWords(from, jobFile string) string {
	if jobFile != "" && strings.HasPrefix(from, jobFile) {
		return "job" + strings.TrimPrefix(from, jobFile)
	}
	return from
}

// encode writes the record.
func (r Record) encode(w io.Writer) error {
	if _, err := io.WriteString(w, "# What this order was made from, and what came of it. furrow repeat reads it.\n"+
		"\n"); err != nil {
		return err
	}
	return toml.NewEncoder(w).SetTablesInline(false).Encode(r)
}

// ParseRecord reads an order.toml.
func ParseRecord(name string, data []byte) (Record, error) {
	var r Record
	err := settings.Decode(name, data, &r)
	return r, err
}

// Input returns the input of a role, if the record has one.
func (r Record) Input(role Role) (InputFile, bool) {
	for _, in := range r.Inputs {
		if in.Role == role {
			return in, true
		}
	}
	return InputFile{}, false
}
