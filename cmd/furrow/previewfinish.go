package main

import (
	"encoding/hex"
	"fmt"
	"image/color"
	"slices"
	"strings"

	"furrow/raster/density"

	"golang.org/x/image/colornames"
)

// colour is an opaque sRGB colour, written "#rrggbb" or as SVG names it, in words
// too: "dark slate grey".
type colour color.RGBA

func (c *colour) Set(s string) error {
	name := strings.ToLower(strings.Join(strings.Fields(s), ""))
	if named, ok := colornames.Map[name]; ok {
		*c = colour(named)
		return nil
	}
	b, err := hex.DecodeString(strings.TrimPrefix(name, "#"))
	if err != nil || len(b) != 3 || !strings.HasPrefix(name, "#") {
		return fmt.Errorf("%q is no colour: write it as #rrggbb, or name it as SVG does", s)
	}
	*c = colour{b[0], b[1], b[2], 255}
	return nil
}

// tone is what marks leave: a word of a recipe, or a colour.
type tone struct {
	word   string
	colour colour
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
func toneOf(r *recipe) *tone {
	if r == nil || r.Tone == "" {
		return nil
	}
	return &tone{word: r.Tone}
}

// blank returns a colour for a blank on which the tone can be seen.
func (t tone) blank() colour {
	if t.word == toneLighter {
		return colour{70, 72, 74, 255}
	}
	return colour{}
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
	blank, t := first(f.blank, s.blank), or(first(f.tone, s.tone), tone{word: toneDarker})
	ground = color.RGBA(or(blank, t.blank()))
	return ground, slices.Repeat([]color.RGBA{t.on(ground)}, len(s.program.Settings))
}

// addBlank adds what the job says of the blank to its picture.
func (b *build) addBlank(s *subject) {
	s.opts.Blank, s.opts.BlankName = b.art.Page, "page"
	if r, ok := b.blankRect(); ok {
		s.opts.Blank, s.opts.BlankName = r, "blank"
	}
	var c colour
	if name := b.job.Blank.Colour; name != nil && c.Set(*name) == nil {
		s.blank = &c
	}
	s.tone = toneOf(b.recipe)
}
