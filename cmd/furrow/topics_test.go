package main

import (
	"reflect"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

func TestTopics(t *testing.T) {
	for _, topic := range topics() {
		require.NotEmpty(t, topic.summary, topic.name)
		require.Contains(t, overview(errands()), topic.summary)
		for _, line := range strings.Split(topic.text, "\n") {
			require.LessOrEqual(t, len(line), 90, topic.name)
		}
	}
}

// Every key of every settings file is told in its topic, with its meaning.
func TestTopicsNameEveryKey(t *testing.T) {
	text := map[string]string{}
	for _, topic := range topics() {
		text[topic.name] = topic.text
	}
	for name, spec := range map[string]any{"machines": machine.Profile{}, "recipes": machine.Recipe{},
		"jobs": job.Job{}} {
		keys := keysOf(reflect.TypeOf(spec))
		require.NotEmpty(t, keys)
		for _, key := range keys {
			require.Regexp(t, `(?m)^  `+key+`\n      [^ \n]|^\[+([a-z_]+\.)*`+key+`\]+`, text[name], key)
		}
	}
}

// A number of a profile or recipe says where a user finds it.
func TestNumbersSayWhereTheyAreFound(t *testing.T) {
	n := 0
	for _, spec := range []any{machine.Gantry{}, machine.Galvo{}, machine.Laser{}, machine.GCode{},
		machine.Reversal{}} {
		for _, f := range settings.FieldsOf(reflect.ValueOf(spec)) {
			if isNumber(f.Value.Type()) {
				require.Contains(t, f.Comment, "(", f.Key)
				n++
			}
		}
	}
	require.Greater(t, n, 40)
}

func isNumber(t reflect.Type) bool {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice || t.Kind() == reflect.Array {
		t = t.Elem()
	}
	return t.Kind() == reflect.Float64
}

// Every range that is said of a key can be read, and bounds its flag too.
func TestEveryRangeReads(t *testing.T) {
	fs, _ := newCommand.flags()
	for _, spec := range []any{job.Fill{}, job.Artwork{}, job.Blank{}, job.Order{}} {
		v := reflect.TypeOf(spec)
		for i := range v.NumField() {
			text, ok := v.Field(i).Tag.Lookup("range")
			if !ok {
				continue
			}
			l := value.LimitsOf(v.Field(i).Tag)
			require.Equal(t, text, l.String())
			require.Less(t, l.Least, l.Most, text)
			key := v.Field(i).Tag.Get("toml")
			if f := fs.Lookup(flagOf(key)); f != nil && v != reflect.TypeOf(job.Blank{}) {
				require.Equal(t, l, value.LimitsOfFlag(f), key)
			}
		}
	}
}

// A number without a range is one that a machine, or its own type, bounds.
func TestNumbersHaveRanges(t *testing.T) {
	for _, spec := range []any{job.Fill{}, job.Artwork{}, job.Blank{}, job.Order{}} {
		for _, f := range settings.FieldsOf(reflect.ValueOf(spec)) {
			if _, ok := f.Value.Interface().(value.Ranged); ok {
				require.NotZero(t, f.Limits, f.Key)
			}
		}
	}
}
