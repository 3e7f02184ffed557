package job

import (
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit/machine"
	"furrow/path"
)

// Blank is the part before it is marked. The toml tags are the keys of a
// job file's [blank].
type Blank struct {
	Material  string        `toml:"material,omitempty"`
	Width     *value.Length `toml:"width" range:"0.001 to 100000 mm"`
	Height    *value.Length `toml:"height" range:"0.001 to 100000 mm"`
	Shape     *string       `toml:"shape"`
	Thickness *value.Length `toml:"thickness" range:"0.001 to 10000 mm"`
	Bleed     *value.Length `toml:"bleed" range:"0 to 1000 mm"`
	HeatAs    string        `toml:"heat_as,omitempty"`
	LiesOn    *string       `toml:"lies_on"`
	Colour    *string       `toml:"colour"`
}

// Comment says what a key is.
func (Blank) Comment(key string) string { return blankComments[key] }

var blankComments = map[string]string{
	"material":  "as recipes name it",
	"width":     "width of the blank, across",
	"height":    "height of the blank, as it lies",
	"shape":     "rectangle or round, which is the largest circle or oval in width and height; left out: rectangle",
	"thickness": "thickness of the blank",
	"bleed":     "how far marks may run over its edge; left out: 0",
	"heat_as":   "id of the material whose numbers tell how warm the blank gets; left out: found by material",
	"lies_on":   "what the blank lies on, for the estimate of its warmth: table, pins or metal; left out: table",
	"colour":    "of the blank, as #rrggbb or named as in SVG, for pictures",
}

// LiesOnWords say what a blank may lie on.
var LiesOnWords = []string{"table", "pins", "metal"}

// The shapes of blanks.
const (
	ShapeRectangle = "rectangle"
	ShapeRound     = "round"
)

// ShapeWords are the shapes that a blank may have.
var ShapeWords = []string{ShapeRectangle, ShapeRound}

// Round reports that the blank is the ellipse in its width and height.
func (s Blank) Round() bool { return value.Or(s.Shape, ShapeRectangle) == ShapeRound }

// Over returns s with the size and the bleed of the command line, if it names them.
func (s Blank) Over(asked *value.Point, bleed *value.Length) Blank {
	s.Bleed = value.First(bleed, s.Bleed)
	if asked != nil {
		s.Width, s.Height = value.Given(value.Length(asked.X)), value.Given(value.Length(asked.Y))
	}
	return s
}

// problems lists what is wrong with a blank, but for sizes out of range.
func (s Blank) problems() (all []*settings.KeyProblem) {
	if word := machine.ChlorinatedWord(s.Material); word != "" {
		all = append(all, &settings.KeyProblem{Key: "blank.material",
			Problem: word + " gives off hydrogen chloride under a laser, which is poisonous and corrodes the " +
				"machine: choose another material"})
	}
	if s.Colour != nil {
		if err := new(value.Colour).Set(*s.Colour); err != nil {
			all = append(all, &settings.KeyProblem{Key: "blank.colour", Problem: err.Error()})
		}
	}
	return all
}

// Known reports that the size of the blank is.
func (s Blank) Known() bool { return s.Width != nil && s.Height != nil }

// Size returns width and height, mm.
func (s Blank) Size() path.Point {
	return path.Point{X: float64(value.Or(s.Width, 0)), Y: float64(value.Or(s.Height, 0))}
}
