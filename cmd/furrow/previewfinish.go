package main

import (
	"fmt"
	"image/color"
	"slices"

	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/raster/density"
)

// tone is what marks leave: a word of a recipe, or a colour.
type tone struct {
	word   string
	colour value.Colour
}

func (t *tone) Set(s string) error {
	if s == toneLighter || s == toneDarker {
		t.word = s
		return nil
	}
	if err := t.colour.Set(s); err != nil {
		return fmt.Errorf("%q is none of %s, %s, #rrggbb and the colours that SVG names", s, toneLighter, toneDarker)
	}
	return nil
}

const (
	toneLighter = "lighter"
	toneDarker  = "darker"
)

// toneOf returns the tone of a recipe, if there is one that tells.
func toneOf(r *settings.Recipe) *tone {
	if r == nil || r.Tone == "" {
		return nil
	}
	return &tone{word: r.Tone}
}

// blank returns a colour for a blank on which the tone can be seen.
func (t tone) blank() value.Colour {
	if t.word == toneLighter {
		return value.Colour{R: 70, G: 72, B: 74, A: 255}
	}
	return value.Colour{}
}

// on returns the colour of the tone on a blank.
func (t tone) on(blank color.RGBA) color.RGBA {
	switch t.word {
	case toneLighter:
		return density.Lighter(blank)
	case toneDarker:
		return density.Darker(blank)
	}
	return color.RGBA(t.colour)
}

// finish returns the colours of the blank and of the marks, where they are known:
// those of the command line, else those of the job and its recipe.
func (f *pictureFlags) finish(s subject) (ground color.RGBA, tones []color.RGBA) {
	blank, t := value.First(f.blank, s.blank), value.Or(value.First(f.tone, s.tone), tone{word: toneDarker})
	ground = color.RGBA(value.Or(blank, t.blank()))
	return ground, slices.Repeat([]color.RGBA{t.on(ground)}, len(s.program.Settings))
}

// addBlank adds what the job says of the blank to its picture.
func (s *subject) addBlank(b work.Work) {
	s.opts.Blank, s.opts.BlankName = b.Art.Page, "page"
	if r, ok := b.BlankRect(); ok {
		s.opts.Blank, s.opts.BlankName = r, "blank"
	}
	var c value.Colour
	if name := b.Job.Blank.Colour; name != nil && c.Set(*name) == nil {
		s.blank = &c
	}
	s.tone = toneOf(b.Recipe)
}
