package settings

import (
	"cmp"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit/machine"
	"furrow/path"
)

// Change is a profile with other values, not yet written.
type Change struct {
	Before, After Machine
	Old, New      []byte   // the file
	Told          []string // what was set, in words
	once          []string // the keys that SetOnce has set
}

// NewChange begins a change of a profile that is a file.
func NewChange(m Machine) (*Change, error) {
	if m.BuiltIn() {
		return nil, fault.Usagef("%s is a built-in example and no file", m.ID).
			Hintf("furrow machines new %s -o mine.toml writes one to start from", m.ID)
	}
	data, err := ReadFile(m.File)
	return &Change{Before: m, After: m, Old: data, New: data}, err
}

var profileType = reflect.TypeFor[machine.Profile]()

// Set sets a key, as "galvo.jump_delay_us" or, where it is clear, "jump_delay_us". The
// text is a number, a word, or numbers with commas for a list, with a semicolon between
// those that are lists themselves.
func (c *Change) Set(key, text string) error {
	key, of, err := c.find(key)
	if err != nil {
		return err
	}
	value, err := tomlValue(of, text)
	if err != nil {
		return fault.Usagef("%s: %w", key, err)
	}
	was := c.shown(key)
	if c.New, err = Edit(c.New, profileType, key, value); err != nil {
		return err
	}
	if err := c.read(); err != nil {
		return err
	}
	c.tell(key, was, c.shown(key))
	return c.forgetFit(key)
}

// SetOnce is Set, and refuses a key that it has set before: which of two values a person
// means cannot be known.
func (c *Change) SetOnce(key, text string) error {
	whole, _, err := c.find(key)
	if err != nil {
		return err
	}
	if slices.Contains(c.once, whole) {
		return fault.Usagef("%s is given twice", whole).Hintf("say once what it is to be")
	}
	c.once = append(c.once, whole)
	return c.Set(key, text)
}

// find returns the whole name of a key and its type.
func (c *Change) find(key string) (string, reflect.Type, error) {
	var names, short []string
	for _, section := range []string{"", "gantry", "galvo", "laser", "gcode", "link"} {
		of := TypeAt(profileType, strings.FieldsFunc(section, func(r rune) bool { return r == '.' }))
		if section == "gantry" && !c.Before.IsGantry() || section == "galvo" && !c.Before.IsGalvo() ||
			section == "gcode" && c.Before.GCode == nil || section == "link" && c.Before.Link == nil {
			continue
		}
		for _, f := range FieldsOf(reflect.Zero(TableOf(of))) {
			whole := InTable(section, f.Key)
			if IsTable(f.Value.Type()) {
				continue
			}
			if key == f.Key || key == whole {
				return whole, f.Value.Type(), nil
			}
			names, short = append(names, whole), append(short, f.Key)
		}
	}
	if fault.Nearest(key, short) != "" {
		names = short
	}
	return "", nil, fault.Usagef("a %s has no key %q", c.Before.Kind, key).Hintf("%s", fault.Suggest(key, names))
}

// tomlValue writes a text as the value of a type.
func tomlValue(t reflect.Type, text string) (string, error) {
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch t.Kind() {
	case reflect.String:
		return strconv.Quote(text), nil
	case reflect.Bool:
		_, err := strconv.ParseBool(text)
		return text, err
	case reflect.Array, reflect.Slice:
		return tomlList(t, text)
	}
	v, err := path.ParseDecimal(text)
	if err != nil {
		return "", fmt.Errorf("%q is not a number%s", text, path.CommaHint(text))
	}
	return words.Shortest(v), nil
}

func tomlList(t reflect.Type, text string) (string, error) {
	between := ","
	switch t.Elem().Kind() {
	case reflect.Array, reflect.Slice: // clamps, or pairs of a curve
		between = ";"
	case reflect.Struct:
		return "", fmt.Errorf("a list of several values each: write it in the file, as %s", valueExample(t))
	}
	var all []string
	for _, part := range strings.Split(strings.Trim(text, "[] "), between) {
		v, err := tomlValue(t.Elem(), strings.TrimSpace(part))
		if err != nil {
			return "", err
		}
		all = append(all, v)
	}
	return elements(all), nil
}

// Reading is a pair that was read off a card: a speed and an offset, or a percent and a
// share.
type Reading struct{ At, Is float64 }

