package value

import (
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/pflag"
)

// Entry describes a flag whose value stays nil until it is given, so that a value of
// the command line can be told from a default.
type Entry struct {
	Name   string
	Takes  string // what the value is, in capitals; "" where Usage has it in backquotes
	Usage  string
	Alone  string // the value of the flag by itself; "" where it needs one
	Limits Limits
	Words  []string // of a text, the only ones
}

// Add registers the flag of an entry, which fills in the pointer that to points to.
// What it points to is a bool, a string, or a value with a method Set.
func Add(fs *pflag.FlagSet, to any, e Entry) *pflag.Flag {
	v := &flagValue{to: reflect.ValueOf(to).Elem(), takes: e.Takes, limits: e.Limits, words: e.Words}
	f := fs.VarPF(v, e.Name, "", e.Usage)
	if f.NoOptDefVal = e.Alone; v.IsBoolFlag() {
		f.NoOptDefVal = "true"
	}
	return f
}

// Flag registers a flag without limits. The word in backquotes in usage names the value.
func Flag[T any](fs *pflag.FlagSet, to **T, name, usage string) *pflag.Flag {
	return Add(fs, to, Entry{Name: name, Usage: usage})
}

// Word registers a flag whose value is one of a few words.
func Word(fs *pflag.FlagSet, to **string, words []string, name, usage string) *pflag.Flag {
	return Add(fs, to, Entry{Name: name, Usage: usage, Words: words})
}

// LimitsOfFlag returns the limits of a flag, none where it has none.
func LimitsOfFlag(f *pflag.Flag) Limits {
	if v, ok := f.Value.(*flagValue); ok {
		return v.limits
	}
	return Limits{}
}

// WordsOfFlag returns the words that a flag takes, nil where it takes others too.
func WordsOfFlag(f *pflag.Flag) []string {
	if v, ok := f.Value.(*flagValue); ok {
		return v.words
	}
	return nil
}

// Limit bounds a flag that Add registered.
func Limit(f *pflag.Flag, l Limits) { f.Value.(*flagValue).limits = l }

// flagValue is the value of a flag, which leaves its pointer nil until it is given.
type flagValue struct {
	to     reflect.Value
	takes  string
	limits Limits
	words  []string
}

func (v *flagValue) String() string { return "" }

func (v *flagValue) Type() string {
	if v.IsBoolFlag() {
		return "bool"
	}
	return v.takes
}

// IsBoolFlag reports that the flag is a switch.
func (v *flagValue) IsBoolFlag() bool {
	return v.to.IsValid() && v.to.Type().Elem().Kind() == reflect.Bool
}

// Set fills in the pointer.
func (v *flagValue) Set(s string) error {
	read := reflect.New(v.to.Type().Elem())
	if err := v.read(read.Interface(), s); err != nil {
		return err
	}
	v.to.Set(read)
	return nil
}

func (v *flagValue) read(into any, s string) (err error) {
	switch p := into.(type) {
	case *bool:
		if *p, err = strconv.ParseBool(s); err != nil {
			return fmt.Errorf("%q is neither true nor false", s)
		}
	case *string:
		if *p = s; !slices.Contains(v.words, s) {
			return fmt.Errorf("%q is none of %s", s, strings.Join(v.words, ", "))
		}
	case Settable:
		return Read(p, s, v.limits)
	}
	return nil
}

// Settable is a value that is read from a word.
type Settable interface{ Set(string) error }

// Read fills in a value from a word, with or without its unit, and refuses what is out
// of its limits.
func Read(into Settable, s string, l Limits) error {
	if err := into.Set(l.withoutUnit(into, s)); err != nil {
		return l.withUnit(into, err)
	}
	return l.Check(into)
}

// Switch registers a switch that stays unset until it is given.
func Switch(fs *pflag.FlagSet, to **bool, name, usage string) {
	Add(fs, to, Entry{Name: name, Usage: usage})
}
