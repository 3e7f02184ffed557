package main

import (
	"bytes"
	"fmt"
	"reflect"
	"strings"

	"github.com/pelletier/go-toml/v2"
)

// writeCommented writes a settings struct as TOML with every key and its
// comment. A key that may be left out and is not set is written as a comment.
func writeCommented(b *bytes.Buffer, v any) error {
	w := commentedWriter{b: b}
	w.table("", reflect.Indirect(reflect.ValueOf(v)))
	return w.err
}

type commentedWriter struct {
	b   *bytes.Buffer
	err error
}

// setting is one key of a settings struct with its value.
type setting struct {
	key, comment string
	limits       limits
	optional     bool
	value        reflect.Value
}

// meaning returns the comment of a key with its range.
func (s setting) meaning() string {
	if s.limits == (limits{}) {
		return s.comment
	}
	return s.comment + "; " + s.limits.String()
}

// fieldsOf lists the keys of a struct, those of embedded structs included.
func fieldsOf(v reflect.Value) []setting {
	var all []setting
	for i := range v.NumField() {
		f := v.Type().Field(i)
		key, opts, _ := strings.Cut(f.Tag.Get("toml"), ",")
		switch {
		case f.Anonymous && key == "":
			all = append(all, fieldsOf(v.Field(i))...)
		case key != "" && key != "-":
			kind := v.Field(i).Kind()
			optional := opts == "omitempty" || kind == reflect.Pointer || kind == reflect.Slice
			all = append(all, setting{key, f.Tag.Get("comment"), limitsOf(f.Tag), optional, v.Field(i)})
		}
	}
	return all
}

// table writes the keys of a table, then the tables in it.
func (w *commentedWriter) table(name string, v reflect.Value) {
	fields := fieldsOf(v)
	for _, f := range fields {
		if !isTable(f.value.Type()) {
			w.key(f)
		}
	}
	for _, f := range fields {
		if isTable(f.value.Type()) {
			w.tables(inTable(name, f.key), f)
		}
	}
}

func inTable(table, key string) string {
	if table == "" {
		return key
	}
	return table + "." + key
}

// tableOf returns the type of a table, or of those in a list.
func tableOf(t reflect.Type) reflect.Type {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	return t
}

// isTable reports that a value is a table, or a list of them.
func isTable(t reflect.Type) bool {
	t = tableOf(t)
	if t.Kind() != reflect.Struct {
		return false
	}
	_, text := reflect.PointerTo(t).MethodByName("UnmarshalText")
	return !text
}

func (w *commentedWriter) tables(name string, f setting) {
	v := f.value
	if v.Kind() == reflect.Slice {
		for i := range v.Len() {
			w.head("\n[["+name+"]]", f.comment)
			w.table(name, v.Index(i))
		}
		if v.Len() == 0 {
			w.sample(name, f)
		}
		return
	}
	if v.Kind() == reflect.Pointer {
		if v.IsNil() {
			return
		}
		v = v.Elem()
	}
	w.head("\n["+name+"]", f.comment)
	w.table(name, v)
}

func (w *commentedWriter) head(line, comment string) {
	fmt.Fprintln(w.b, line)
	if comment != "" {
		fmt.Fprintln(w.b, "# "+comment)
	}
}

// sample writes a list's table of which there is none, as a comment.
func (w *commentedWriter) sample(name string, f setting) {
	var inner bytes.Buffer
	one := commentedWriter{b: &inner}
	one.head("[["+name+"]]", f.comment)
	one.table(name, reflect.New(f.value.Type().Elem()).Elem())
	fmt.Fprintln(w.b)
	for _, line := range strings.Split(strings.TrimSpace(inner.String()), "\n") {
		fmt.Fprintln(w.b, "#"+strings.TrimPrefix(line, "#"))
	}
}

func (w *commentedWriter) key(f setting) {
	if text := f.meaning(); text != "" {
		fmt.Fprintln(w.b, "# "+text)
	}
	v := f.value
	if v.Kind() == reflect.Pointer && !v.IsNil() {
		v = v.Elem()
	}
	if f.optional && f.value.IsZero() {
		fmt.Fprintf(w.b, "%s\n", strings.TrimSpace("#"+f.key+" = "+listExample(v.Type())))
		return
	}
	text, err := tomlLine(f.key, v)
	if err != nil && w.err == nil {
		w.err = err
	}
	w.b.Write(text)
}

// tomlLine writes one key and its value. The words of the command line keep
// their unit.
func tomlLine(key string, v reflect.Value) ([]byte, error) {
	if s, ok := v.Interface().(fmt.Stringer); ok {
		return toml.Marshal(map[string]string{key: s.String()})
	}
	return toml.Marshal(map[string]any{key: v.Interface()})
}
