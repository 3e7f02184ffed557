package main

import (
	"bytes"
	"reflect"
	"regexp"
	"testing"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/emit/heat"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// What a file is written with names every key of its struct, with a comment
// where it is not a table.
func TestCommentedNamesEveryKey(t *testing.T) {
	gantry, galvo := machine.Examples()[0], machine.Examples()[2]
	gantry.Galvo = galvo.Galvo
	for _, v := range []any{gantry, machine.ExampleRecipes()[0], job.Job{}, heat.Materials()[0]} {
		var b bytes.Buffer
		require.NoError(t, settings.WriteCommented(&b, v))
		for _, key := range keysOf(reflect.TypeOf(v)) {
			require.Regexp(t, regexp.MustCompile(`(?m)^(#.*\n)+#?`+key+` =|^#?\[+([a-z_]+\.)*`+key+`\]+$`),
				b.String(), key)
		}
	}
}

// keysOf lists every key of a settings struct, tables and what is in them too.
func keysOf(t reflect.Type) []string {
	var keys []string
	for _, f := range settings.FieldsOf(reflect.New(t).Elem()) {
		keys = append(keys, f.Key)
		if settings.IsTable(f.Value.Type()) {
			inner := f.Value.Type()
			for inner.Kind() != reflect.Struct {
				inner = inner.Elem()
			}
			keys = append(keys, keysOf(inner)...)
		}
	}
	return keys
}
