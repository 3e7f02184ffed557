package settings

import (
	"fmt"
	"reflect"

	"furrow/cmd/furrow/internal/value"
)

// KeyProblem is what is wrong with a key of a settings file.
type KeyProblem struct{ Key, Problem string }

// CheckValues checks every value of a struct read from TOML and returns the key
// of the first that is out of range.
func CheckValues(v reflect.Value, table string) *KeyProblem {
	for _, f := range FieldsOf(v) {
		if p := checkValue(f.Value, InTable(table, f.Key), f.Limits); p != nil {
			return p
		}
	}
	return nil
}

func checkValue(v reflect.Value, key string, l value.Limits) *KeyProblem {
	switch {
	case v.Kind() == reflect.Struct:
		return CheckValues(v, key)
	case v.Kind() == reflect.Slice && v.Type().Elem().Kind() == reflect.Struct:
		for i := range v.Len() {
			if p := CheckValues(v.Index(i), fmt.Sprintf("%s[%d]", key, i)); p != nil {
				return p
			}
		}
	case v.Kind() == reflect.Pointer && !v.IsNil():
		if c, ok := v.Interface().(value.Checker); ok {
			if err := c.Check(); err != nil {
				return &KeyProblem{Key: key, Problem: err.Error()}
			}
		}
		if err := l.Check(v.Interface()); err != nil {
			return &KeyProblem{Key: key, Problem: err.Error()}
		}
	}
	return nil
}
