package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strconv"
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
	limit(optionalVar(fs, &f.dpi, "dpi", "`PIXELS` an inch of the work; text grows with it"), limits{density.MinDPI, density.MaxDPI, "pixels an inch"})
	limit(optionalVar(fs, &f.size, "size",
		"longer side of the picture in `PIXELS`, where --dpi is not given (default 1600; a film 900)"), limits{density.MinSize, density.MaxSize, "pixels"})
	fs.BoolVar(&f.dark, "dark", false, "light on dark")
	optionalVar(fs, &f.blank, "blank-colour", "with --show finish: the blank's `COLOUR`, as #rrggbb or named as in SVG (default the job's)")
	optionalVar(fs, &f.tone, "tone",
		"with --show finish: what the marks leave: lighter or darker than the blank, or a `COLOUR` (default the recipe's, else darker)")
	fs.StringVar(&f.film, "film", "", "write an animated picture of the job in the machine's own time to `FILE.png`")
	limit(optionalVar(fs, &f.filmSeconds, "film-seconds", "length of the film in `SECONDS` (default 8)"), limits{1, density.MaxFilmSeconds, "s"})
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
	if least, most := density.MinWindowMM, density.MaxWindowMM; !(min(v[2], v[3]) >= least && max(v[2], v[3]) <= most) {
		return fmt.Errorf("%q is not %g to %g mm wide and high", s, least, most)
	}
	if most := density.MaxWindowMM; max(math.Abs(v[0]), math.Abs(v[1])) > most {
		return fmt.Errorf("%q begins more than %g mm from X0 Y0", s, most)
	}
	*w = window{Min: path.Point{X: v[0], Y: v[1]}, Max: path.Point{X: v[0] + v[2], Y: v[1] + v[3]}}
	return nil
}

// pixels is the longer side of a picture.
type pixels int

func (p *pixels) Set(s string) error {
	n, err := strconv.Atoi(strings.TrimSpace(s))
	if err != nil {
		return fmt.Errorf("%q is not a whole number from %d to %d", s, density.MinSize, density.MaxSize)
	}
	*p = pixels(n)
	return nil
}

func (p *pixels) numbers() []float64 { return []float64{float64(*p)} }

// check refuses, before any work, what cannot be written or read as a picture.
func (f *pictureFlags) check(out output, inputs ...string) error {
	if out.path == "" && f.film == "" {
		return usagef("no output file").hintf("add -o FILE.png, .svg or .pdf, or --film FILE.png")
	}
	if out.path != "" {
		format, err := pictureFormat(out)
		if err != nil {
			return err
		}
		if format != formatPNG && f.size != nil && f.film == "" {
			return usagef("--size counts pixels, and %s is drawn at true size", out.path).hintf("leave it out; --dpi says how fine a picture inside is")
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
	o := f.over(s)
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

// over returns the subject's options with those of the command line over them.
func (f *pictureFlags) over(s subject) density.Options {
	o := s.opts
	if f.show != nil {
		o.Show, _ = density.ParseShow(*f.show) // the flag knows the words
	}
	o.Window = path.Rect(or(f.window, window{}))
	o.Crop, o.Dark = f.crop, f.dark
	o.Inches = or(f.units, "mm") == "in"
	o.Ground, o.Tones = f.finish(s)
	o.DPI, o.Size = float64(or(f.dpi, 0)), int(or(f.size, 0))
	return o
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

// asWork tells what cannot be drawn as it was asked for from what cannot be drawn.
func asWork(err error) error {
	switch {
	case err == nil:
		return nil
	case errors.Is(err, density.ErrTooLarge):
		return usagef("%w", err).hintf("give a lower --dpi or --size, or show less with --window")
	}
	return workf("%w", err)
}
