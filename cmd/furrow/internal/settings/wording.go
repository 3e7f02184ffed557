package settings

import (
	"encoding"
	"fmt"
	"reflect"
	"regexp"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/value"
	"furrow/path"

	"github.com/pelletier/go-toml/v2"
)

// unreadableTOML words what the decoder cannot read, with the line and, where it
// is known, the key and how it is written.
func unreadableTOML(name string, data []byte, bad *toml.DecodeError, t reflect.Type) error {
	line, _ := bad.Position()
	where := fmt.Sprintf("%s:%d: ", name, line)
	said := strings.TrimPrefix(bad.Error(), "toml: ")
	if key := bad.Key(); len(key) > 0 {
		if strings.HasPrefix(said, "cannot decode") {
			said = sampleWords(line, data) + "it is written as " + exampleOf(key[len(key)-1], TypeAt(t, key))
		}
		return fault.Usagef("%s%s: %s", where, strings.Join(key, "."), said)
	}
	if m := noValue.FindStringSubmatch(lineOf(data, line)); m != nil {
		return fault.Usagef("%s%s has no value", where, m[1]).
			Hintf("write one behind the =, or a # before the line to leave it out")
	}
	if dayValue.MatchString(lineOf(data, line)) {
		return fault.Usagef("%sthe day is not understood", where).Hintf(`a day is written "2026-12-18"`)
	}
	if m := commaValue.FindStringSubmatch(lineOf(data, line)); m != nil {
		return fault.Usagef("%s%s is not a number%s", where, m[1], path.CommaHint(m[1]))
	}
	for _, w := range syntaxWords {
		if strings.Contains(said, w.decoder) {
			return fault.Usagef("%s%s", where, w.person).Hintf("%s", syntaxHint)
		}
	}
	return fault.Usagef("%snot written as TOML: %s", where, said).Hintf("%s", syntaxHint)
}

// noValue is a line with a key and nothing behind it.
var noValue = regexp.MustCompile(`^\s*([A-Za-z0-9_.-]+)\s*=\s*(?:#.*)?$`)

// dayValue is a line with a day as people write it, and TOML does not.
var dayValue = regexp.MustCompile(`=\s*\d{1,4}[./-]\d{1,2}[./-]\d{1,4}\b`)

// commaValue is a line with a number that has a comma.
var commaValue = regexp.MustCompile(`=\s*([+-]?\d+(?:,\d+)+)\s*(?:#.*)?$`)

func lineOf(data []byte, n int) string {
	lines := strings.Split(string(data), "\n")
	if n < 1 || n > len(lines) {
		return ""
	}
	return strings.TrimSuffix(lines[n-1], "\r")
}

// sampleWords says that a line is a sample as it was written.
func sampleWords(line int, data []byte) string {
	if strings.Contains(lineOf(data, line), `"?"`) {
		return "a sample with question marks: your own values take their place; "
	}
	return ""
}

// syntaxWords says for a person what the decoder says for a programmer.
var syntaxWords = []struct{ decoder, person string }{
	{"expected newline", "what stands after the value is not understood"},
	{"at start of value", "the value is not understood: words stand in quotes"},
	{"expected keyword", "the value is not understood: words stand in quotes"},
	{"expected '=' after key", "a key is not followed by = and its value"},
	{"to close table name", "the name of a table is not closed by ]"},
}

const syntaxHint = `a line is KEY = VALUE, as in angle = 45 or spacing = "0.1mm"; a remark starts with #`

// exampleOf shows how a key is written.
func exampleOf(key string, t reflect.Type) string {
	if t == nil {
		return "furrow help files tells"
	}
	return key + " = " + valueExample(t)
}

// anyElement is a number or a word in quotes of an example.
var anyElement = regexp.MustCompile(`"[^"]*"|[0-9]+`)

// listExample shows how a list of a type is written, or returns "" for what is no
// list. Question marks stand in it, which are refused: an example must not pass as the
// shop's own.
func listExample(t reflect.Type) string {
	if isText(t) || t.Kind() != reflect.Slice && t.Kind() != reflect.Array {
		return ""
	}
	return anyElement.ReplaceAllString(valueExample(t), `"?"`)
}

func isText(t reflect.Type) bool {
	_, text := reflect.New(t).Interface().(encoding.TextUnmarshaler)
	return text
}

// valueExample is made up from the type alone.
func valueExample(t reflect.Type) string {
	if t.Kind() == reflect.Pointer {
		return valueExample(t.Elem())
	}
	switch reflect.New(t).Interface().(type) {
	case *value.Length, *value.Spacing:
		return `"0.5mm"`
	case *value.Frequency:
		return `"50kHz"`
	case *value.Point:
		return `"20mm,10mm"`
	}
	switch t.Kind() {
	case reflect.Array:
		return elements(valueList(t.Len()))
	case reflect.Slice:
		if inner := t.Elem(); inner.Kind() == reflect.Array || inner.Kind() == reflect.Slice {
			return "[" + valueExample(inner) + "]"
		} else if inner.Kind() == reflect.String {
			return `["one", "another"]`
		} else if isText(inner) {
			one := valueExample(inner)
			return elements([]string{one, one})
		}
		return elements(valueList(2))
	case reflect.String:
		return `"a word"`
	case reflect.Bool:
		return "true"
	}
	return "20"
}

// valueList is n numbers that rise, as the corners of a rectangle must.
func valueList(n int) []string {
	if n == 4 {
		return []string{"0", "0", "20", "20"}
	}
	var words []string
	for i := range n {
		words = append(words, fmt.Sprint(20*(i+1)))
	}
	return words
}

func elements(words []string) string { return "[" + strings.Join(words, ", ") + "]" }
