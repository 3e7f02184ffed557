package settings

import (
	"bytes"
	"cmp"
	"encoding"
	"fmt"
	"reflect"
	"strings"

	"furrow/cmd/furrow/internal/value"

	"github.com/pelletier/go-toml/v2"
)

// WriteCommented writes a settings struct as TOML with every key and its
// comment. A key that may be left out and is not set is written as a comment.
func WriteCommented(b *bytes.Buffer, v any) error {
	w := commentedWriter{b: b}
	w.table("", reflect.Indirect(reflect.ValueOf(v)))
	return w.err
}

// WriteChosen writes, of a settings struct, the keys that are set and those of a list,
// "fill.spacing", which are comments where they are not; of a list of tables that is named
// itself one as a comment.
func WriteChosen(b *bytes.Buffer, v any, keys []string) error {
	w := commentedWriter{b: b, chosen: map[string]bool{}}
	for _, k := range keys {
		w.chosen[k] = true
	}
	w.table("", reflect.Indirect(reflect.ValueOf(v)))
	return w.err
}

type commentedWriter struct {
	b       *bytes.Buffer
	sampled bool            // a key that must be there has no value yet
	chosen  map[string]bool // nil for every key
	err     error
}

// leavesOut reports that a key is not written.
func (w *commentedWriter) leavesOut(name string, f Field) bool {
	return w.chosen != nil && !w.chosen[name] && f.Value.IsZero()
}

// Field is one key of a settings struct with its value.
type Field struct {
	Key, Comment string
	Limits       value.Limits
	optional     bool
	Value        reflect.Value
}

// Meaning returns the comment of a key with its range.
func (s Field) Meaning() string {
	if s.Limits == (value.Limits{}) {
		return s.Comment
	}
	return s.Comment + "; " + s.Limits.String()
}

// Described is a struct of settings with keys that are described beside it and not in
// their tags.
type Described interface {
	Describe(key string) (comment string, l value.Limits)
}

// Commented is a struct of settings whose comments are a table beside it: a tag cannot be
// broken into lines.
type Commented interface {
	Comment(key string) string
}

// FieldsOf lists the keys of a struct, those of embedded structs included.
func FieldsOf(v reflect.Value) []Field {
	zero := reflect.Zero(v.Type()).Interface()
	described, _ := zero.(Described)
	commented, _ := zero.(Commented)
	var all []Field
	for i := range v.NumField() {
		f := v.Type().Field(i)
		key, opts, _ := strings.Cut(f.Tag.Get("toml"), ",")
		switch {
		case f.Anonymous && key == "":
			all = append(all, FieldsOf(v.Field(i))...)
		case key != "" && key != "-":
			kind := v.Field(i).Kind()
			optional := opts == "omitempty" || kind == reflect.Pointer || kind == reflect.Slice
			comment, limits := f.Tag.Get("comment"), value.LimitsOf(f.Tag)
			switch {
			case comment != "":
			case described != nil:
				comment, limits = described.Describe(key)
			case commented != nil:
				comment = commented.Comment(key)
			}
			all = append(all, Field{Key: key, Comment: comment, Limits: limits, optional: optional, Value: v.Field(i)})
		}
	}
	return all
}

// table writes the keys of a table, then the tables in it.
func (w *commentedWriter) table(name string, v reflect.Value) {
	fields := FieldsOf(v)
	for _, f := range fields {
		if !IsTable(f.Value.Type()) && !w.leavesOut(InTable(name, f.Key), f) {
			w.key(f)
		}
	}
	for _, f := range fields {
		if IsTable(f.Value.Type()) {
			w.tables(InTable(name, f.Key), f)
		}
	}
}

// InTable names a key of a table.
func InTable(table, key string) string {
	if table == "" {
		return key
	}
	return table + "." + key
}

// TableOf returns the type of a table, or of those in a list.
func TableOf(t reflect.Type) reflect.Type {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	return t
}

// IsTable reports that a value is a table, or a list of them.
func IsTable(t reflect.Type) bool {
	t = TableOf(t)
	if t.Kind() != reflect.Struct {
		return false
	}
	return !reflect.PointerTo(t).Implements(reflect.TypeFor[encoding.TextUnmarshaler]())
}

func (w *commentedWriter) tables(name string, f Field) {
	v := f.Value
	if v.Kind() == reflect.Slice {
		for i := range v.Len() {
			w.head("\n[["+name+"]]", f.Comment)
			w.table(name, v.Index(i))
		}
		if v.Len() == 0 && (w.chosen == nil || w.chosen[name]) {
			w.sample("[["+name+"]]", name, f)
		}
		return
	}
	if v.Kind() == reflect.Pointer {
		if v.IsNil() {
			if f.Comment != "" && w.chosen == nil {
				w.sample("["+name+"]", name, f)
			}
			return
		}
		v = v.Elem()
	}
	inner := commentedWriter{b: new(bytes.Buffer), chosen: w.chosen}
	inner.table(name, v)
	if w.err = cmp.Or(w.err, inner.err); w.chosen == nil || inner.b.Len() > 0 {
		w.head("\n["+name+"]", f.Comment)
		w.b.Write(inner.b.Bytes())
	}
}

func (w *commentedWriter) head(line, comment string) {
	fmt.Fprintln(w.b, line)
	if comment != "" {
		fmt.Fprintln(w.b, "# "+comment)
	}
}

// sample writes a table of which there is none, as a comment. Of those that are no list
// it is called for the ones with a comment, which any profile may have.
func (w *commentedWriter) sample(head, name string, f Field) {
	var inner bytes.Buffer
	one := commentedWriter{b: &inner, sampled: true, chosen: w.chosen}
	one.head(head, f.Comment)
	one.table(name, reflect.New(f.Value.Type().Elem()).Elem())
	fmt.Fprintln(w.b)
	for _, line := range strings.Split(strings.TrimSpace(inner.String()), "\n") {
		fmt.Fprintln(w.b, "#"+strings.TrimPrefix(line, "#"))
	}
}

func (w *commentedWriter) key(f Field) {
	if text := f.Meaning(); text != "" {
		fmt.Fprintln(w.b, "# "+text)
	}
	v := f.Value
	if v.Kind() == reflect.Pointer && !v.IsNil() {
		v = v.Elem()
	}
	if (f.optional || w.sampled) && f.Value.IsZero() {
		fmt.Fprintf(w.b, "%s\n", strings.TrimSpace("#"+f.Key+" = "+listExample(v.Type())))
		return
	}
	text, err := tomlLine(f.Key, v)
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
