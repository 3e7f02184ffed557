package main

import (
	"fmt"
	"image/color"
	"io"
	"math"
	"strings"

	"furrow/path"
	"furrow/path/inspect"
	"furrow/path/svg"

	"github.com/spf13/pflag"
)

var inspectCommand = command{
	name:     "inspect",
	synopsis: "ART.svg [flags]",
	summary:  "what is in the artwork, and what is too thin for the mark",
	about: `Sizes are those of the file, before --width and --height of a job. Thin places
are where a mark of --mark-width would close a gap or lose a bridge; X and Y are
from the page's lower-left corner.`,
	setup: func(fs *pflag.FlagSet) runner {
		c := inspectFlags{}
		fs.BoolVar(&c.json, "json", false, "print the findings as JSON")
		optionalVar(fs, &c.markWidth, "mark-width", fmt.Sprintf("how wide one line marks, `LENGTH` (default %gmm)", inspect.DefaultMarkWidth))
		optionalVar(fs, &c.bareAbove, "bare-above", "paint stays unmarked if each of its red, green and blue is at least this `FRACTION` of full (default 0.96)")
		c.selection.flags(fs)
		return c.run
	},
}

type inspectFlags struct {
	selection
	json      bool
	markWidth *lengthMM
	bareAbove *number
}

func (c *inspectFlags) run(a *app, args []string) error {
	name, err := oneFile(args, "artwork")
	if err != nil {
		return err
	}
	f, err := a.open(name)
	if err != nil {
		return err
	}
	defer f.Close()
	doc, err := svg.Read(f, c.selection.options(nil))
	if err != nil {
		return usagef("%s: %w", name, err)
	}
	r, err := inspect.Look(doc.Artwork, inspect.Options{
		MarkWidth: float64(or(c.markWidth, 0)),
		BareAbove: float64(or(c.bareAbove, 0)),
	})
	if err != nil {
		return usagef("%s: %w", name, err)
	}
	found := newFindings(doc, r)
	return writeBuffered(a.stdout, func(w io.Writer) error {
		if c.json {
			return writeJSON(w, found)
		}
		found.print(w, name)
		return nil
	})
}

// findings is what inspect --json prints.
type findings struct {
	PageMM    [2]float64   `json:"page_mm"`
	BoundsMM  *[4]float64  `json:"bounds_mm,omitempty"`
	Shapes    int          `json:"shapes"`
	MarkedMM2 float64      `json:"marked_mm2"`
	Paints    []paintFound `json:"paints"`
	Bridges   []thinFound  `json:"thin_bridges"`
	Gaps      []thinFound  `json:"thin_gaps"`
	PitchMM   float64      `json:"found_to_mm"`
	Open      []shapeFound `json:"open_outlines"`
	Doubled   []shapeFound `json:"doubled"`
	Fonts     []svg.Font   `json:"fonts"`
	Warnings  []warning    `json:"warnings"`
}

type paintFound struct {
	Colour    string  `json:"colour"`
	Opacity   float64 `json:"opacity"`
	Layer     string  `json:"layer,omitempty"`
	Shapes    int     `json:"shapes"`
	MarkedMM2 float64 `json:"marked_mm2"`
	Bare      bool    `json:"bare"`
}

type thinFound struct {
	WidthMM float64    `json:"width_mm"`
	AtMM    [2]float64 `json:"at_mm"`
}

type shapeFound struct {
	Element string     `json:"element"`
	Line    int        `json:"line"`
	AtMM    [2]float64 `json:"at_mm"`
}

func newFindings(doc svg.Document, r inspect.Report) findings {
	f := findings{
		PageMM: [2]float64{doc.Artwork.Page.W(), doc.Artwork.Page.H()},
		Shapes: len(doc.Artwork.Shapes), MarkedMM2: r.Marked, PitchMM: r.Pitch,
		Paints: []paintFound{}, Fonts: append([]svg.Font{}, doc.Fonts...), Warnings: []warning{},
		Bridges: thinPlaces(r.Bridges), Gaps: thinPlaces(r.Gaps),
		Open: shapePlaces(r.Open), Doubled: shapePlaces(r.Doubled),
	}
	if b := doc.Artwork.Bounds(); !b.Empty() {
		f.BoundsMM = &[4]float64{b.Min.X, b.Min.Y, b.Max.X, b.Max.Y}
	}
	for _, g := range r.Groups {
		f.Paints = append(f.Paints, paintFound{hexColour(g.Paint), g.Paint.Opacity, g.Layer, g.Shapes, g.Area, g.Bare})
	}
	for _, w := range doc.Warnings {
		f.Warnings = append(f.Warnings, warning(w))
	}
	return f
}

