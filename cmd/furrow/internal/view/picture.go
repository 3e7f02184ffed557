package view

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/value"
	"furrow/path"
	"furrow/raster/density"
)

// Picture says how a picture is drawn. The zero value draws the finish of work whose
// blank and tone are known, else the density.
type Picture struct {
	Show   *string
	Window *Window
	Crop   bool
	Units  *string
	Scale  *value.Number // where the colours of density, dose or heat end
	DPI    *value.Number
	Size   *Pixels
	Dark   bool
	Blank  *value.Colour
	Tone   *Tone
	Driven *Lag
}

// Options returns how to draw a subject, with all that the picture needs to know of it, or
// a film of so many frames; 0 for a still.
func (f Picture) Options(s Subject, frames int) (density.Options, error) {
	o := f.over(s)
	if f.Scale != nil && !slices.Contains(amounts, o.Show) {
		return o, fault.Usagef("--scale-end is for the colours of density, dose and heat, and not of %s", o.Show).
			Hintf("leave it out, or add --show dose")
	}
	if f.Driven == nil {
		return o, s.AddFacts(&o, frames)
	}
	if o.Show != density.ShowRows || frames > 0 {
		return o, fault.Usagef("--as-driven is drawn beside the lines that are wanted").
			Hintf("add --show rows, and no film")
	}
	return o, s.drive(&o, *f.Driven)
}

// amounts are the pictures whose colours tell how much.
var amounts = []density.Show{density.ShowDensity, density.ShowDose, density.ShowHeat}

// over returns the subject's options with those of the command line over them.
func (f Picture) over(s Subject) density.Options {
	o := s.Opts
	switch {
	case f.Show != nil:
		o.Show, _ = density.ParseShow(*f.Show) // the flag knows the words
	case s.looks():
		o.Show = density.ShowFinish
	}
	o.Window = path.Rect(value.Or(f.Window, Window{}))
	o.Crop, o.Dark = f.Crop, f.Dark
	o.Inches = value.Or(f.Units, "mm") == "in"
	o.Ground, o.Tones = f.finish(s)
	o.Inset = s.inField() && f.Window == nil
	o.Caption = s.captioned(o.Caption, o.MarkWidthMM)
	o.ScaleEnd = float64(value.Or(f.Scale, 0))
	o.DPI, o.Size = float64(value.Or(f.DPI, 0)), int(value.Or(f.Size, 0))
	return o
}

// Encoder returns what writes a picture of strokes in a format.
func Encoder(prog path.Program, o density.Options, format string) (func(io.Writer) error, error) {
	o.Paper = format != FormatPNG
	p, err := density.Picture(prog, o)
	if err != nil {
		return nil, asWork(err)
	}
	switch format {
	case FormatSVG:
		return p.EncodeSVG, nil
	case FormatPDF:
		return p.EncodePDF, nil
	}
	return p.EncodePNG, nil
}

// FilmEncoder returns what writes a film of strokes, seconds long; 0 is the default.
func FilmEncoder(prog path.Program, o density.Options, seconds float64) func(io.Writer) error {
	return func(w io.Writer) error { return asWork(density.EncodeFilm(w, prog, o, seconds)) }
}

// Window is a rectangle, written "X,Y,W,H".
type Window path.Rect

// A window is no larger and no farther off than any bed.
const minWindowMM, maxWindowMM = 0.001, 20000.0

func (w *Window) Set(s string) error {
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
	if least, most := minWindowMM, maxWindowMM; !(min(v[2], v[3]) >= least && max(v[2], v[3]) <= most) {
		return fmt.Errorf("%q is not %g to %g mm wide and high", s, least, most)
	}
	if most := maxWindowMM; max(math.Abs(v[0]), math.Abs(v[1])) > most {
		return fmt.Errorf("%q begins more than %g mm from X0 Y0", s, most)
	}
	*w = Window{Min: path.Point{X: v[0], Y: v[1]}, Max: path.Point{X: v[0] + v[2], Y: v[1] + v[3]}}
	return nil
}

// Pixels is the longer side of a picture.
type Pixels int

func (p *Pixels) Set(s string) error {
	n, err := strconv.Atoi(strings.TrimSpace(s))
	if err != nil {
		return fmt.Errorf("%q is not a whole number from %d to %d", s, density.MinSize, density.MaxSize)
	}
	*p = Pixels(n)
	return nil
}

func (p *Pixels) Numbers() []float64 { return []float64{float64(*p)} }

// The formats of pictures, by the ending of the file's name.
const (
	FormatPNG = ".png"
	FormatSVG = ".svg"
	FormatPDF = ".pdf"
)

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
