package main

import (
	"io"
	"path/filepath"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/view"
	"furrow/cmd/furrow/internal/work"
	"furrow/path"
	"furrow/raster/density"

	"github.com/spf13/pflag"
)

// pictureFlags say which pictures are drawn, and how.
type pictureFlags struct {
	view.Picture
	film        string
	filmSeconds *value.Number
}

func (f *pictureFlags) flags(fs *pflag.FlagSet) {
	value.Word(fs, &f.Show, density.Shows(), "show",
		"`WHAT` to see: "+strings.Join(density.Shows(), ", ")+" (default: as above)")
	value.Flag(fs, &f.Window, "window", "show only the rectangle `X,Y,W,H`: its lower-left corner and size")
	fs.BoolVar(&f.Crop, "crop", false, "show only the work, not all of the bed, field and page")
	value.Word(fs, &f.Units, []string{"mm", "in"}, "units", "rulers in `mm` or in (default mm)")
	value.Limit(value.Flag(fs, &f.Scale, "scale-end", "where the colours of density, dose or heat end, `N` in their "+
		"unit, so that pictures can be compared (default: what suits the picture)"),
		value.Limits{Least: 1e-6, Most: 1e9})
	value.Limit(value.Flag(fs, &f.DPI, "dpi", "`PIXELS` an inch of the work; text grows with it"),
		value.Limits{Least: density.MinDPI, Most: density.MaxDPI, Unit: "pixels an inch"})
	value.Limit(value.Flag(fs, &f.Size, "size",
		"longer side of the picture in `PIXELS`, where --dpi is not given (default 1600; a film 900)"),
		value.Limits{Least: density.MinSize, Most: density.MaxSize, Unit: "pixels"})
	fs.BoolVar(&f.Dark, "dark", false, "light on dark")
	value.Flag(fs, &f.Blank, "blank-colour",
		"with --show finish: the blank's `COLOUR`, as #rrggbb or named as in SVG (default the job's)")
	value.Flag(fs, &f.Tone, "tone",
		"with --show finish: what the marks leave: lighter or darker than the blank, or a `COLOUR` "+
			"(default the recipe's, else darker)")
	value.Add(fs, &f.Driven, value.Entry{Name: "as-driven", Takes: "LAG", Alone: view.ProfileLag,
		Usage: "with --show rows, of a galvo: the marks as mirrors make them that trail their command, by the " +
			"profile's tracking lag " +
			"or by LAG microseconds, beside the lines that are wanted"})
	fs.StringVar(&f.film, "film", "", "write an animated picture of the job in the machine's own time, of its heat "+
		"with --show heat, to `FILE.png`")
	value.Limit(value.Flag(fs, &f.filmSeconds, "film-seconds", "length of the film in `SECONDS` (default 8)"),
		value.Limits{Least: 1, Most: density.MaxFilmSeconds, Unit: "s"})
}

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
		if format != view.FormatPNG && f.Size != nil && f.film == "" {
			return fault.Usagef("--size counts pixels, and %s is drawn at true size", out.Path).
				Hintf("leave it out; --dpi says how fine a picture inside is")
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

func pictureFormat(out product.Output) (string, error) {
	if out.ToStdout() {
		return view.FormatPNG, nil
	}
	switch ext := strings.ToLower(filepath.Ext(out.Path)); ext {
	case view.FormatPNG, view.FormatSVG, view.FormatPDF:
		return ext, nil
	}
	return "", fault.Usagef("picture %s: the name must end in .png, .svg or .pdf", out.Path)
}

// draw writes what was asked for.
func (f *pictureFlags) draw(a *app, out product.Output, s view.Subject) error {
	frames := 0
	if f.film != "" {
		frames = density.FilmFrames(float64(value.Or(f.filmSeconds, 0)))
	}
	o, err := f.Options(s, frames)
	if err != nil {
		return err
	}
	if out.Path != "" {
		if err := drawTo(a, out, s.Program, o); err != nil {
			return err
		}
	}
	if f.film == "" {
		return nil
	}
	film := product.Output{Path: f.film, Force: out.Force}
	return film.Write(a.stdout, view.FilmEncoder(s.Program, o, float64(value.Or(f.filmSeconds, 0))))
}

func drawTo(a *app, out product.Output, prog path.Program, o density.Options) error {
	encode, err := encoderFor(out, prog, o)
	if err != nil {
		return err
	}
	return out.Write(a.stdout, encode)
}

func encoderFor(out product.Output, prog path.Program, o density.Options) (func(io.Writer) error, error) {
	format, err := pictureFormat(out)
	if err != nil {
		return nil, err
	}
	return view.Encoder(prog, o, format)
}

// drawWork draws the picture that hatch makes beside its file.
func drawWork(w io.Writer, out product.Output, b work.Work) error {
	s, err := view.OfWork(b)
	if err != nil {
		return err
	}
	o, err := new(pictureFlags).Options(s, 0)
	if err != nil {
		return err
	}
	encode, err := encoderFor(out, s.Program, o)
	if err != nil {
		return err
	}
	return encode(w)
}
