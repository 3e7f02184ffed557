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
	Material  string        `toml:"material,omitempty" comment:"as recipes name it"`
	Width     *value.Length `toml:"width" comment:"width of the blank, across" range:"0.001 to 100000 mm"`
	Height    *value.Length `toml:"height" comment:"height of the blank, as it lies" range:"0.001 to 100000 mm"`
	Thickness *value.Length `toml:"thickness" comment:"thickness of the blank" range:"0.001 to 10000 mm"`
	Bleed     *value.Length `toml:"bleed" comment:"how far marks may run over its edge; left out: 0" range:"0 to 1000 mm"`
	HeatAs    string        `toml:"heat_as,omitempty" comment:"id of the material whose numbers tell how warm the blank gets; left out: found by material"`
	LiesOn    *string       `toml:"lies_on" comment:"what the blank lies on, for the estimate of its warmth: table, pins or metal; left out: table"`
	Colour    *string       `toml:"colour" comment:"of the blank, as #rrggbb or named as in SVG, for pictures"`
}

// LiesOnWords say what a blank may lie on.
var LiesOnWords = []string{"table", "pins", "metal"}

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
			Problem: word + " gives off hydrogen chloride under a laser, which is poisonous and corrodes the machine: choose another material"})
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
