package settings

import (
	"reflect"
	"strings"

	"furrow/emit/machine"
)

// stands reports that a key is set in a file.
func stands(data []byte, key string) bool {
	for k := range keysIn(data) {
		if strings.EqualFold(k.name, key) {
			return true
		}
	}
	return false
}

// problemOf words what is wrong with a key of a profile: where it is not there, that
// it is missing, and what it means.
func problemOf(data []byte, ke *machine.KeyError) string {
	if data == nil || stands(data, ke.Key) || strings.Contains(ke.Key, "[") {
		return ke.Problem
	}
	section, key, in := strings.Cut(ke.Key, ".")
	if !in {
		return ke.Problem
	}
	t := TypeAt(reflect.TypeOf(machine.Profile{}), []string{section})
	if t == nil {
		return ke.Problem
	}
	for _, f := range FieldsOf(reflect.Zero(TableOf(t))) {
		if f.Key == key && !f.optional {
			return "is missing: " + f.Comment
		}
	}
	return ke.Problem
}
