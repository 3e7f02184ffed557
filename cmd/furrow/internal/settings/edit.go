package settings

import (
	"bytes"
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/fault"
)

// Edit returns a settings file with another value of a key, as "gantry.zero": the value
// is written as TOML. t is the type of the file's struct. Whatever else stands in the
// file stays as it is, remarks and layout too; a list over several lines becomes one. A
// key that is not there takes the place of the remark that stands for it, or comes last
// in its table, which is made where it is missing.
func Edit(data []byte, t reflect.Type, key, value string) ([]byte, error) {
	if TypeAt(t, strings.Split(withoutIndexes(key), ".")) == nil {
		return nil, fault.Usagef("there is no key %q", key)
	}
	at := placesIn(data)
	if i := slices.IndexFunc(at, func(p placed) bool { return p.is(key) && p.isKey }); i >= 0 {
		from, to := at[i].value(data)
		return slices.Concat(data[:from], []byte(" "+value), data[to:]), nil
	}
	table, name := cutKey(key)
	line := name + " = " + value + lineEnd(data)
	from, to, found := tableOf(data, at, table)
	if !found {
		if inlineTable(at, table) {
			return nil, fault.Usagef("%s is written in one line, into which %s cannot be set", table, name).
				Hintf("write it as [%s] with its keys below, a line each", table)
		}
		return slices.Concat(data, []byte(lineEnd(data)+"["+table+"]"+lineEnd(data)+line)), nil
	}
	if a, b, ok := remarkOf(data[from:to], name); ok {
		return slices.Concat(data[:from+a], []byte(line), data[from+b:]), nil
	}
	end := endOfKeys(data, at, table, from)
	return slices.Concat(data[:end], []byte(remarkFor(t, key, lineEnd(data))+line), data[end:]), nil
}

// cutKey parts "gantry.reversal[0].offset_mm" before its last word.
func cutKey(key string) (table, name string) {
	i := strings.LastIndex(key, ".")
	return key[:max(i, 0)], key[i+1:]
}

// placed is a key of a file, or the head of a table, with the bytes that it takes.
type placed struct {
	name     string
	isKey    bool
	from, to int // of a key with its value; of a head its line
}

// is compares names as the decoder does.
func (p placed) is(name string) bool { return strings.EqualFold(p.name, name) }

func placesIn(data []byte) (all []placed) {
	for k := range keysIn(data) {
		p := placed{name: k.name, isKey: k.raw.Length > 0, from: int(k.raw.Offset),
			to: int(k.raw.Offset + k.raw.Length)}
		if !p.isKey {
			p.from = startOfLine(data, int(k.head.Offset))
			p.to = endOfLine(data, int(k.head.Offset))
		}
		all = append(all, p)
	}
	return all
}

// value returns the bytes behind the = of a key.
func (p placed) value(data []byte) (from, to int) {
	return p.from + bytes.IndexByte(data[p.from:p.to], '=') + 1, p.to
}

func startOfLine(data []byte, at int) int { return bytes.LastIndexByte(data[:at], '\n') + 1 }

// endOfLine returns where the next line begins.
func endOfLine(data []byte, at int) int {
	if i := bytes.IndexByte(data[at:], '\n'); i >= 0 {
		return at + i + 1
	}
	return len(data)
}

func lineEnd(data []byte) string {
	if bytes.Contains(data, []byte("\r\n")) {
		return "\r\n"
	}
	return "\n"
}

// tableOf returns the bytes between the head of a table and the next head. The table of
// no name begins the file.
func tableOf(data []byte, all []placed, table string) (from, to int, found bool) {
	found, to = table == "", len(data)
	for _, p := range all {
		switch {
		case p.isKey:
		case found:
			return from, p.from, true
		case p.is(table):
			from, found = p.to, true
		}
	}
	return from, to, found
}

// inlineTable reports that a table is written as the value of a key.
func inlineTable(all []placed, table string) bool {
	return slices.ContainsFunc(all, func(p placed) bool {
		return p.isKey && strings.EqualFold(withoutIndexes(p.name), withoutIndexes(table))
	})
}

// remarkOf finds the remark that stands for a key that is left out: "#name = ...", with
// the line that says so above it.
func remarkOf(text []byte, name string) (from, to int, ok bool) {
	m := regexp.MustCompile(`(?m)^(# left out: [^\n]*\n)?#` + regexp.QuoteMeta(name) + ` *=[^\n]*(\n|\z)`).
		FindIndex(text)
	if m == nil || afterSample(text[:m[0]]) {
		return 0, 0, false
	}
	return m[0], m[1], true
}

