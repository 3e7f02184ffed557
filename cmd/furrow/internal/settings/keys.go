package settings

import (
	"bytes"
	"cmp"
	"encoding"
	"fmt"
	"iter"
	"reflect"
	"regexp"
	"strings"
	"unicode"

	"furrow/cmd/furrow/internal/words"

	"github.com/pelletier/go-toml/v2/unstable"
)

// placedKey is a key of a settings file as it is set there, or the head of a table.
type placedKey struct {
	name  string // as "gantry.bed_mm" or "group[1].pick"
	line  int
	value *unstable.Node
	raw   unstable.Range // of a key with its value; of no length for the head of a table
	head  unstable.Range // of its first word
}

// keysIn walks the keys of a settings file, as far as it can be read.
func keysIn(data []byte) iter.Seq[placedKey] {
	return func(yield func(placedKey) bool) {
		w := keyWalk{yield: yield, lines: lineCount{data: data}}
		w.parser.Reset(data)
		table, seen := "", map[string]int{}
		for w.parser.NextExpression() {
			e := w.parser.Expression()
			if e.Kind == unstable.KeyValue {
				if !w.key(table, e) {
					return
				}
				continue
			}
			if table = keyName(e.Key()); e.Kind == unstable.ArrayTable {
				seen[table]++
				table = fmt.Sprintf("%s[%d]", table, seen[table]-1)
			}
			if !yield(placedKey{name: table, line: w.lineOf(e), value: e, head: firstWord(e)}) {
				return
			}
		}
	}
}

type keyWalk struct {
	parser unstable.Parser
	yield  func(placedKey) bool
	lines  lineCount
}

func (w *keyWalk) lineOf(e *unstable.Node) int { return w.lines.of(int(firstWord(e).Offset)) }

// lineCount counts lines up to places that follow each other: counted from the start for
// each, they took a minute of a file of 20,000 tables.
type lineCount struct {
	data      []byte
	at, above int // a place, and the lines that end before it
}

// of returns the line of a place, from 1.
func (c *lineCount) of(at int) int {
	if at < c.at {
		c.at, c.above = 0, 0
	}
	c.above += bytes.Count(c.data[c.at:at], []byte("\n"))
	c.at = at
	return c.above + 1
}

func firstWord(e *unstable.Node) unstable.Range {
	it := e.Key()
	it.Next()
	return it.Node().Raw
}

// key yields a key, and those of a table that is its value.
func (w *keyWalk) key(table string, e *unstable.Node) bool {
	k := placedKey{
		name: InTable(table, keyName(e.Key())), line: w.lineOf(e), value: e.Value(), raw: e.Raw, head: firstWord(e),
	}
	return w.yield(k) && w.inside(k.name, k.value)
}

// inside yields the keys of a table that is written as a value, or of several.
func (w *keyWalk) inside(name string, value *unstable.Node) bool {
	it := value.Children()
	for i := 0; it.Next(); i++ {
		child, more := it.Node(), true
		switch {
		case value.Kind == unstable.InlineTable && child.Kind == unstable.KeyValue:
			more = w.key(name, child)
		case value.Kind == unstable.Array && child.Kind == unstable.InlineTable:
			more = w.inside(fmt.Sprintf("%s[%d]", name, i), child)
		}
		if !more {
			return false
		}
	}
	return true
}

func keyName(it unstable.Iterator) string {
	var words []string
	for it.Next() {
		words = append(words, string(it.Node().Data))
	}
	return strings.Join(words, ".")
}

// indexes are those of keys like "group[1].pick" and "gantry.keep_out[0]".
var indexes = regexp.MustCompile(`\[[0-9]+\]`)

func withoutIndexes(key string) string { return indexes.ReplaceAllString(key, "") }

// LineOf finds the line on which a key, as in "gantry.bed_mm" or "group[1].pick",
// is set; where it is not, that of its table; 0 where there is none. Without its
// index it is the first of its name.
func LineOf(data []byte, key string) int {
	list := lastIndex.ReplaceAllString(key, "")
	table := key[:max(0, strings.LastIndex(key, "."))]
	line, tableLine := 0, 0
	for k := range keysIn(data) {
		switch {
		case k.name == key:
			return k.line
		case line == 0 && (k.name == list || withoutIndexes(k.name) == key):
			line = k.line
		case tableLine == 0 && k.name == table:
			tableLine = k.line
		}
	}
	return cmp.Or(line, tableLine)
}

