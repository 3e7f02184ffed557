package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"unicode"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/settings"

	"github.com/spf13/pflag"
)

// nth is the number of a line, a part or a load, from 1; 0 is none, and cannot be given: it
// would be taken for nothing said, and what is kept of a run for what the person means.
type nth int

func (n *nth) Set(s string) error {
	v, err := strconv.Atoi(s)
	if err != nil || v < 1 {
		return fmt.Errorf("%q is not a whole number from 1", s)
	}
	*n = nth(v)
	return nil
}

func (n *nth) String() string { return strconv.Itoa(int(*n)) }
func (n *nth) Type() string   { return "int" }

// refuseControls refuses names and values that would change a terminal, or break a line of a file
// in which they stand.
func refuseControls(args []string) error {
	for _, a := range args {
		if strings.ContainsFunc(a, unicode.IsControl) {
			return fault.Usagef("%q holds a control character", a).
				Hintf("rename the file, or write the value in one line without it")
		}
	}
	return nil
}

func outputFlags(fs *pflag.FlagSet, o *product.Output, what string) {
	fs.StringVarP(&o.Path, "output", "o", "", "write "+what+" to `FILE`; - is standard output")
	fs.BoolVar(&o.Force, "force", false, "overwrite the output if it is there")
}

// besides returns where a summary goes: to standard error when the product itself
// goes to standard output. One asked for as JSON is not left out.
func (a *app) besides(o product.Output, json bool) io.Writer {
	switch {
	case a.notes == io.Discard && !json:
		return io.Discard
	case o.ToStdout():
		return a.stderr
	}
	return a.stdout
}

// fitsFormat refuses a name that stands for the format of the other kind of
// machine.
func fitsFormat(o product.Output, m *settings.Machine) error {
	name, list := strings.ToLower(o.Path), ".mvl"
	switch {
	case m.TakesList() && isWritten(name) && !strings.HasSuffix(name, list):
		return fault.Usagef("%s is named as G-code, and %s is a galvo, whose file is a mark-vector list", o.Path, m.ID).
			Hintf("name it %s%s", strings.TrimSuffix(o.Path, filepath.Ext(o.Path)), list)
	case !m.TakesList() && strings.HasSuffix(name, list):
		return fault.Usagef("%s is named as a mark-vector list, and %s is a %s, whose file is G-code",
			o.Path, m.ID, m.Kind).
			Hintf("name it %s.nc", strings.TrimSuffix(o.Path, filepath.Ext(o.Path)))
	}
	return nil
}

// open returns the named input, standard input for -, and the name to show.
func (a *app) open(name string) (io.ReadCloser, error) {
	if name == "-" {
		return io.NopCloser(a.stdin), nil
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, fault.Unreadable(err)
	}
	if info, err := f.Stat(); err == nil && info.IsDir() {
		f.Close()
		return nil, fault.Usagef("%s is a folder", name).Hintf("name a file in it")
	}
	return f, nil
}

// oneFile returns the single file argument.
func oneFile(args []string, what string) (string, error) {
	switch len(args) {
	case 1:
		return args[0], nil
	case 0:
		return "", fault.Usagef("no %s named", what)
	}
	f := fault.Usagef("one %s at a time, got %s", what, strings.Join(args, " "))
	for _, a := range args {
		if _, err := strconv.ParseFloat(a, 64); err == nil {
			return "", f.Hintf("the value of a flag that may stand alone is joined by =, as in --cross=%s", a)
		}
	}
	return "", f
}
