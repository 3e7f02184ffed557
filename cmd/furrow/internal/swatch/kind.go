package swatch

import (
	"fmt"
	"math"
	"reflect"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
)

// Kind is a setting that a card may vary.
type Kind struct {
	Word  string  // on the command line and on the card
	Unit  string  // on the card
	key   string  // of the fill
	scale float64 // of the unit in that of the fill; 0 for 1
	whole bool    // it has whole values alone
	step  float64 // below which no label goes; 0 for a ten-thousandth
}

// Kinds lists the settings that a card may vary.
var Kinds = []Kind{
	{Word: "speed", Unit: "mm/s", key: "speed_mm_s"},
	{Word: "power", Unit: "%", key: "power_percent"},
	{Word: "frequency", Unit: "kHz", key: "frequency", scale: 1000},
	{Word: "pulse", Unit: "ns", key: "pulse_ns", whole: true},
	{Word: "spacing", Unit: "mm", key: "spacing", step: 0.001},
	{Word: "angle", Unit: "deg", key: "angle"},
	{Word: "passes", Unit: "x", key: "passes", whole: true},
	{Word: "focus", Unit: "mm", key: "focus_offset"},
}

// share is how much of the power that a source is asked for it is taken to give. It is
// no setting of its own, and the rows of the card of power alone have it.
var share = Kind{Word: "share", Unit: "%"}

// KindOf returns the setting of a word.
func KindOf(word string) (Kind, error) {
	var all []string
	if word == share.Word {
		return share, nil
	}
	for _, k := range Kinds {
		if k.Word == word {
			return k, nil
		}
		all = append(all, k.Word)
	}
	return Kind{}, fmt.Errorf("a card does not vary %q: %s", word, fault.Suggest(word, all))
}

// read reads a value as the flag of the setting reads it.
func (k Kind) read(text string) (float64, error) {
	if k.key == "" {
		var n value.Number
		err := value.Read(&n, text, value.Limits{Least: 1, Most: 200, Unit: "percent"})
		return float64(n), err
	}
	var f job.Fill
	field := job.FieldsOf(&f)[k.key]
	p := reflect.New(field.Type().Elem())
	if err := value.Read(p.Interface().(value.Settable), text, job.ValueOf(k.key).Limits); err != nil {
		return 0, err
	}
	field.Set(p)
	v, _ := k.Of(f)
	return v, nil
}

// Of returns the value that a fill has of the setting, in the unit of the card.
func (k Kind) Of(f job.Fill) (v float64, ok bool) {
	if k.key == "" {
		return 0, false
	}
	field := job.FieldsOf(&f)[k.key]
	if field.IsNil() {
		return 0, false
	}
	switch v := field.Elem(); v.Kind() {
	case reflect.Struct:
		return v.Field(0).Float() / k.unit(), true
	case reflect.Int:
		return float64(v.Int()), true
	case reflect.Slice:
		if v.Len() == 0 {
			return 0, false
		}
		return v.Index(0).Float(), true
	default:
		return v.Float(), true
	}
}

// With returns the fill with a value of the setting, in the unit of the card.
func (k Kind) With(f job.Fill, v float64) job.Fill {
	if k.key == "" {
		return f
	}
	field := job.FieldsOf(&f)[k.key]
	p := reflect.New(field.Type().Elem())
	switch to := p.Elem(); to.Kind() {
	case reflect.Struct:
		to.Field(0).SetFloat(v * k.unit())
	case reflect.Int:
		to.SetInt(int64(math.Round(v)))
	case reflect.Slice:
		to.Set(reflect.ValueOf(value.Angles{v}))
	default:
		to.SetFloat(v)
	}
	field.Set(p)
	return f
}

func (k Kind) unit() float64 {
	if k.scale == 0 {
		return 1
	}
	return k.scale
}

// Number writes a value as it stands on the card.
func (k Kind) Number(v float64) string { return words.Decimal(v, 4) }

// Words writes a value with its unit, for people to read in a line.
func (k Kind) Words(v float64) string { return words.Number(v, 4) + " " + k.Unit }

// least is the step below which two values are one: what a label shows.
const least = 1e-4

// rounded returns the value with three digits, or a whole one, as a person would type
// it: what stands on the card is what is marked.
func (k Kind) rounded(v float64) float64 {
	if k.whole {
		return math.Round(v)
	}
	if v == 0 {
		return 0
	}
	const digits = 3
	step := math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-digits+1)
	step = max(step, least, k.step)
	return tidied(math.Round(v/step) * step)
}

// tidied takes the last bits off a decimal number.
func tidied(v float64) float64 { return math.Round(v*1e6) / 1e6 }
