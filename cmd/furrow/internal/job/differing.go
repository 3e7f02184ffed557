package job

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/data"
	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/path/code"
)

// Differing says what differs from part to part.
type Differing struct {
	Table    Table     `toml:"data" comment:"a file with a row for each part"`
	Counters []Counter `toml:"counter" comment:"a number that counts the parts"`
	Texts    []Text    `toml:"text" comment:"words of the artwork that each part has of its own"`
	Codes    []Code    `toml:"code" comment:"a code for readers in place of a rectangle of the artwork"`
}

// Table is the file of the parts' values.
type Table struct {
	File     string   `toml:"file,omitempty" comment:"CSV or XLSX: a head, a row a part; column quantity repeats rows"`
	Encoding *string  `toml:"encoding" comment:"of CSV text; left out: utf-8"`
	Sheet    *string  `toml:"sheet" comment:"of an XLSX file; left out: the only one that holds anything"`
	Unique   []string `toml:"unique,omitempty" comment:"columns that may not hold a value twice"`
}

// Counter counts the parts.
type Counter struct {
	Name   string       `toml:"name" comment:"by which texts and codes name it, in braces"`
	Start  *int         `toml:"start" comment:"the first part's number; left out: 1"`
	Step   *int         `toml:"step" comment:"from part to part; left out: 1"`
	Digits *value.Count `toml:"digits" comment:"at least so many, with zeros in front; left out: as many as it takes"`
}

// Text is a text element of the artwork with other words.
type Text struct {
	Pick    string        `toml:"pick" comment:"a text element: it gives font, size, anchor and place"`
	Value   string        `toml:"value" comment:"its words: {column} or {counter} is a value, {{ a brace"`
	Room    *value.Length `toml:"room"`
	Shrink  *value.Number `toml:"shrink" comment:"the least size, percent; left out: 100" range:"1 to 100 percent"`
	Squeeze *value.Number `toml:"squeeze"`
	Lines   *value.Count  `toml:"lines" comment:"2 lets it break at a space"`
	Font    *string       `toml:"font"`
}

// Describe tells the comment and the range of a key that has no tag for them.
func (Text) Describe(key string) (string, value.Limits) { return describe(key) }

// SingleLine is the font of letters that are lines.
const SingleLine = "single-line"

// Code is a machine-readable code.
type Code struct {
	Pick  string  `toml:"pick" comment:"a rectangle: the code lies in its middle, as large as fits"`
	Kind  string  `toml:"kind" comment:"data-matrix, qr or code-128"`
	Value string  `toml:"value" comment:"what it holds, as in text"`
	Tone  *string `toml:"tone" comment:"lighter or darker: the mark on the blank; left out: the recipe's, or darker"`
}

// ToneWords are those of a code's tone.
var ToneWords = []string{"lighter", "darker"}

// Any reports that parts differ.
func (d Differing) Any() bool { return len(d.Texts) > 0 || len(d.Codes) > 0 }

// Places lists the selectors of texts, and then of codes.
func (d Differing) Places() (picks []string) {
	for _, t := range d.Texts {
		picks = append(picks, t.Pick)
	}
	for _, c := range d.Codes {
		picks = append(picks, c.Pick)
	}
	return picks
}

// KeyOfPlace returns the key that a selector of Places stands at.
func (d Differing) KeyOfPlace(pick string) string {
	i := slices.Index(d.Places(), pick)
	if i < len(d.Texts) {
		return fmt.Sprintf("text[%d].pick", i)
	}
	return fmt.Sprintf("code[%d].pick", i-len(d.Texts))
}

// Count returns the counters as data counts them.
func (d Differing) Count() (counters []data.Counter) {
	for _, c := range d.Counters {
		counters = append(counters, data.Counter{
			Name: c.Name, Start: value.Or(c.Start, 1), Step: value.Or(c.Step, 1), Digits: int(value.Or(c.Digits, 0)),
		})
	}
	return counters
}

// StartingAt returns d with counters that start at other numbers.
func (d Differing) StartingAt(starts map[string]int) Differing {
	d.Counters = slices.Clone(d.Counters)
	for i, c := range d.Counters {
		if n, given := starts[c.Name]; given {
			d.Counters[i].Start = &n
		}
	}
	return d
}

// checkStarts refuses numbers of counters that there are not, and those that no counter has.
func (d Differing) checkStarts(starts map[string]int) error {
	var names []string
	for _, c := range d.Counters {
		names = append(names, c.Name)
	}
	for _, name := range slices.Sorted(maps.Keys(starts)) {
		switch {
		case len(names) == 0:
			return fault.Usagef("--counter: the job has no [[counter]]")
		case !slices.Contains(names, name):
			return fault.Usagef("--counter: no counter is called %q", name).Hintf("%s", fault.Suggest(name, names))
		case starts[name] < 0:
			return fault.Usagef("--counter: %d is below 0", starts[name])
		}
	}
	return nil
}

// problem says what is wrong, if anything is.
func (d Differing) problem() *settings.KeyProblem {
	if len(d.Table.Unique) > 0 && d.Table.File == "" {
		return wrongKey("data.unique", "there is no file whose columns could be unique: name one as data.file")
	}
	for i, c := range d.Counters {
		key := fmt.Sprintf("counter[%d].", i)
		switch {
		case !data.Nameable(c.Name):
			return wrongKey(key+"name", "%q cannot stand in a placeholder: use letters and digits", c.Name)
		case value.Or(c.Step, 1) == 0:
			return wrongKey(key+"step", "a counter that stands still: leave it out, or write the number")
		case value.Or(c.Start, 1) < 0:
			return wrongKey(key+"start", "%d is below 0", *c.Start)
		}
	}
	for i, t := range d.Texts {
		if p := t.problem(fmt.Sprintf("text[%d].", i)); p != nil {
			return p
		}
	}
	for i, c := range d.Codes {
		if p := c.problem(fmt.Sprintf("code[%d].", i)); p != nil {
			return p
		}
	}
	return nil
}

func (t Text) problem(key string) *settings.KeyProblem {
	if p := wrongValue(key, t.Pick, t.Value); p != nil {
		return p
	}
	if n := value.Or(t.Lines, 1); n > 2 {
		return wrongKey(key+"lines", "%d lines: use 1 or 2", n)
	}
	return checkWord(key+"font", t.Font, []string{SingleLine})
}

func (c Code) problem(key string) *settings.KeyProblem {
	if p := wrongValue(key, c.Pick, c.Value); p != nil {
		return p
	}
	if !slices.Contains(code.Kinds(), code.Kind(c.Kind)) {
		return wrongKey(key+"kind", "%q is none of data-matrix, qr, code-128", c.Kind)
	}
	return checkWord(key+"tone", c.Tone, ToneWords)
}

func wrongValue(key, pick, template string) *settings.KeyProblem {
	if strings.TrimSpace(pick) == "" {
		return wrongKey(key+"pick", "it picks nothing: name an id, class or layer")
	}
	if _, err := data.ParseTemplate(template); err != nil {
		return wrongKey(key+"value", "%v", err)
	}
	return nil
}

func wrongKey(key, format string, args ...any) *settings.KeyProblem {
	return &settings.KeyProblem{Key: key, Problem: fmt.Sprintf(format, args...)}
}