// lastIndex is that of an element of a list, which has no line of its own.
var lastIndex = regexp.MustCompile(`\[[0-9]+\]$`)

// refusedKey finds the key whose value one of our own types refuses with an error,
// which carries no line, or returns "".
func refusedKey(data []byte, t reflect.Type, failure error) string {
	for k := range keysIn(data) {
		of := TypeAt(t, strings.Split(withoutIndexes(k.name), "."))
		if of == nil {
			continue
		}
		if err := readText(k.value, of); err != nil && strings.Contains(failure.Error(), err.Error()) {
			return k.name
		}
	}
	return ""
}

// readText reads a value, or each in a list, as its type reads text, if it does.
func readText(value *unstable.Node, t reflect.Type) error {
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if reader, ok := reflect.New(t).Interface().(encoding.TextUnmarshaler); ok && value.Kind != unstable.Array {
		return reader.UnmarshalText(value.Data)
	}
	if value.Kind != unstable.Array || t.Kind() != reflect.Slice && t.Kind() != reflect.Array {
		return nil
	}
	for it := value.Children(); it.Next(); {
		if err := readText(it.Node(), t.Elem()); err != nil {
			return err
		}
	}
	return nil
}

// ofTable is the index of a table, which its line tells better.
var ofTable = regexp.MustCompile(`\[[0-9]+\]\.`)

// At words the place of a key in a file: "tag.toml:12: gantry.bed_mm".
func At(name string, data []byte, key string) string {
	if line := LineOf(data, key); line > 0 {
		return fmt.Sprintf("%s:%d: %s", name, line, ofTable.ReplaceAllString(key, "."))
	}
	return fmt.Sprintf("%s: %s", name, key)
}

// TypeAt returns the type of a key, word by word, in the struct t, nil where it
// has none.
func TypeAt(t reflect.Type, key []string) reflect.Type {
	for _, word := range key {
		if t = fieldType(TableOf(t), word); t == nil {
			return nil
		}
	}
	return t
}

func fieldType(t reflect.Type, word string) reflect.Type {
	if t.Kind() != reflect.Struct {
		return nil
	}
	for _, f := range FieldsOf(reflect.Zero(t)) {
		if strings.EqualFold(f.Key, word) { // as the decoder matches them
			return f.Value.Type()
		}
	}
	return nil
}

// checkKeys refuses what the decoder takes, of a file that fills a struct of type
// t: an array of another length than the one it fills, of which the decoder drops
// what is too much and takes 0 for what is missing, and characters that would
// change a terminal.
func checkKeys(data []byte, t reflect.Type) (all []*KeyProblem) {
	for k := range keysIn(data) {
		name := withoutIndexes(k.name)
		problem := ""
		if k.value.Kind == unstable.Array {
			problem = lengthProblem(k.value, TypeAt(t, strings.Split(name, ".")))
		}
		if problem == "" && !sentAsItStands[name] {
			problem = textProblem(k.value, name == "notes")
		}
		if problem != "" {
			all = append(all, &KeyProblem{Key: k.name, Problem: problem})
		}
	}
	return all
}

// sentAsItStands are the texts that go to a controller, for which control characters mean
// something. They are shown quoted.
var sentAsItStands = map[string]bool{
	"link.wake": true, "link.ask_position": true, "link.hold": true, "link.go_on": true, "link.stop": true,
}

// lengthProblem words what is wrong with the length of an array, or of one in it.
func lengthProblem(value *unstable.Node, t reflect.Type) string {
	if t != nil && t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if t == nil || value.Kind != unstable.Array || t.Kind() != reflect.Array && t.Kind() != reflect.Slice {
		return ""
	}
	n := 0
	for it := value.Children(); it.Next(); n++ {
		if problem := lengthProblem(it.Node(), t.Elem()); problem != "" {
			return problem
		}
	}
	if t.Kind() == reflect.Array && n != t.Len() {
		return fmt.Sprintf("%s, where %d belong", words.Plural(n, "value"), t.Len())
	}
	return ""
}

// textProblem words the control character that stands in a text, or in one of
// several. In notes, white space is none.
func textProblem(value *unstable.Node, notes bool) string {
	if value.Kind == unstable.String {
		for _, r := range string(value.Data) {
			if unicode.IsControl(r) && !(notes && unicode.IsSpace(r)) {
				return fmt.Sprintf("%q is a control character, which a text must not hold", r)
			}
		}
	}
	for it := value.Children(); it.Next(); {
		if problem := textProblem(it.Node(), notes); problem != "" {
			return problem
		}
	}
	return ""
}
