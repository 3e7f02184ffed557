package main

import (
	"fmt"
	"reflect"
	"strings"

	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"

	"github.com/spf13/pflag"
)

// rangeWords lists the ranges of the flags of a job, for help units.
func rangeWords() string {
	var b strings.Builder
	fs, _ := hatchCommand.flags()
	fs.VisitAll(func(f *pflag.Flag) {
		if l := value.LimitsOfFlag(f); l != (value.Limits{}) {
			fmt.Fprintf(&b, "  --%-15s %s\n", f.Name, l)
		}
	})
	return b.String()
}

// limitFlags bounds the flags that stand for the keys of a settings struct.
func limitFlags(fs *pflag.FlagSet, spec any) {
	for _, s := range settings.FieldsOf(reflect.ValueOf(spec)) {
		if f := fs.Lookup(flagOf(s.Key)); f != nil && s.Limits != (value.Limits{}) {
			value.Limit(f, s.Limits)
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
