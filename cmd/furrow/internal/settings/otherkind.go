package settings

import (
	"maps"
	"reflect"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/fault"
)

// kind is a kind of settings file, told by keys that no other has at its top.
type kind struct {
	name, use string
	keys      []string
}

var kinds = []kind{
	{name: "a machine profile", use: "it is named with --machine", keys: []string{"kind", "laser"}},
	{name: "a recipe", use: "it is named with --recipe", keys: []string{"material", "purpose"}},
	{name: "a card's file", use: "it is named with --from", keys: []string{"card", "patch"}},
	{name: "an order's record", use: "furrow repeat takes the folder that it lies in",
		keys: []string{"profile_hash", "input"}},
	{name: "a job file", use: "furrow hatch and furrow order take it as it is", keys: []string{"artwork"}},
}

// within reports that all keys of a kind are among some.
func (k kind) within(some []string) bool {
	return !slices.ContainsFunc(k.keys, func(key string) bool { return !slices.Contains(some, key) })
}

// otherKind refuses a file that is of another kind than what it was to be decoded into; nil
// where that is not known.
func otherKind(name string, data []byte, into reflect.Type) error {
	found := map[string]bool{}
	for k := range keysIn(data) {
		first, _, _ := strings.Cut(withoutIndexes(k.name), ".")
		found[first] = true
	}
	top := slices.Collect(maps.Keys(found))
	known, not := keysAt(into, nil), ""
	for _, k := range kinds {
		if k.within(known) {
			not = ", and not " + k.name
		}
	}
	for _, k := range kinds {
		if k.within(top) && !k.within(known) {
			return fault.Usagef("%s is %s%s", name, k.name, not).Hintf("%s", k.use)
		}
	}
	return nil
}
