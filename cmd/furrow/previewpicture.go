package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strconv"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/value"
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
	dpi         *value.Number
	size        *pixels
	dark        bool
	blank       *value.Colour
	tone        *tone
	film        string
	filmSeconds *value.Number
}

func (f *pictureFlags) flags(fs *pflag.FlagSet) {
	value.Word(fs, &f.show, density.Shows(), "show", "`WHAT` to see: "+strings.Join(density.Shows(), ", ")+" (default density)")
	value.Flag(fs, &f.window, "window", "show only the rectangle `X,Y,W,H`: its lower-left corner and size")
	fs.BoolVar(&f.crop, "crop", false, "show only the work, not all of the bed, field and page")
	value.Word(fs, &f.units, []string{"mm", "in"}, "units", "rulers in `mm` or in (default mm)")
	value.Limit(value.Flag(fs, &f.dpi, "dpi", "`PIXELS` an inch of the work; text grows with it"), value.Limits{Least: density.MinDPI, Most: density.MaxDPI, Unit: "pixels an inch"})
	value.Limit(value.Flag(fs, &f.size, "size",
		"longer side of the picture in `PIXELS`, where --dpi is not given (default 1600; a film 900)"), value.Limits{Least: density.MinSize, Most: density.MaxSize, Unit: "pixels"})
	fs.BoolVar(&f.dark, "dark", false, "light on dark")
	value.Flag(fs, &f.blank, "blank-colour", "with --show finish: the blank's `COLOUR`, as #rrggbb or named as in SVG (default the job's)")
	value.Flag(fs, &f.tone, "tone",
		"with --show finish: what the marks leave: lighter or darker than the blank, or a `COLOUR` (default the recipe's, else darker)")
	fs.StringVar(&f.film, "film", "", "write an animated picture of the job in the machine's own time to `FILE.png`")
	value.Limit(value.Flag(fs, &f.filmSeconds, "film-seconds", "length of the film in `SECONDS` (default 8)"), value.Limits{Least: 1, Most: density.MaxFilmSeconds, Unit: "s"})
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

func (p *pixels) Numbers() []float64 { return []float64{float64(*p)} }

// check refuses, before any work, what cannot be written or read as a picture.
func (f *pictureFlags) check(out product.Output, inputs ...string) error {
	if out.Path == "" && f.film == "" {
		return fault.Usagef("no output file").Hintf("add -o FILE.png, .svg or .pdf, or --film FILE.png")
	}
	if out.Path != "" {
		format, err := pictureFormat(out)
		if err != nil {
			return err
		}
		if format != formatPNG && f.size != nil && f.film == "" {
			return fault.Usagef("--size counts pixels, and %s is drawn at true size", out.Path).Hintf("leave it out; --dpi says how fine a picture inside is")
		}
		if err := out.Check(inputs...); err != nil {
			return err
		}
	}
	return f.checkFilm(out, inputs...)
}

func (f *pictureFlags) checkFilm(out product.Output, inputs ...string) error {
	switch {
	case f.film == "" && f.filmSeconds != nil:
		return fault.Usagef("--film-seconds without a film").Hintf("add --film FILE.png")
	case f.film == "":
		return nil
	case f.film == out.Path:
		return fault.Usagef("the picture and the film are both %s", f.film)
	case strings.ToLower(filepath.Ext(f.film)) != ".png":
		return fault.Usagef("film %s: a film is an animated .png", f.film)
	}
	return product.Output{Path: f.film, Force: out.Force}.Check(inputs...)
}

// The formats of pictures, by the ending of the file's name.
const (
	formatPNG = ".png"
	formatSVG = ".svg"
	formatPDF = ".pdf"
)

func pictureFormat(out product.Output) (string, error) {
	if out.ToStdout() {
		return formatPNG, nil
	}
	switch ext := strings.ToLower(filepath.Ext(out.Path)); ext {
	case formatPNG, formatSVG, formatPDF:
		return ext, nil
	}
	return "", fault.Usagef("picture %s: the name must end in .png, .svg or .pdf", out.Path)
}

// draw writes what was asked for.
func (f *pictureFlags) draw(a *app, out product.Output, s subject) error {
	o := f.over(s)
	if err := s.addFacts(&o, f.film != ""); err != nil {
		return err
	}
	if out.Path != "" {
		if err := drawTo(a, out, s.program, o); err != nil {
			return err
		}
	}
	if f.film == "" {
		return nil
	}
	err := product.Output{Path: f.film, Force: out.Force}.Write(a.stdout, func(w io.Writer) error {
		return density.EncodeFilm(w, s.program, o, float64(value.Or(f.filmSeconds, 0)))
	})
	return asWork(err)
}

// over returns the subject's options with those of the command line over them.
func (f *pictureFlags) over(s subject) density.Options {
	o := s.opts
	if f.show != nil {
		o.Show, _ = density.ParseShow(*f.show) // the flag knows the words
	}
	o.Window = path.Rect(value.Or(f.window, window{}))
	o.Crop, o.Dark = f.crop, f.dark
	o.Inches = value.Or(f.units, "mm") == "in"
	o.Ground, o.Tones = f.finish(s)
	o.DPI, o.Size = float64(value.Or(f.dpi, 0)), int(value.Or(f.size, 0))
	return o
}

func drawTo(a *app, out product.Output, prog path.Program, o density.Options) error {
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
	return out.Write(a.stdout, encode)
}

// asWork tells what cannot be drawn as it was asked for from what cannot be drawn.
func asWork(err error) error {
	switch {
	case err == nil:
		return nil
	case errors.Is(err, density.ErrTooLarge):
		return fault.Usagef("%w", err).Hintf("give a lower --dpi or --size, or show less with --window")
	}
	return fault.Workf("%w", err)
}
