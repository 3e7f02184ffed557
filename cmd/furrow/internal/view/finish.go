package view

import (
	"fmt"
	"image/color"
	"slices"

	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/raster/density"
)

// Tone is what marks leave: a word of a recipe, or a colour.
type Tone struct {
	Word   string
	colour value.Colour
}

func (t *Tone) Set(s string) error {
	if s == toneLighter || s == toneDarker {
		*t = Tone{Word: s}
		return nil
	}
	var c value.Colour
	if err := c.Set(s); err != nil {
		return fmt.Errorf("%q is none of %s, %s, #rrggbb and the colours that SVG names", s, toneLighter, toneDarker)
	}
	*t = Tone{colour: c}
	return nil
}

const (
	toneLighter = "lighter"
	toneDarker  = "darker"
)

// ToneOf returns the tone of a recipe, if there is one that tells.
func ToneOf(r *settings.Recipe) *Tone {
	if r == nil || r.Tone == "" {
		return nil
	}
	return &Tone{Word: r.Tone}
}

// blank returns a colour for a blank on which the tone can be seen.
func (t Tone) blank() value.Colour {
	if t.Word == toneLighter {
		return value.Colour{R: 70, G: 72, B: 74, A: 255}
	}
	return value.Colour{}
}

// on returns the colour of the tone on a blank.
func (t Tone) on(blank color.RGBA) color.RGBA {
	switch t.Word {
	case toneLighter:
		return density.Lighter(blank)
	case toneDarker:
		return density.Darker(blank)
	}
	return color.RGBA(t.colour)
}

// finish returns the colours of the blank and of the marks, where they are known:
// those of the command line, else those of the job and its recipe.
func (f Picture) finish(s Subject) (ground color.RGBA, tones []color.RGBA) {
	blank, t := value.First(f.Blank, s.blank), value.Or(value.First(f.Tone, s.Tone), Tone{Word: toneDarker})
	ground = color.RGBA(value.Or(blank, t.blank()))
	return ground, slices.Repeat([]color.RGBA{t.on(ground)}, len(s.Program.Settings))
}

// looks reports that it is known how the part will look: on which blank, and how its
// marks stand out.
func (s *Subject) looks() bool {
	return s.Opts.BlankName == "blank" && (s.Tone != nil || s.blank != nil)
}

// addBlank adds what the job says of the blank to its picture.
func (s *Subject) addBlank(b work.Work) {
	s.Opts.Blank, s.Opts.BlankName = b.Art.Page, "page"
	if r, ok := b.BlankRect(); ok {
		s.Opts.Blank, s.Opts.BlankName, s.Opts.Round = r, "blank", b.Job.Blank.Round()
	}
	var c value.Colour
	if name := b.Job.Blank.Colour; name != nil && c.Set(*name) == nil {
		s.blank = &c
	}
	s.Tone = ToneOf(b.Recipe)
}
