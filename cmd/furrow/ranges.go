package main

import (
	"fmt"
	"reflect"
	"strings"

	"github.com/spf13/pflag"
)

// limits is the range of values that is taken for meant, of a number or of each
// of several. The zero limits allow all.
type limits struct {
	least, most float64
	unit        string // in messages
}

// limitsOf reads the tag range:"0.001 to 1000 mm" of a settings key, the one
// place where the range of a key and of its flag is said.
func limitsOf(tag reflect.StructTag) limits {
	var l limits
	if text, ok := tag.Lookup("range"); ok {
		fmt.Sscanf(text, "%g to %g %s", &l.least, &l.most, &l.unit) // TestEveryRangeReads
	}
	return l
}

func (l limits) String() string {
	return strings.TrimSpace(fmt.Sprintf("%s to %s %s", shortest(l.least), shortest(l.most), l.unit))
}

// ranged is a value that is made of numbers.
type ranged interface{ numbers() []float64 }

func (n *number) numbers() []float64   { return []float64{float64(*n)} }
func (l *lengthMM) numbers() []float64 { return []float64{float64(*l)} }
func (p *point) numbers() []float64    { return []float64{p.X, p.Y} }
func (l *angles) numbers() []float64   { return *l }

// check refuses a value that is out of range.
func (l limits) check(value any) error {
	r, ok := value.(ranged)
	if !ok || l == (limits{}) {
		return nil
	}
	for _, v := range r.numbers() {
		if !(v >= l.least && v <= l.most) {
			return fmt.Errorf("%g is out of range: use %s", v, l)
		}
	}
	return nil
}

// withoutUnit takes the unit off a plain number that carries its own, as in
// "150mm/s" or "35%".
func (l limits) withoutUnit(value any, s string) string {
	if _, plain := value.(*number); !plain || l.unit == "" {
		return s
	}
	s = strings.TrimSuffix(strings.TrimSpace(s), l.unit)
	if l.unit == "percent" {
		s = strings.TrimSuffix(s, "%")
	}
	return s
}

// withUnit adds to what is wrong with a plain number the unit it is in.
func (l limits) withUnit(value any, err error) error {
	if _, plain := value.(*number); !plain || l.unit == "" {
		return err
	}
	return fmt.Errorf("%w: it is in %s", err, l.unit)
}

// bounded is the value of a flag with limits.
type bounded interface {
	within(limits) pflag.Value
	bounds() limits
}

// limit bounds an optional flag.
func limit(f *pflag.Flag, l limits) { f.Value = f.Value.(bounded).within(l) }

// rangeWords lists the ranges of the flags of a job, for help units.
func rangeWords() string {
	var b strings.Builder
	fs, _ := hatchCommand.flags()
	fs.VisitAll(func(f *pflag.Flag) {
		if v, ok := f.Value.(bounded); ok && v.bounds() != (limits{}) {
			fmt.Fprintf(&b, "  --%-15s %s\n", f.Name, v.bounds())
		}
	})
	return b.String()
}

// limitFlags bounds the flags that stand for the keys of a settings struct.
func limitFlags(fs *pflag.FlagSet, spec any) {
	for _, s := range fieldsOf(reflect.ValueOf(spec)) {
		if f := fs.Lookup(flagOf(s.key)); f != nil && s.limits != (limits{}) {
			limit(f, s.limits)
		}
	}
}

// flagOf returns the flag of a key: units are left out, which a flag's value may
// carry.
func flagOf(key string) string {
	for _, unit := range []string{"_mm_s", "_percent", "_ns", "_s"} {
		key = strings.TrimSuffix(key, unit)
	}
	return strings.ReplaceAll(key, "_", "-")
}

// checkValues checks every value of a struct read from TOML and returns the key
// of the first that is out of range.
func checkValues(v reflect.Value, table string) *keyProblem {
	for i := range v.NumField() {
		field := v.Type().Field(i)
		tag, _, _ := strings.Cut(field.Tag.Get("toml"), ",")
		key := strings.TrimPrefix(table+"."+tag, ".")
		switch {
		case field.Anonymous:
			key = table
		case tag == "":
			continue // not a key of the file
		}
		if p := checkValue(v.Field(i), key, limitsOf(field.Tag)); p != nil {
			return p
		}
	}
	return nil
}

func checkValue(v reflect.Value, key string, l limits) *keyProblem {
	switch {
	case v.Kind() == reflect.Struct:
		return checkValues(v, key)
	case v.Kind() == reflect.Slice && v.Type().Elem().Kind() == reflect.Struct:
		for i := range v.Len() {
			if p := checkValues(v.Index(i), fmt.Sprintf("%s[%d]", key, i)); p != nil {
				return p
			}
		}
	case v.Kind() == reflect.Pointer && !v.IsNil():
		if c, ok := v.Interface().(checker); ok {
			if err := c.check(); err != nil {
				return &keyProblem{key, err.Error()}
			}
		}
		if err := l.check(v.Interface()); err != nil {
			return &keyProblem{key, err.Error()}
		}
	}
	return nil
}
