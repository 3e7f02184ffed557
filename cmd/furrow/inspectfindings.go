package main

import (
	"fmt"
	"image/color"
	"io"
	"math"
	"strings"

	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/path"
	"furrow/path/inspect"
)

// findings is what inspect --json prints.
type findings struct {
	PageMM    [2]float64     `json:"page_mm"`
	BoundsMM  *[4]float64    `json:"bounds_mm,omitempty"`
	Shapes    int            `json:"shapes"`
	MarkedMM2 float64        `json:"marked_mm2"`
	Paints    []paintFound   `json:"paints"`
	MarkMM    float64        `json:"mark_width_mm"`
	Bridges   narrowFound    `json:"bridges"`
	Gaps      narrowFound    `json:"gaps"`
	Open      []shapeFound   `json:"open_outlines"`
	Doubled   []shapeFound   `json:"doubled"`
	Fonts     []path.Font    `json:"fonts"`
	Warnings  []work.Warning `json:"warnings"`
	Picture   string         `json:"picture,omitempty"`
}

type paintFound struct {
	Colour    string  `json:"colour"`
	Opacity   float64 `json:"opacity"`
	Layer     string  `json:"layer,omitempty"`
	Shapes    int     `json:"shapes"`
	MarkedMM2 float64 `json:"marked_mm2"`
	Bare      bool    `json:"bare"`
}

// narrowFound is the narrow places of one kind.
type narrowFound struct {
	Narrowest    *thinFound  `json:"narrowest"` // null when there is none
	TooThin      []thinFound `json:"too_thin"`  // for the mark, the narrowest first
	MeasuredToMM float64     `json:"measured_to_mm"`
}

type thinFound struct {
	Number   int        `json:"number"`
	WidthMM  float64    `json:"width_mm"`
	LengthMM float64    `json:"length_mm"`
	AtMM     [2]float64 `json:"at_mm"`
}

type shapeFound struct {
	Element string     `json:"element"`
	Line    int        `json:"line"`
	AtMM    [2]float64 `json:"at_mm"`
}

func newFindings(name string, doc path.Document, r inspect.Report) findings {
	f := findings{
		PageMM: [2]float64{doc.Artwork.Page.W(), doc.Artwork.Page.H()},
		Shapes: len(doc.Artwork.Shapes), MarkedMM2: r.Marked, MarkMM: r.MarkWidth,
		Paints: []paintFound{}, Fonts: append([]path.Font{}, doc.Fonts...), Warnings: []work.Warning{},
		Open: shapePlaces(r.Open), Doubled: shapePlaces(r.Doubled),
	}
	f.Bridges = narrowPlaces(r.Bridges, 1)
	f.Gaps = narrowPlaces(r.Gaps, 1+len(f.Bridges.places()))
	if b := doc.Artwork.Bounds(); !b.Empty() {
		f.BoundsMM = &[4]float64{b.Min.X, b.Min.Y, b.Max.X, b.Max.Y}
	}
	for _, g := range r.Groups {
		f.Paints = append(f.Paints, paintFound{Colour: hexColour(g.Paint), Opacity: g.Paint.Opacity, Layer: g.Layer,
			Shapes: g.Shapes, MarkedMM2: g.Area, Bare: g.Bare})
	}
	f.Warnings = append(f.Warnings, work.DocumentWarnings(name, doc)...)
	return f
}

func hexColour(p path.Paint) string {
	c := color.NRGBA{R: eightBits(p.R), G: eightBits(p.G), B: eightBits(p.B)}
	return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B)
}

func eightBits(v float64) uint8 { return uint8(math.Round(255 * v)) }

// narrowPlaces numbers the places of one kind from first on.
func narrowPlaces(w inspect.Widths, first int) narrowFound {
	f := narrowFound{TooThin: []thinFound{}, MeasuredToMM: w.Reach}
	for i, t := range w.Thin {
		f.TooThin = append(f.TooThin, thinFound{Number: first + i, WidthMM: t.Width, LengthMM: t.Length,
			AtMM: [2]float64{t.At.X, t.At.Y}})
	}
	if t := w.Least; t != nil {
		f.Narrowest = &thinFound{Number: first, WidthMM: t.Width, LengthMM: t.Length, AtMM: [2]float64{t.At.X, t.At.Y}}
	}
	return f
}

// places returns those that are numbered: the narrowest, if none is too thin.
func (n narrowFound) places() []thinFound {
	if len(n.TooThin) == 0 && n.Narrowest != nil {
		return []thinFound{*n.Narrowest}
	}
	return n.TooThin
}