// afterSample reports that the last paragraph of a text is the sample of a list's table,
// whose keys are not those of the table before it.
func afterSample(text []byte) bool {
	last := text[bytes.LastIndex(text, []byte("\n\n"))+1:]
	return bytes.Contains(last, []byte("#[["))
}

// endOfKeys returns where the line behind the last key of a table begins.
func endOfKeys(data []byte, all []placed, table string, from int) int {
	end := from
	for _, p := range all {
		if t, _ := cutKey(p.name); p.isKey && strings.EqualFold(t, table) && p.to > end {
			end = endOfLine(data, p.to)
		}
	}
	return end
}

// remarkFor is what a new key means.
func remarkFor(t reflect.Type, key, lineEnd string) string {
	table, name := cutKey(withoutIndexes(key))
	of := t
	if table != "" {
		of = TypeAt(t, strings.Split(table, "."))
	}
	if of == nil {
		return ""
	}
	for _, f := range FieldsOf(reflect.Zero(TableOf(of))) {
		if f.Key == name && f.Meaning() != "" {
			return "# " + f.Meaning() + lineEnd
		}
	}
	return ""
}

// AddTable returns a settings file with one more table of a list, v, before its
// before-th one, or behind the last. The first takes the place of the sample that stands
// for it, or comes behind the table that the list belongs to.
func AddTable(data []byte, list string, v any, before int) ([]byte, error) {
	var b bytes.Buffer
	w := commentedWriter{b: &b}
	w.head("[["+list+"]]", "")
	w.table(list, reflect.ValueOf(v))
	if w.err != nil {
		return nil, w.err
	}
	text := []byte(strings.ReplaceAll(b.String()+"\n", "\n", lineEnd(data)))
	at := placesIn(data)
	if inlineTable(at, list) {
		return nil, fault.Usagef("%s is written as a list in one line, to which none can be added", list).
			Hintf("write each as [[%s]] with its keys below, a line each", list)
	}
	if i := slices.IndexFunc(at, func(p placed) bool { return p.is(fmt.Sprintf("%s[%d]", list, before)) }); i >= 0 {
		return insert(data, aboveRemarks(data, at[i].from), text), nil
	}
	if from, to, ok := sampleOf(data, list); ok {
		return slices.Concat(data[:from], text, data[to:]), nil
	}
	table, _ := cutKey(list)
	if before > 0 {
		table = fmt.Sprintf("%s[%d]", list, before-1)
	}
	_, to, found := tableOf(data, at, table)
	if !found {
		return nil, fault.Usagef("there is no [%s] to add to", table)
	}
	return insert(data, aboveRemarks(data, to), text), nil
}

// insert puts text in, behind an empty line.
func insert(data []byte, at int, text []byte) []byte {
	if at > 0 && !bytes.HasSuffix(data[:at], []byte("\n")) {
		text = append([]byte(lineEnd(data)), text...)
	}
	if at > 0 && !bytes.HasSuffix(bytes.ReplaceAll(data[:at], []byte("\r"), nil), []byte("\n\n")) {
		text = append([]byte(lineEnd(data)), text...)
	}
	return slices.Concat(data[:at], text, data[at:])
}

// aboveRemarks returns where the remarks begin that stand right above a line.
func aboveRemarks(data []byte, at int) int {
	for at > 0 {
		above := startOfLine(data, at-1)
		if !bytes.HasPrefix(data[above:at], []byte("#")) {
			return at
		}
		at = above
	}
	return at
}

// sampleOf finds the remark that shows how a table of a list is written, with the empty
// line behind it.
func sampleOf(data []byte, list string) (from, to int, ok bool) {
	m := regexp.MustCompile(`(?m)^#\[\[` + regexp.QuoteMeta(list) + `\]\]\r?\n(#[^\n]*\n)*(\r?\n)?`).FindIndex(data)
	if m == nil {
		return 0, 0, false
	}
	return m[0], m[1], true
}

// RemoveTable returns a settings file without the i-th table of a list.
func RemoveTable(data []byte, list string, i int) []byte {
	at := placesIn(data)
	name := fmt.Sprintf("%s[%d]", list, i)
	k := slices.IndexFunc(at, func(p placed) bool { return p.is(name) && !p.isKey })
	if k < 0 {
		return data
	}
	_, to, _ := tableOf(data, at, name)
	return slices.Concat(data[:at[k].from], data[aboveRemarks(data, to):])
}
