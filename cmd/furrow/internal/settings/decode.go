package settings

import (
	"bytes"
	"cmp"
	"errors"
	"math"
	"reflect"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/fault"

	"github.com/pelletier/go-toml/v2"
)

// Decode decodes data into v. name stands in the errors, which tell of every key that is
// wrong: unknown, of another kind, or out of its range. Where the file is no TOML they go as
// far as it can be read. v then has what is right.
func Decode(name string, data []byte, v any) (err error) {
	defer func() { // a decoder is not trusted with hostile bytes
		if r := recover(); r != nil {
			err = fault.Usagef("%s: not readable as TOML: %v", name, r)
		}
	}()
	d := decoding{name: name, data: data, of: reflect.TypeOf(v), into: reflect.ValueOf(v)}
	d.decode(v)
	if len(d.all) == 0 {
		return nil
	}
	if other := otherKind(name, data, d.of); other != nil {
		return other
	}
	return d.err()
}

func (d *decoding) decode(v any) {
	if d.strange() {
		return
	}
	failure := decodeStrict(d.data, v)
	d.refuseAll(checkKeys(d.data, d.of))
	if failure != nil {
		d.findAll()
	}
}

func decodeStrict(data []byte, v any) error {
	d := toml.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	return d.Decode(v)
}

// mostFound is as many values as are told at once that cannot be read, and mostUnknown as
// many unknown keys: a file of another kind has no other.
const (
	mostFound   = 20
	mostUnknown = 5
	// mostDecoded is as many unknown keys as the decoder is let loose on, which looks through
	// the file for each.
	mostDecoded = 200
)

// decoding gathers what is wrong with a file.
type decoding struct {
	name string
	data []byte
	of   reflect.Type // pointer to the struct that it fills
	into reflect.Value
	all  []slip
}

type slip struct {
	line int
	err  error
}

func (d *decoding) add(line int, err error) { d.all = append(d.all, slip{line, err}) }

func (d *decoding) refuseAll(all []*KeyProblem) {
	for _, p := range all[:min(len(all), mostFound)] {
		d.add(LineOf(d.data, p.Key), fault.Usagef("%s: %s", At(d.name, d.data, p.Key), p.Problem))
	}
	if more := len(all) - mostFound; more > 0 {
		d.add(math.MaxInt, moreWrong(d.name, more))
	}
}

// moreWrong tells of what is not told one by one: each takes a look through the file.
func moreWrong(name string, n int) error {
	return fault.Usagef("%s: %d more values that cannot be used", name, n)
}

// err is what was found, by line.
func (d *decoding) err() error {
	slices.SortStableFunc(d.all, func(a, b slip) int { return cmp.Compare(a.line, b.line) })
	var all []error
	for _, s := range d.all {
		all = append(all, s.err)
	}
	return fault.All(all...)
}

// findAll takes each key out that the decoder stumbles over, which tells of one at a time,
// until it reads the rest; the values that it then has are held against their ranges.
func (d *decoding) findAll() {
	rest := slices.Clone(d.data)
	for range mostFound {
		v := reflect.New(d.of.Elem())
		failure := decodeStrict(rest, v.Interface())
		if failure == nil || d.unknown(failure) {
			d.refuseAll(CheckValues(v.Elem(), ""))
			d.into.Elem().Set(v.Elem())
			return
		}
		from, to := d.stumble(rest, failure)
		if from == to {
			return
		}
		for i := from; i < to; i++ {
			if rest[i] != '\n' {
				rest[i] = ' '
			}
		}
	}
}

// strange adds unknown keys where they are so many that the file is of another kind. What
// an unknown table holds is counted and not told.
func (d *decoding) strange() bool {
	n, of := 0, d.of.Elem()
	for k := range keysIn(d.data) {
		key := strings.Split(withoutIndexes(k.name), ".")
		if takes(of, key) {
			continue
		}
		n++
		if len(d.all) < mostUnknown && takes(of, key[:len(key)-1]) {
			d.add(k.line, unknownKey(d.name, k.line, key, d.of))
		}
	}
	if n <= mostDecoded {
		d.all = nil
		return false
	}
	d.add(math.MaxInt, fault.Usagef("%s: %d more unknown keys", d.name, n-len(d.all)))
	return true
}

// takes reports that a struct t has a key, word by word, or a table there of any keys.
func takes(t reflect.Type, key []string) bool {
	for i := range key {
		of := TypeAt(t, key[:i+1])
		if of == nil || TableOf(of).Kind() == reflect.Map {
			return of != nil
		}
	}
	return true
}

// unknown adds the unknown keys, if the decoder failed by nothing else.
func (d *decoding) unknown(failure error) bool {
	var missing *toml.StrictMissingError
	if !errors.As(failure, &missing) {
		return false
	}
	for i, e := range missing.Errors {
		line, _ := e.Position()
		if i == mostUnknown {
			d.add(line, fault.Usagef("%s: %d more unknown keys", d.name, len(missing.Errors)-mostUnknown))
			break
		}
		d.add(line, unknownKey(d.name, line, e.Key(), d.of))
	}
	return true
}

// stumble adds what the decoder failed by, and returns the bytes of the key with its value;
// of no length where it is no key that can be taken out.
func (d *decoding) stumble(rest []byte, failure error) (from, to int) {
	var bad *toml.DecodeError
	if errors.As(failure, &bad) {
		line, _ := bad.Position()
		d.add(line, unreadableTOML(d.name, d.data, bad, d.of))
		return keyAt(rest, line, bad.Key())
	}
	key := refusedKey(rest, d.of, failure)
	if key == "" {
		d.add(0, fault.Usagef("%s: %w", d.name, failure))
		return 0, 0
	}
	d.add(LineOf(d.data, key), fault.Usagef("%s: %w", At(d.name, d.data, key), failure))
	return named(rest, key)
}

// keyAt returns the bytes of the key that a decoder's error names, with its value, around a
// line; of no length where it names none.
func keyAt(data []byte, line int, key []string) (from, to int) {
	if len(key) == 0 {
		return 0, 0
	}
	lines := lineCount{data: data}
	for _, p := range placesIn(data) {
		first := lines.of(p.from)
		last := first + bytes.Count(data[p.from:p.to], []byte("\n"))
		if p.isKey && first <= line && line <= last && strings.EqualFold(withoutIndexes(p.name),
			strings.Join(key, ".")) {
			return p.from, p.to
		}
	}
	return 0, 0
}

func named(data []byte, key string) (from, to int) {
	for _, p := range placesIn(data) {
		if p.isKey && p.is(key) {
			return p.from, p.to
		}
	}
	return 0, 0
}

func unknownKey(name string, line int, key []string, t reflect.Type) error {
	known := keysAt(t, key[:len(key)-1])
	f := fault.Usagef("%s:%d: unknown key %q", name, line, strings.Join(key, "."))
	if near := fault.Nearest(key[len(key)-1], known); near != "" {
		return f.Hintf("did you mean %q?", near)
	}
	if len(known) == 0 { // in a table that is unknown itself
		return f
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