func hexColour(p path.Paint) string {
	c := color.NRGBA{R: eightBits(p.R), G: eightBits(p.G), B: eightBits(p.B)}
	return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B)
}

func eightBits(v float64) uint8 { return uint8(math.Round(255 * v)) }

func thinPlaces(list []inspect.Thin) []thinFound {
	out := []thinFound{}
	for _, t := range list {
		out = append(out, thinFound{t.Width, [2]float64{t.At.X, t.At.Y}})
	}
	return out
}

func shapePlaces(list []inspect.Place) []shapeFound {
	out := []shapeFound{}
	for _, p := range list {
		name := p.Source.Element
		if p.Source.ID != "" {
			name += "#" + p.Source.ID
		}
		out = append(out, shapeFound{name, p.Source.Line, [2]float64{p.At.X, p.At.Y}})
	}
	return out
}

// shownPlaces is how many places of a kind the screen lists; --json has all.
const shownPlaces = 5

func (f findings) print(w io.Writer, name string) {
	line := func(head, text string) { fmt.Fprintf(w, "%-12s %s\n", head, text) }
	line(name, fmt.Sprintf("%.1f x %.1f mm, %s, %.1f mm2 marked", f.PageMM[0], f.PageMM[1], plural(f.Shapes, "shape"), f.MarkedMM2))
	for i, p := range f.Paints {
		line(onlyFirst("paints", i), p.words())
	}
	f.thin(line, "bridges", f.Bridges)
	f.thin(line, "gaps", f.Gaps)
	printShapes(line, "open", "closed for filling", f.Open)
	printShapes(line, "doubled", "drawn before just the same", f.Doubled)
	for i, font := range f.Fonts {
		used := font.Used
		if used == "" {
			used = "the built-in font instead"
		}
		line(onlyFirst("fonts", i), font.Asked+": "+used)
	}
	for _, wn := range f.Warnings {
		line("warning", wn.String())
	}
}

func (p paintFound) words() string {
	s := fmt.Sprintf("%s, %s, ", p.Colour, plural(p.Shapes, "shape"))
	if p.Bare {
		s += "bare"
	} else {
		s += fmt.Sprintf("%.1f mm2 marked", p.MarkedMM2)
	}
	if p.Opacity < 1 {
		s += fmt.Sprintf(", opacity %.0f %%", 100*p.Opacity)
	}
	if p.Layer != "" {
		s += fmt.Sprintf(", layer %q", p.Layer)
	}
	return s
}

func (f findings) thin(line func(head, text string), head string, list []thinFound) {
	if len(list) == 0 {
		line(head, "none too thin for the mark")
		return
	}
	var places []string
	for _, t := range list[:min(len(list), shownPlaces)] {
		places = append(places, fmt.Sprintf("%.2f mm at %.1f, %.1f", t.WidthMM, t.AtMM[0], t.AtMM[1]))
	}
	line(head, fmt.Sprintf("%s too thin for the mark: %s%s", plural(len(list), "place"), strings.Join(places, "; "), more(len(list))))
}

func printShapes(line func(head, text string), head, what string, list []shapeFound) {
	if len(list) == 0 {
		return
	}
	var places []string
	for _, s := range list[:min(len(list), shownPlaces)] {
		places = append(places, fmt.Sprintf("<%s> on line %d at %.1f, %.1f", s.Element, s.Line, s.AtMM[0], s.AtMM[1]))
	}
	line(head, fmt.Sprintf("%s, %s: %s%s", plural(len(list), "outline"), what, strings.Join(places, "; "), more(len(list))))
}

func more(n int) string {
	if n > shownPlaces {
		return fmt.Sprintf("; and %d more", n-shownPlaces)
	}
	return ""
}
