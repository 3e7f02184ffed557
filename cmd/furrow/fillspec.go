package main

import (
	"reflect"

	"furrow/cmd/furrow/internal/value"

	"github.com/spf13/pflag"
)

// fillSpec is how something is filled and marked, as far as one source says: a
// nil value is left to the next source. The toml tags are the keys of a job
// file's [fill] and [[part]].
type fillSpec struct {
	Spacing     *value.Spacing   `toml:"spacing" comment:"distance between rows: 0.1mm, 100um or 254lpi"`
	Angle       *value.Angles    `toml:"angle" comment:"of the rows, degrees counter-clockwise from X; \"0,60,120\" makes three sets, \"best\" takes the quickest" range:"-3600 to 3600 degrees"`
	Cross       *value.Number    `toml:"cross" comment:"a second set of rows, turned by this many degrees; 0 for none" range:"-3600 to 3600 degrees"`
	Passes      *value.Count     `toml:"passes" comment:"how often the whole fill is marked"`
	PassTurn    *value.Number    `toml:"pass_turn" comment:"degrees added to the angle each pass" range:"-3600 to 3600 degrees"`
	OneWay      *bool            `toml:"one_way" comment:"mark every row in the same direction"`
	Stretch     *bool            `toml:"stretch" comment:"stretch the spacing to fit a whole number of rows"`
	Interleave  *value.Count     `toml:"interleave" comment:"every n-th row first, then those between, to let heat spread"`
	Shortest    *value.Length    `toml:"shortest" comment:"leave out spans shorter than this" range:"0 to 1000 mm"`
	CloseGaps   *value.Length    `toml:"close_gaps" comment:"join spans nearer to each other than this" range:"0 to 1000 mm"`
	Contours    *bool            `toml:"contour_parallel" comment:"fill by nested insets of the outline instead of rows"`
	Inset       *value.Length    `toml:"inset" comment:"of the fill, inwards; half the mark width where that is known" range:"0 to 1000 mm"`
	MarkWidth   *value.Length    `toml:"mark_width" comment:"of one marked line, measured" range:"0.001 to 10 mm"`
	FocusOffset *value.Length    `toml:"focus_offset" comment:"distance of the material from the focus; spot, overlap and dose follow it" range:"-100 to 100 mm"`
	Air         *bool            `toml:"air" comment:"air assist"`
	Speed       *value.Number    `toml:"speed_mm_s" comment:"marking speed, mm/s" range:"0.01 to 1000000 mm/s"`
	Power       *value.Number    `toml:"power_percent" comment:"percent of full power" range:"0.01 to 100 percent"`
	Frequency   *value.Frequency `toml:"frequency" comment:"pulse frequency of a pulsed source: 50kHz"`
	Pulse       *value.Number    `toml:"pulse_ns" comment:"pulse length of a source where that can be set, ns" range:"1 to 10000000 ns"`

	Outline      *string       `toml:"outline" comment:"trace the outline: none, before, after or only"`
	Offset       *value.Length `toml:"offset" comment:"of the outline, outwards from the marked region" range:"-100 to 100 mm"`
	Overlap      *value.Length `toml:"overlap" comment:"how far an outline goes on over its start" range:"0 to 100 mm"`
	OutlineSpeed *value.Number `toml:"outline_speed_mm_s" comment:"speed of the outline, if not that of the fill" range:"0.01 to 1000000 mm/s"`
	OutlinePower *value.Number `toml:"outline_power_percent" comment:"power of the outline, if not that of the fill" range:"0.01 to 100 percent"`
}

// flags registers the values of a fill on the command line.
func (f *fillSpec) flags(fs *pflag.FlagSet) {
	value.Flag(fs, &f.Spacing, "spacing", "distance between rows: `LENGTH` as 0.1mm, 100um or 254lpi")
	value.Flag(fs, &f.Angle, "angle", "of the rows, `DEGREES` counter-clockwise from X; 0,60,120 makes three sets, best takes the quickest (default 0)")
	value.Flag(fs, &f.Cross, "cross", "a second set of rows, turned by `DEGREES`").NoOptDefVal = "90"
	value.Flag(fs, &f.Passes, "passes", "mark the whole fill `N` times (default 1)")
	value.Flag(fs, &f.PassTurn, "pass-turn", "`DEGREES` added to the angle each pass (default 0)")
	value.Switch(fs, &f.OneWay, "one-way", "mark every row in the same direction")
	value.Switch(fs, &f.Stretch, "stretch", "stretch the spacing to fit a whole number of rows")
	value.Flag(fs, &f.Interleave, "interleave", "every `N`-th row first, then those between, to let heat spread")
	value.Flag(fs, &f.Shortest, "shortest", "leave out spans shorter than `LENGTH` (default 0)")
	value.Flag(fs, &f.CloseGaps, "close-gaps", "join spans nearer to each other than `LENGTH` (default 0)")
	value.Switch(fs, &f.Contours, "contour-parallel", "fill by nested insets of the outline instead of rows")
	value.Flag(fs, &f.Inset, "inset", "shrink the fill by `LENGTH` (default half the mark width, 0 where that is not known)")
	value.Flag(fs, &f.MarkWidth, "mark-width", "width of one marked line, measured, `LENGTH`")
	value.Flag(fs, &f.FocusOffset, "focus-offset", "distance of the material from the focus, `LENGTH`; spot, overlap and dose follow it (default 0)")
	value.Switch(fs, &f.Air, "air", "mark with air assist, where the profile names its word")
	value.Flag(fs, &f.Speed, "speed", "marking speed, `MM/S`")
	value.Flag(fs, &f.Power, "power", "`PERCENT` of full power")
	value.Flag(fs, &f.Frequency, "frequency", "pulse frequency of a pulsed source: `FREQ` as 50kHz")
	value.Flag(fs, &f.Pulse, "pulse", "pulse length in `NS`, of a source where that can be set (default that of the profile)")
	fs.Var(value.OneOf{To: &f.Outline, Words: outlineWords}, "outline", "trace the outline: `WHEN` is none, before, after or only (default none)")
	value.Flag(fs, &f.Offset, "offset", "move the outline outwards by `LENGTH`, inwards if negative (default 0)")
	value.Flag(fs, &f.Overlap, "overlap", "let an outline go on over its start by `LENGTH` (default 0)")
	value.Flag(fs, &f.OutlineSpeed, "outline-speed", "speed of the outline, `MM/S` (default that of the fill)")
	value.Flag(fs, &f.OutlinePower, "outline-power", "`PERCENT` of full power for the outline (default that of the fill)")
	limitFlags(fs, *f)
}

var outlineWords = []string{"none", "before", "after", "only"}

// layer is one place that values come from, as "command line" or "tag.toml".
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