// SetReversal sets the measured offsets of rows marked backwards at some speeds. Those at
// other speeds stay.
func (c *Change) SetReversal(readings []Reading) error {
	if !c.Before.IsGantry() {
		return fault.Usagef("%s is a %s: rows marked backwards are measured on a gantry", c.Before.ID, c.Before.Kind)
	}
	for _, r := range readings {
		if err := c.setReversal(r); err != nil {
			return err
		}
	}
	return nil
}

func (c *Change) setReversal(r Reading) (err error) {
	table := c.After.Gantry.Reversal
	for i, have := range table {
		if math.Abs(have.SpeedMMPerS-r.At) < 1e-9 {
			key := fmt.Sprintf("gantry.reversal[%d].offset_mm", i)
			if c.New, err = Edit(c.New, profileType, key, words.Shortest(r.Is)); err != nil {
				return err
			}
			c.tellReversal(r, words.Shortest(have.OffsetMM)+" mm")
			return c.read()
		}
	}
	before := slices.IndexFunc(table, func(have machine.Reversal) bool { return have.SpeedMMPerS > r.At })
	if before < 0 {
		before = len(table)
	}
	one := machine.Reversal{SpeedMMPerS: r.At, OffsetMM: r.Is}
	if c.New, err = AddTable(c.New, "gantry.reversal", one, before); err != nil {
		return err
	}
	c.tellReversal(r, "none")
	return c.read()
}

func (c *Change) tellReversal(r Reading, was string) {
	c.tell("gantry.reversal at "+words.Shortest(r.At)+" mm/s", was, words.Shortest(r.Is)+" mm")
}

// SetPowerCurve sets what the source truly gives, by a card on which patches at a percent
// looked like that share of the power they are named for: percent times share of the
// rated power. Full power is the rated one, unless it is read too.
func (c *Change) SetPowerCurve(readings []Reading) (err error) {
	readings = slices.Clone(readings)
	slices.SortFunc(readings, func(a, b Reading) int { return cmp.Compare(a.At, b.At) })
	if n := len(readings); n == 0 || readings[n-1].At < 100 {
		readings = append(readings, Reading{100, 1})
	}
	rated := c.After.Laser.RatedPowerW
	var pairs []string
	for _, r := range readings {
		watts := math.Round(r.At/100*r.Is*rated*1e4) / 1e4
		pairs = append(pairs, elements([]string{words.Shortest(r.At), words.Shortest(watts)}))
	}
	was := c.shown("laser.power_curve")
	if c.New, err = Edit(c.New, profileType, "laser.power_curve", elements(pairs)); err != nil {
		return err
	}
	if err := c.read(); err != nil {
		return err
	}
	c.tell("laser.power_curve", was, c.shown("laser.power_curve"))
	return nil
}

// read reads the profile as it is now. Values that go together may be set one after the
// other: Prove judges the whole.
func (c *Change) read() (err error) {
	c.After, err = parseUnproved(c.Before.File, c.New)
	return err
}

// Prove refuses a profile that is wrong once all is set.
func (c *Change) Prove() error { return ValidateProfile(c.Before.File, c.New, c.After.Profile) }

func (c *Change) tell(key, was, is string) {
	c.Told = append(c.Told, fmt.Sprintf("%s: %s, was %s", key, is, was))
}

// shown words the value of a key as it is now.
func (c *Change) shown(key string) string {
	v := reflect.ValueOf(c.After.Profile)
	for _, word := range strings.Split(key, ".") {
		if v = reflect.Indirect(v); !v.IsValid() {
			return "not there"
		}
		for _, f := range FieldsOf(v) {
			if f.Key == word {
				v = f.Value
				break
			}
		}
	}
	text := fmt.Sprint(reflect.Indirect(v))
	if v.Kind() != reflect.String {
		text = strings.ReplaceAll(text, " ", ", ") // of a list
	}
	switch {
	case !v.IsValid() || v.IsZero():
		return "left out"
	case slices.Contains(c.After.Guessed, key):
		return text + " (assumed)"
	}
	return text
}

// forgetFit takes out what furrow tune wrote about a key that is now set by hand.
func (c *Change) forgetFit(key string) error {
	i := slices.IndexFunc(c.After.Measured, func(m machine.Measured) bool { return m.Key == key })
	if i < 0 {
		return nil
	}
	c.New = RemoveTable(c.New, "measured", i)
	c.Told = append(c.Told, fmt.Sprintf("%s is no longer marked as fitted by furrow tune", key))
	return c.read()
}
