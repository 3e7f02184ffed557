package job

import (
	"reflect"

	"furrow/cmd/furrow/internal/value"
)

// Fill is how something is filled and marked, as far as one source says: a
// nil value is left to the next source. The toml tags are the keys of a job
// file's [fill] and [[group]]; Values tells all else of them.
type Fill struct {
	Spacing     *value.Spacing   `toml:"spacing"`
	Angle       *value.Angles    `toml:"angle"`
	Cross       *value.Number    `toml:"cross"`
	Passes      *value.Count     `toml:"passes"`
	PassTurn    *value.Number    `toml:"pass_turn"`
	OneWay      *bool            `toml:"one_way"`
	Stretch     *bool            `toml:"stretch"`
	Interleave  *value.Count     `toml:"interleave"`
	Shortest    *value.Length    `toml:"shortest"`
	CloseGaps   *value.Length    `toml:"close_gaps"`
	Contours    *bool            `toml:"contour_parallel"`
	Inset       *value.Length    `toml:"inset"`
	MarkWidth   *value.Length    `toml:"mark_width"`
	FocusOffset *value.Length    `toml:"focus_offset"`
	Air         *bool            `toml:"air"`
	Speed       *value.Number    `toml:"speed_mm_s"`
	Power       *value.Number    `toml:"power_percent"`
	Frequency   *value.Frequency `toml:"frequency"`
	Pulse       *value.Number    `toml:"pulse_ns"`

	Outline      *string       `toml:"outline"`
	Offset       *value.Length `toml:"offset"`
	Overlap      *value.Length `toml:"overlap"`
	OutlineSpeed *value.Number `toml:"outline_speed_mm_s"`
	OutlinePower *value.Number `toml:"outline_power_percent"`
}

// Describe tells the comment and the range of a key.
func (f Fill) Describe(key string) (comment string, l value.Limits) {
	v := ValueOf(key)
	if v.Def != "" && v.Def != "0" {
		return v.Help + "; left out: " + v.Def, v.Limits
	}
	return v.Help, v.Limits
}

// Layer is one place that values come from, as "command line" or "tag.toml".
type Layer struct {
	Name string
	Fill Fill
}

// Layered takes each value from the first layer that has it. from tells the
// layer's name by the value's toml key.
func Layered(layers ...Layer) (f Fill, from map[string]string) {
	from = map[string]string{}
	out := reflect.ValueOf(&f).Elem()
	for i := range out.NumField() {
		key := out.Type().Field(i).Tag.Get("toml")
		for _, l := range layers {
			if v := reflect.ValueOf(l.Fill).Field(i); !v.IsNil() {
				out.Field(i).Set(v)
				from[key] = l.Name
				break
			}
		}
	}
	return f, from
}