func shapePlaces(list []inspect.Place) []shapeFound {
	out := []shapeFound{}
	for _, p := range list {
		out = append(out, shapeFound{work.SourceName(p.Source.Element, p.Source.ID), p.Source.Line,
			[2]float64{p.At.X, p.At.Y}})
	}
	return out
}

// How many places of a kind the screen lists, alone and beside a picture, which
// has as many numbers; --json has all.
const (
	shownPlaces    = 5
	numberedPlaces = 40
)

func (f findings) print(w io.Writer, name string) {
	line := func(head, text string) { fmt.Fprintf(w, "%-12s %s\n", head, text) }
	line(name, fmt.Sprintf("%.1f x %.1f mm, %s, %s mm2 marked", f.PageMM[0], f.PageMM[1],
		words.Plural(f.Shapes, "shape"), words.Number(f.MarkedMM2, 1)))
	for i, p := range f.Paints {
		line(words.OnlyFirst("paints", i), p.words())
	}
	f.printNarrow(line, "bridges", "thinnest", f.Bridges)
	f.printNarrow(line, "gaps", "smallest", f.Gaps)
	printShapes(line, "open", "closed for filling", f.Open)
	printShapes(line, "doubled", "repeats an earlier outline", f.Doubled)
	for i, font := range f.Fonts {
		used := font.Used
		if used == "" {
			used = "not installed; the built-in font stands in"
		}
		if asked := strings.Trim(font.Asked, `'"`); asked != used {
			used = asked + ": " + used
		}
		line(words.OnlyFirst("fonts", i), used)
	}
	for _, text := range work.Told(f.Warnings) {
		line("warning", text)
	}
	if f.Picture != "" {
		line("picture", f.Picture)
	}
}

func (p paintFound) words() string {
	s := fmt.Sprintf("%s, %s, ", p.Colour, words.Plural(p.Shapes, "shape"))
	if p.Bare {
		s += "bare"
	} else {
		s += words.Number(p.MarkedMM2, 1) + " mm2 marked"
	}
	if p.Opacity < 1 {
		s += fmt.Sprintf(", opacity %.0f %%", 100*p.Opacity)
	}
	if p.Layer != "" {
		s += fmt.Sprintf(", layer %q", p.Layer)
	}
	return s
}

// printNarrow tells the narrowest place of a kind and lists those too thin.
func (f findings) printNarrow(line func(head, text string), head, least string, n narrowFound) {
	if n.Narrowest == nil {
		text := "none"
		if f.MarkedMM2 > 0 && n.MeasuredToMM < f.MarkMM {
			text = "too many edges close together, or across each other, to measure"
		}
		line(head, text)
		return
	}
	text := fmt.Sprintf("%s %s; ", least, n.Narrowest.words())
	if len(n.TooThin) == 0 {
		line(head, text+fmt.Sprintf("none too thin for a mark of %s mm", words.Number(f.MarkMM, 4)))
		return
	}
	line(head, text+fmt.Sprintf("%s too thin for a mark of %s mm", words.Plural(len(n.TooThin), "place"),
		words.Number(f.MarkMM, 4)))
	shown := shownPlaces
	if f.Picture != "" {
		shown = numberedPlaces
	}
	for _, t := range n.TooThin[:min(len(n.TooThin), shown)] {
		number := ""
		if f.Picture != "" { // which has the same numbers
			number = fmt.Sprint(t.Number)
		}
		line("", fmt.Sprintf("%3s  %s, over %.1f mm", number, t.words(), t.LengthMM))
	}
	if more := len(n.TooThin) - shown; more > 0 {
		line("", "     and "+words.Plural(more, "more place"))
	}
}

func (t thinFound) words() string {
	return fmt.Sprintf("%.2f mm at %.1f, %.1f", t.WidthMM, t.AtMM[0], t.AtMM[1])
}

func printShapes(line func(head, text string), head, what string, list []shapeFound) {
	if len(list) == 0 {
		return
	}
	var places []string
	for _, s := range list[:min(len(list), shownPlaces)] {
		places = append(places, fmt.Sprintf("<%s> on line %d at %.1f, %.1f", s.Element, s.Line, s.AtMM[0], s.AtMM[1]))
	}
	line(head, fmt.Sprintf("%s, %s: %s%s", words.Plural(len(list), "outline"), what, strings.Join(places, "; "),
		more(len(list))))
}

func more(n int) string {
	if n > shownPlaces {
		return "; and " + words.Plural(n-shownPlaces, "more shape")
	}
	return ""
}
