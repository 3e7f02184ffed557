package main

import (
	"reflect"

	"github.com/spf13/pflag"
)

// fillSpec is how something is filled and marked, as far as one source says: a
// nil value is left to the next source. The toml tags are the keys of a job
// file's [fill] and [[part]].
type fillSpec struct {
	Spacing   *spacingMM   `toml:"spacing" comment:"distance between rows: 0.1mm, 100um or 254lpi"`
	Angle     *number      `toml:"angle" comment:"of the rows, degrees counter-clockwise from X"`
	Cross     *number      `toml:"cross" comment:"a second set of rows, turned by this many degrees; 0 for none"`
	Passes    *count       `toml:"passes" comment:"how often the whole fill is marked"`
	PassTurn  *number      `toml:"pass_turn" comment:"degrees added to the angle each pass"`
	OneWay    *bool        `toml:"one_way" comment:"mark every row in the same direction"`
	Outline   *string      `toml:"outline" comment:"trace the outline: none, before, after or only"`
	Offset    *lengthMM    `toml:"offset" comment:"of the outline, outwards"`
	Inset     *lengthMM    `toml:"inset" comment:"of the fill, inwards"`
	Speed     *number      `toml:"speed_mm_s" comment:"marking speed, mm/s"`
	Power     *number      `toml:"power_percent" comment:"percent of full power"`
	Frequency *frequencyHz `toml:"frequency" comment:"pulse frequency of a pulsed source: 50kHz"`
}

// flags registers the values of a fill on the command line.
func (f *fillSpec) flags(fs *pflag.FlagSet) {
	optionalVar(fs, &f.Spacing, "spacing", "distance between rows: `LENGTH` as 0.1mm, 100um or 254lpi")
	optionalVar(fs, &f.Angle, "angle", "of the rows, `DEGREES` counter-clockwise from X (default 0)")
	optionalVar(fs, &f.Cross, "cross", "a second set of rows, turned by `DEGREES`").NoOptDefVal = "90"
	optionalVar(fs, &f.Passes, "passes", "mark the whole fill `N` times (default 1)")
	optionalVar(fs, &f.PassTurn, "pass-turn", "`DEGREES` added to the angle each pass (default 0)")
	fs.VarPF(optionalBool{&f.OneWay}, "one-way", "", "mark every row in the same direction").NoOptDefVal = "true"
	fs.Var(oneOf{&f.Outline, outlineWords}, "outline", "trace the outline: `WHEN` is none, before, after or only (default none)")
	optionalVar(fs, &f.Offset, "offset", "move the outline outwards by `LENGTH`, inwards if negative (default 0)")
	optionalVar(fs, &f.Inset, "inset", "shrink the fill by `LENGTH` (default 0)")
	optionalVar(fs, &f.Speed, "speed", "marking speed, `MM/S`")
	optionalVar(fs, &f.Power, "power", "`PERCENT` of full power")
	optionalVar(fs, &f.Frequency, "frequency", "pulse frequency of a pulsed source: `FREQ` as 50kHz")
}

var outlineWords = []string{"none", "before", "after", "only"}

// source is one place that values come from, as "command line" or "tag.toml".
type layer struct {
	name string
	fill fillSpec
}

// resolve takes each value from the first layer that has it. from tells the
// layer's name by the value's toml key.
func resolve(layers ...layer) (f fillSpec, from map[string]string) {
	from = map[string]string{}
	out := reflect.ValueOf(&f).Elem()
	for i := range out.NumField() {
		key := out.Type().Field(i).Tag.Get("toml")
		for _, l := range layers {
			if v := reflect.ValueOf(l.fill).Field(i); !v.IsNil() {
				out.Field(i).Set(v)
				from[key] = l.name
				break
			}
		}
	}
	return f, from
}

// or returns what p points to, or the default.
func or[T any](p *T, def T) T {
	if p == nil {
		return def
	}
	return *p
}
