package job

import (
	"reflect"

	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
)

// Value describes one value of a fill, for the command line, job files, recipes and
// help alike.
type Value struct {
	Key     string // in a job file
	Flag    string // "" where only the job file has it
	Takes   string // what the flag takes, as help shows it; "" for a switch
	Help    string
	Def     string // what holds where nobody gives it, in words
	Alone   string // what the flag means without a value
	Limits  value.Limits
	Words   []string // the only ones
	recipe  string   // its key in a recipe, where recipes have it
	perUnit float64  // of the recipe's unit, where that is another one
	beam    bool     // says how one machine's beam is driven, and holds for no other
}

// The ranges of more than one value.
var (
	turns     = value.Limits{Least: -3600, Most: 3600, Unit: "degrees"}
	distances = value.Limits{Least: 0, Most: 1000, Unit: "mm"}
	offsets   = value.Limits{Least: -100, Most: 100, Unit: "mm"}
	speeds    = value.Limits{Least: 0.01, Most: 1_000_000, Unit: "mm/s"}
	percents  = value.Limits{Least: 0.01, Most: 100, Unit: "percent"}
)

var outlineWords = []string{"none", "before", "after", "only"}

// Values lists the values of a fill in the sequence of Fill.
var Values = []Value{
	{Key: "spacing", Flag: "spacing", Takes: "LENGTH", recipe: "spacing_mm", beam: true,
		Help: "distance between rows, as 0.1mm, 100um or 254lpi"},
	{Key: "angle", Flag: "angle", Takes: "DEGREES", recipe: "angles_degrees", Limits: turns, Def: "0",
		Help: "of the rows, degrees counter-clockwise from X; \"0,60,120\" makes three sets, \"best\" takes the " +
			"quickest"},
	{Key: "cross", Flag: "cross", Takes: "DEGREES", Alone: "90", recipe: "cross_degrees", Limits: turns,
		Help: "a second set of rows, turned by this many degrees; 0 for none"},
	{Key: "passes", Flag: "passes", Takes: "N", recipe: "passes", Def: "1", beam: true,
		Help: "how often the whole fill is marked"},
	{Key: "pass_turn", Flag: "pass-turn", Takes: "DEGREES", recipe: "pass_turn_degrees", Limits: turns, Def: "0",
		Help: "degrees added to the angle each pass"},
	{Key: "one_way", Flag: "one-way", recipe: "one_way",
		Help: "mark every row in the same direction"},
	{Key: "stretch", Flag: "stretch",
		Help: "stretch the spacing to fit a whole number of rows"},
	{Key: "interleave", Flag: "interleave", Takes: "N",
		Help: "every n-th row first, then those between, to let heat spread"},
	{Key: "shortest", Flag: "shortest", Takes: "LENGTH", Limits: distances, Def: "a tenth of the mark or spot",
		Help: "leave out marks shorter than this"},
	{Key: "close_gaps", Flag: "close-gaps", Takes: "LENGTH", Limits: distances, Def: "a tenth of the mark or spot",
		Help: "mark across gaps shorter than this"},
	{Key: "contour_parallel", Flag: "contour-parallel",
		Help: "fill by nested insets of the outline instead of rows"},
	{Key: "inset", Flag: "inset", Takes: "LENGTH", Limits: distances,
		Def:  "half the mark width, 0 where that is not known",
		Help: "shrink the fill inwards by this"},
	{Key: "mark_width", Flag: "mark-width", Takes: "LENGTH", recipe: "mark_width_mm", beam: true,
		Limits: value.Limits{Least: 0.001, Most: 10, Unit: "mm"},
		Help:   "width of one marked line, measured"},
	{Key: "focus_offset", Flag: "focus-offset", Takes: "LENGTH", recipe: "focus_offset_mm", Limits: offsets, Def: "0",
		beam: true,
		Help: "distance of the material from the focus; spot, overlap and dose follow it"},
	{Key: "air", Flag: "air", recipe: "air", beam: true,
		Help: "air assist, where the profile names its word"},
	{Key: "speed_mm_s", Flag: "speed", Takes: "MM/S", recipe: "speed_mm_s", Limits: speeds, beam: true,
		Help: "marking speed, mm/s"},
	{Key: "power_percent", Flag: "power", Takes: "PERCENT", recipe: "power_percent", Limits: percents, beam: true,
		Help: "percent of full power"},
	{Key: "frequency", Flag: "frequency", Takes: "FREQ", recipe: "frequency_khz", perUnit: 1000, beam: true,
		Help: "pulse frequency of a pulsed source, as 50kHz"},
	{Key: "pulse_ns", Flag: "pulse", Takes: "NS", recipe: "pulse_ns", Def: "that of the profile", beam: true,
		Limits: value.Limits{Least: 1, Most: 10_000_000, Unit: "ns"},
		Help:   "pulse length of a source where that can be set, ns"},
	{Key: "outline", Flag: "outline", Takes: "WHEN", Words: outlineWords, recipe: "outline", Def: "none",
		Help: "trace the outline: none, before, after or only"},
	{Key: "offset", Flag: "offset", Takes: "LENGTH", Limits: offsets, Def: "0",
		Help: "of the outline, outwards from the marked region, inwards if negative"},
	{Key: "overlap", Limits: value.Limits{Least: 0, Most: 100, Unit: "mm"}, Def: "0",
		Help: "run outlines past their start"},
	{Key: "outline_speed_mm_s", Limits: speeds, Def: "that of the fill", beam: true,
		Help: "speed of the outline, mm/s"},
	{Key: "outline_power_percent", Limits: percents, Def: "that of the fill",
		beam: true,
		Help: "power of the outline, percent of full power"},
}

// InRecipe reports that recipes have the value.
func (v Value) InRecipe() bool { return v.recipe != "" }

// ValueOf returns the entry of a key.
func ValueOf(key string) Value {
	for _, v := range Values {
		if v.Key == key {
			return v
		}
	}
	return Value{}
}

// FieldsOf lists the pointers of a fill by their keys.
func FieldsOf(f *Fill) map[string]reflect.Value {
	fields := map[string]reflect.Value{}
	for _, k := range settings.FieldsOf(reflect.ValueOf(f).Elem()) {
		fields[k.Key] = k.Value
	}
	return fields
}
