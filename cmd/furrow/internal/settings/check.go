package settings

import (
	"fmt"
	"reflect"
	"slices"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/value"
)

// KeyProblem is what is wrong with a key of a settings file.
type KeyProblem struct{ Key, Problem string }

// Refused words what is wrong with keys of a file, with the line of each of the first
// mostFound; nil for none.
func Refused(name string, data []byte, all ...*KeyProblem) error {
	all = slices.DeleteFunc(slices.Clone(all), func(p *KeyProblem) bool { return p == nil })
	var errs []error
	for _, p := range all[:min(len(all), mostFound)] {
		errs = append(errs, fault.Usagef("%s: %s", At(name, data, p.Key), p.Problem))
	}
	if more := len(all) - mostFound; more > 0 {
		errs = append(errs, moreWrong(name, more))
	}
	return fault.All(errs...)
}

// CheckValues checks every value of a struct read from TOML and returns those that are
// out of range.
func CheckValues(v reflect.Value, table string) (all []*KeyProblem) {
	for _, f := range FieldsOf(v) {
		all = append(all, checkValue(f.Value, InTable(table, f.Key), f.Limits)...)
	}
	return all
}

func checkValue(v reflect.Value, key string, l value.Limits) (all []*KeyProblem) {
	switch {
	case v.Kind() == reflect.Struct:
		return CheckValues(v, key)
	case v.Kind() == reflect.Slice && v.Type().Elem().Kind() == reflect.Struct:
		for i := range v.Len() {
			all = append(all, CheckValues(v.Index(i), fmt.Sprintf("%s[%d]", key, i))...)
		}
	case v.Kind() == reflect.Pointer && !v.IsNil():
		if c, ok := v.Interface().(value.Checker); ok {
			if err := c.Check(); err != nil {
				return []*KeyProblem{{Key: key, Problem: err.Error()}}
			}
		}
		if err := l.Check(v.Interface()); err != nil {
			return []*KeyProblem{{Key: key, Problem: err.Error()}}
		}
	}
	return all
}
