package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"reflect"
	"regexp"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// maxTOML bounds the size of a profile, recipe or job file, bytes.
const maxTOML = 1 << 20

// readTOML reads a strict TOML file into v: an unknown key is an error with its
// line.
func readTOML(name string, v any) ([]byte, error) {
	data, err := readFile(name)
	if err != nil {
		return nil, err
	}
	return data, decodeTOML(name, data, v)
}

func readFile(name string) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, unreadable(err)
	}
	defer f.Close()
	return readSettings(name, f)
}

// readSettings reads all of a settings file.
func readSettings(name string, r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxTOML+1)) // a device tells no size
	if err != nil {
		return nil, unreadable(err)
	}
	if len(data) > maxTOML {
		return nil, usagef("%s: more than %d bytes are too many for a settings file", name, maxTOML)
	}
	return bytes.TrimPrefix(data, []byte("\ufeff")), nil // some editors write one
}

// decodeTOML decodes data into v. name stands in the errors.
func decodeTOML(name string, data []byte, v any) (err error) {
	defer func() { // a decoder is not trusted with hostile bytes
		if r := recover(); r != nil {
			err = usagef("%s: not readable as TOML: %v", name, r)
		}
	}()
	d := toml.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	err = d.Decode(v)
	var missing *toml.StrictMissingError
	if errors.As(err, &missing) {
		return unknownKey(name, missing, reflect.TypeOf(v))
	}
	var bad *toml.DecodeError
	if errors.As(err, &bad) {
		return unreadableTOML(name, bad, reflect.TypeOf(v))
	}
	if err != nil {
		line := lineOfFailure(data, v, err)
		if key := keyOnLine(data, line); key != "" {
			err = fmt.Errorf("%s: %w", key, err)
		}
		return usagef("%s:%d: %w", name, line, err)
	}
	if p := checkArrays(data, reflect.TypeOf(v)); p != nil {
		return usagef("%s: %s", at(name, data, p.key), p.problem)
	}
	return nil
}

// lineOfFailure finds the line of an error that carries none, which those of
// our own value types do: the first line with which the file fails like that.
func lineOfFailure(data []byte, v any, failure error) int {
	line := 0
	for end := range data {
		if data[end] != '\n' && end < len(data)-1 {
			continue
		}
		line++
		err := toml.Unmarshal(data[:end+1], reflect.New(reflect.TypeOf(v).Elem()).Interface())
		if err != nil && err.Error() == failure.Error() || line == maxSearchedLines {
			break
		}
	}
	return line
}

// maxSearchedLines bounds the search, whose work grows with the square of it.
const maxSearchedLines = 1000

func unknownKey(name string, missing *toml.StrictMissingError, t reflect.Type) error {
	first := missing.Errors[0]
	line, _ := first.Position()
	key := first.Key()
	known := keysAt(t, key[:len(key)-1])
	f := usagef("%s:%d: unknown key %q", name, line, strings.Join(key, "."))
	if near := nearest(key[len(key)-1], known); near != "" {
		return f.hintf("did you mean %q?", near)
	}
	return f.hintf("known here are %s", strings.Join(known, ", "))
}

// keysAt lists the keys of the table at the given place in the struct t.
func keysAt(t reflect.Type, table []string) []string {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct {
		return nil
	}
	var keys []string
	for i := range t.NumField() {
		f := t.Field(i)
		key, _, _ := strings.Cut(f.Tag.Get("toml"), ",")
		switch {
		case f.Anonymous && key == "":
			if len(table) == 0 {
				keys = append(keys, keysAt(f.Type, nil)...)
			}
		case len(table) > 0 && key == table[0]:
			return keysAt(f.Type, table[1:])
		case key != "":
			keys = append(keys, key)
		}
	}
	if len(table) > 0 {
		return nil
	}
	return keys
}

// lineOf finds the line on which a key, as in "gantry.bed_mm" or "part[1].pick",
// is set; 0 when it is not. Without its index it is the first of its name.
func lineOf(data []byte, key string) int {
	var p unstable.Parser
	p.Reset(data)
	first, table, seen := 0, "", map[string]int{}
	for p.NextExpression() {
		e := p.Expression()
		name := strings.Join(keyWords(e.Key()), ".")
		switch e.Kind {
		case unstable.Table:
			table = name
		case unstable.ArrayTable:
			table = fmt.Sprintf("%s[%d]", name, seen[name])
			seen[name]++
		case unstable.KeyValue:
			it := e.Key()
			it.Next()
			line := p.Shape(it.Node().Raw).Start.Line
			switch name = inTable(table, name); {
			case name == key:
				return line
			case first == 0 && indexes.ReplaceAllString(name, "") == indexes.ReplaceAllString(key, ""):
				first = line
			}
		}
	}
	return first
}

func keyWords(it unstable.Iterator) []string {
	var words []string
	for it.Next() {
		words = append(words, string(it.Node().Data))
	}
	return words
}

// indexes are those of keys like "gantry.keep_out[0]".
var indexes = regexp.MustCompile(`\[[0-9]+\]`)

// at words the place of a key in a file: "tag.toml:12: gantry.bed_mm".
func at(name string, data []byte, key string) string {
	if line := lineOf(data, key); line > 0 {
		return fmt.Sprintf("%s:%d: %s", name, line, key)
	}
	return fmt.Sprintf("%s: %s", name, key)
}
