package settings

import (
	"bytes"
	"errors"
	"io"
	"os"
	"reflect"
	"strings"

	"furrow/cmd/furrow/internal/fault"

	"github.com/pelletier/go-toml/v2"
)

// maxTOML bounds the size of a profile, recipe or job file, bytes.
const maxTOML = 1 << 20

// read reads a strict TOML file into v: an unknown key is an error with its
// line.
func read(name string, v any) ([]byte, error) {
	data, err := ReadFile(name)
	if err != nil {
		return nil, err
	}
	return data, Decode(name, data, v)
}

// ReadFile reads all of a settings file that is named.
func ReadFile(name string) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, fault.Unreadable(err)
	}
	defer f.Close()
	return ReadAll(name, f)
}

// ReadAll reads all of a settings file.
func ReadAll(name string, r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxTOML+1)) // a device tells no size
	if err != nil {
		return nil, fault.Unreadable(err)
	}
	if len(data) > maxTOML {
		return nil, fault.Usagef("%s: more than %d bytes are too many for a settings file", name, maxTOML)
	}
	return bytes.TrimPrefix(data, []byte("\ufeff")), nil // some editors write one
}

// Decode decodes data into v. name stands in the errors.
func Decode(name string, data []byte, v any) (err error) {
	defer func() { // a decoder is not trusted with hostile bytes
		if r := recover(); r != nil {
			err = fault.Usagef("%s: not readable as TOML: %v", name, r)
		}
	}()
	d := toml.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	err = d.Decode(v)
	var missing *toml.StrictMissingError
	if errors.As(err, &missing) {
		return unknownKeys(name, missing, reflect.TypeOf(v))
	}
	var bad *toml.DecodeError
	if errors.As(err, &bad) {
		return unreadableTOML(name, data, bad, reflect.TypeOf(v))
	}
	if err != nil {
		if key := refusedKey(data, reflect.TypeOf(v), err); key != "" {
			return fault.Usagef("%s: %w", At(name, data, key), err)
		}
		return fault.Usagef("%s: %w", name, err)
	}
	if p := checkKeys(data, reflect.TypeOf(v)); p != nil {
		return fault.Usagef("%s: %s", At(name, data, p.Key), p.Problem)
	}
	return nil
}

// mostKeys are as many unknown keys as are told at once: a file of another kind has no
// other.
const mostKeys = 5

// unknownKeys tells of every key that is not known.
func unknownKeys(name string, missing *toml.StrictMissingError, t reflect.Type) error {
	var all []error
	for i, e := range missing.Errors {
		if i == mostKeys {
			all = append(all, fault.Usagef("%s: %d more unknown keys", name, len(missing.Errors)-mostKeys))
			break
		}
		all = append(all, unknownKey(name, e, t))
	}
	return fault.All(all...)
}

func unknownKey(name string, slip toml.DecodeError, t reflect.Type) error {
	line, _ := slip.Position()
	key := slip.Key()
	known := keysAt(t, key[:len(key)-1])
	f := fault.Usagef("%s:%d: unknown key %q", name, line, strings.Join(key, "."))
	if near := fault.Nearest(key[len(key)-1], known); near != "" {
		return f.Hintf("did you mean %q?", near)
	}
	return f.Hintf("known here are %s", strings.Join(known, ", "))
}

// keysAt lists the keys of the table at the given place in the struct t.
func keysAt(t reflect.Type, table []string) []string {
	var keys []string
	if t = TypeAt(t, table); t != nil && TableOf(t).Kind() == reflect.Struct {
		for _, f := range FieldsOf(reflect.Zero(TableOf(t))) {
			keys = append(keys, f.Key)
		}
	}
	return keys
}
