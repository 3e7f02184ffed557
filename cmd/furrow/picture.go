package main

import (
	"encoding/hex"
	"fmt"
	"image/color"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"furrow/path"
	"furrow/raster/density"

	"github.com/spf13/pflag"
)

// pictureFlags say how a picture is drawn. The zero value draws the density.
type pictureFlags struct {
	show        *string
	window      *window
	crop        bool
	units       *string
	dpi         *number
	size        *pixels
	dark        bool
	blank       *colour
	tone        *tone
	film        string
	filmSeconds *number
}

func (f *pictureFlags) flags(fs *pflag.FlagSet) {
	fs.Var(oneOf{&f.show, density.Shows()}, "show", "`WHAT` to see: "+strings.Join(density.Shows(), ", ")+" (default density)")
	optionalVar(fs, &f.window, "window", "show only the rectangle `X,Y,W,H`: its lower-left corner and size")
	fs.BoolVar(&f.crop, "crop", false, "show only the work, not all of the bed, field and page")
	fs.Var(oneOf{&f.units, []string{"mm", "in"}}, "units", "rulers in `mm` or in (default mm)")
	optionalVar(fs, &f.dpi, "dpi", "`PIXELS` an inch of the work; text grows with it")
	optionalVar(fs, &f.size, "size", "longer side of the picture in `PIXELS`, where --dpi is not given (default 1600; a film 900)")
	fs.BoolVar(&f.dark, "dark", false, "light on dark")
	optionalVar(fs, &f.blank, "blank-colour", "with --show finish: the blank's `COLOUR`, written #rrggbb")
	optionalVar(fs, &f.tone, "tone", "with --show finish: what the marks leave: lighter or darker than the blank, or a `COLOUR` (default darker)")
	fs.StringVar(&f.film, "film", "", "write an animated picture of the job in the machine's own time to `FILE.png`")
	optionalVar(fs, &f.filmSeconds, "film-seconds", "length of the film in `SECONDS` (default 8)")
}

// window is a rectangle, written "X,Y,W,H".
type window path.Rect

func (w *window) Set(s string) error {
	var v [4]float64
	parts := strings.Split(s, ",")
	if len(parts) != len(v) {
		return fmt.Errorf("%q is not X,Y,W,H", s)
	}
	for i, p := range parts {
		var err error
		if v[i], err = path.ParseLength(p); err != nil {
			return err
		}
	}
	if !(v[2] > 0 && v[3] > 0) {
		return fmt.Errorf("%q has no width or height", s)
	}
	*w = window{Min: path.Point{X: v[0], Y: v[1]}, Max: path.Point{X: v[0] + v[2], Y: v[1] + v[3]}}
	return nil
}

// colour is an opaque sRGB colour, written "#rrggbb".
type colour color.RGBA

func (c *colour) Set(s string) error {
	b, err := hex.DecodeString(strings.TrimPrefix(s, "#"))
	if err != nil || len(b) != 3 || !strings.HasPrefix(s, "#") {
		return fmt.Errorf("%q is no colour: write it as #rrggbb", s)
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
		return fmt.Errorf("%q is none of %s, %s and #rrggbb", s, toneLighter, toneDarker)
	}
	return nil
}

const (
	toneLighter = "lighter"
	toneDarker  = "darker"
)

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

// pixels is a whole number above 0.
type pixels int

func (p *pixels) Set(s string) error {
	var rest string
	if n, _ := fmt.Sscanf(s+" .", "%d %s", (*int)(p), &rest); n != 2 || rest != "." || *p < 1 {
		return fmt.Errorf("%q is not a whole number above 0", s)
	}
	return nil
}

// check refuses, before any work, what cannot be written or read as a picture.
func (f *pictureFlags) check(out output, inputs ...string) error {
	if out.path == "" && f.film == "" {
		return usagef("no output file").hintf("add -o FILE.png, .svg or .pdf, or --film FILE.png")
	}
	if out.path != "" {
		if _, err := pictureFormat(out); err != nil {
			return err
		}
		if err := out.check(inputs...); err != nil {
			return err
		}
	}
	return f.checkFilm(out, inputs...)
}

func (f *pictureFlags) checkFilm(out output, inputs ...string) error {
	switch {
	case f.film == "" && f.filmSeconds != nil:
		return usagef("--film-seconds without a film").hintf("add --film FILE.png")
	case f.film == "":
		return nil
	case f.film == out.path:
		return usagef("the picture and the film are both %s", f.film)
	case strings.ToLower(filepath.Ext(f.film)) != ".png":
		return usagef("film %s: a film is an animated .png", f.film)
	}
	if s := f.filmSeconds; s != nil && !(*s >= 1 && *s <= density.MaxFilmSeconds) {
		return usagef("a film of %g s is out of range: use 1 to %g", *s, float64(density.MaxFilmSeconds))
	}
	return output{f.film, out.force}.check(inputs...)
}

// The formats of pictures, by the ending of the file's name.
const (
	formatPNG = ".png"
	formatSVG = ".svg"
	formatPDF = ".pdf"
)

func pictureFormat(out output) (string, error) {
	if out.toStdout() {
		return formatPNG, nil
	}
	switch ext := strings.ToLower(filepath.Ext(out.path)); ext {
	case formatPNG, formatSVG, formatPDF:
		return ext, nil
	}
	return "", usagef("picture %s: the name must end in .png, .svg or .pdf", out.path)
}

// draw writes what was asked for.
func (f *pictureFlags) draw(a *app, out output, s subject) error {
	o := f.over(s.opts, len(s.program.Settings))
	if err := s.addFacts(&o, f.film != ""); err != nil {
		return err
	}
	if out.path != "" {
		if err := drawTo(a, out, s.program, o); err != nil {
			return err
		}
	}
	if f.film == "" {
		return nil
	}
	err := output{f.film, out.force}.write(a, func(w io.Writer) error {
		return density.EncodeFilm(w, s.program, o, float64(or(f.filmSeconds, 0)))
	})
	return asWork(err)
}

// over returns the options with those of the command line over them, for a
// program of so many settings.
func (f *pictureFlags) over(o density.Options, settings int) density.Options {
	if f.show != nil {
		o.Show, _ = density.ParseShow(*f.show) // the flag knows the words
	}
	o.Window = path.Rect(or(f.window, window{}))
	o.Crop, o.Dark = f.crop, f.dark
	o.Inches = or(f.units, "mm") == "in"
	o.Ground, o.Tones = f.finish(settings)
	o.DPI, o.Size = float64(or(f.dpi, 0)), int(or(f.size, 0))
	return o
}

// finish returns the colours of the blank and of the marks, where they are known.
func (f *pictureFlags) finish(settings int) (ground color.RGBA, tones []color.RGBA) {
	if f.tone == nil {
		return color.RGBA(or(f.blank, colour{})), nil
	}
	ground = color.RGBA(or(f.blank, f.tone.blank()))
	return ground, slices.Repeat([]color.RGBA{f.tone.on(ground)}, settings)
}

func drawTo(a *app, out output, prog path.Program, o density.Options) error {
	format, err := pictureFormat(out)
	if err != nil {
		return err
	}
	o.Paper = format != formatPNG
	p, err := density.Picture(prog, o)
	if err != nil {
		return asWork(err)
	}
	encode := p.EncodePNG
	switch format {
	case formatSVG:
		encode = p.EncodeSVG
	case formatPDF:
		encode = p.EncodePDF
	}
	return out.write(a, encode)
}

func asWork(err error) error {
	if err == nil {
		return nil
	}
	return workf("%w", err)
}
