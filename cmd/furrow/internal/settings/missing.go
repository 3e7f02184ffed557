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
	path := strings.Split(withoutIndexes(ke.Key), ".")
	table, key := path[:len(path)-1], path[len(path)-1]
	if data == nil || stands(data, ke.Key) || len(table) == 0 {
		return ke.Problem
	}
	t := TypeAt(reflect.TypeOf(machine.Profile{}), table)
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
