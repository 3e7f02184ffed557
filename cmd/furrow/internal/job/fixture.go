package job

import (
	"fmt"

	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
)

// Fixture says where the blanks of a load sit. The toml tags are the keys of a job
// file's [fixture].
type Fixture struct {
	Columns   *value.Count   `toml:"columns"`
	Rows      *value.Count   `toml:"rows"`
	Pitch     []value.Length `toml:"pitch,omitempty"`
	Gap       []value.Length `toml:"gap,omitempty"`
	Fill      *bool          `toml:"fill"`
	Pockets   string         `toml:"pockets,omitempty"`
	First     []value.Length `toml:"first,omitempty"`
	Turn      *value.Number  `toml:"turn" range:"-360 to 360 degrees"`
	HalfTurns *bool          `toml:"half_turns"`
	Skip      []int          `toml:"skip,omitempty"`
	Sequence  *string        `toml:"sequence"`
	Hold      *bool          `toml:"hold"`
}

// Comment says what a key is.
func (Fixture) Comment(key string) string { return fixtureComments[key] }

var fixtureComments = map[string]string{
	"columns": "pockets side by side",
	"rows":    "rows of pockets, one above the other",
	"pitch":   "from one pocket to the next, along X and up; or gap",
	"gap":     "between blanks, along X and up; or pitch",
	"fill":    "as many blanks as the bed or field takes, gap apart, upright or lying",
	"pockets": "CSV file with x_mm, y_mm (as first, of the blank as it lies) and turn_degrees of each pocket, instead " +
		"of a grid",
	"first": "lower-left corner of pocket 1, or of the rectangle round its blank, from X0 Y0; a galvo's fixture is " +
		"centred unless this is given",
	"turn":       "of each blank, degrees counter-clockwise",
	"half_turns": "every second blank is turned by 180 degrees more",
	"skip":       "pockets that stay empty, by their numbers: from the lower left along X, then up",
	"sequence":   "part (each is finished before the next) or across (rows run across a row of pockets)",
	"hold":       "wait for the operator between parts",
}

// SequenceWords are those of a fixture's sequence.
var SequenceWords = []string{"part", "across"}

// Given reports that the job has a fixture.
func (f Fixture) Given() bool {
	return f.Columns != nil || f.Rows != nil || f.Pockets != "" || value.Or(f.Fill, false)
}

// Across reports that rows run across the parts of a row of pockets.
func (f Fixture) Across() bool { return value.Or(f.Sequence, "part") == "across" }

// problem says what is wrong with the fixture, if anything is.
func (f Fixture) problem() *settings.KeyProblem {
	wrong := func(key, format string, args ...any) *settings.KeyProblem {
		return &settings.KeyProblem{Key: "fixture." + key, Problem: fmt.Sprintf(format, args...)}
	}
	for _, pair := range []struct {
		key string
		v   []value.Length
	}{{"pitch", f.Pitch}, {"gap", f.Gap}, {"first", f.First}} {
		if n := len(pair.v); n != 0 && n != 2 {
			return wrong(pair.key, "%d lengths: write two, along X and up", n)
		}
	}
	grid := f.Columns != nil || f.Rows != nil
	fill := value.Or(f.Fill, false)
	switch {
	case grid && f.Pockets != "" || fill && f.Pockets != "" || grid && fill:
		return wrong("pockets", "columns and rows, fill, and a file of pockets at once: keep one of them")
	case len(f.Pitch) > 0 && len(f.Gap) > 0:
		return wrong("gap", "a pitch and a gap at once: keep one of them")
	case fill && len(f.Pitch) > 0:
		return wrong("pitch", "fill sets blanks a gap apart: write gap instead of pitch")
	case f.Pockets != "" && (len(f.Pitch)+len(f.Gap) > 0 || f.Turn != nil || f.HalfTurns != nil):
		return wrong("pockets", "the file says where each pocket is, so pitch, gap and turns have no place beside it")
	case !f.Given() && (len(f.Pitch)+len(f.Gap)+len(f.First)+len(f.Skip) > 0 || f.Turn != nil || f.HalfTurns != nil):
		return wrong("columns", "a fixture needs columns and rows, fill = true, or a file of pockets")
	}
	return checkWord("fixture.sequence", f.Sequence, SequenceWords)
}
