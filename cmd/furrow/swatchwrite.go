package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/swatch"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/raster/paper"
)

// make makes the cards and writes them with their papers: all or none.
func (c *swatchFlags) make(a *app, cards []swatch.Card, reading func(f swatch.File, name string) []string) error {
	names, beside, err := c.names(cards[0].Spec.Machine, len(cards))
	if err != nil {
		return err
	}
	var all []swatch.Made
	for _, card := range cards {
		m, err := card.Make()
		if err != nil {
			return err
		}
		all = append(all, m)
	}
	file := swatch.FileOf(all, baseNames(names))
	steps := reading(file, beside[0].Path)
	if err := c.write(a, all, file, steps, names, beside); err != nil {
		return err
	}
	a.warn(warningsOf(all))
	return product.WriteBuffered(a.besides(c.out, c.json), func(w io.Writer) error {
		return c.summarise(w, all, names, beside, steps)
	})
}

// write writes the files of the cards, that of their patches and the paper: all or none.
func (c *swatchFlags) write(a *app, all []swatch.Made, file swatch.File, steps []string,
	names, beside []product.Output) error {
	parts := []product.Part{
		{Output: beside[0], Fn: file.Encode},
		{Output: beside[1], Fn: func(w io.Writer) error {
			return swatch.Paper(w, c.size(), all, baseNames(names), steps, version)
		}},
	}
	for i := range all {
		parts = append(parts, product.Part{Output: names[i], Fn: made{Work: all[i].Work}.encode})
	}
	return product.Together(a.stdout, parts...)
}

func (c *swatchFlags) size() paper.Size {
	if value.Or(c.paper, "a4") == "letter" {
		return paper.Letter
	}
	return paper.A4
}

// names returns where the files of n cards go, and the two beside them, and proves that
// all can be written.
func (c *swatchFlags) names(m *settings.Machine, n int) (files, beside []product.Output, err error) {
	if c.out.ToStdout() {
		return nil, nil, fault.Usagef("swatch writes several files: name one with -o")
	}
	ext := filepath.Ext(c.out.Path)
	stem := strings.TrimSuffix(c.out.Path, ext)
	files = []product.Output{c.out}
	if n > 1 {
		files = nil
		for i := range n {
			files = append(files, product.Output{Path: fmt.Sprintf("%s-%d%s", stem, i+1, ext), Force: c.out.Force})
		}
	}
	beside = []product.Output{{Path: stem + ".toml", Force: c.out.Force}, {Path: stem + ".pdf", Force: c.out.Force}}
	for _, o := range append(append([]product.Output{}, files...), beside...) {
		if err := o.Check(m.File, c.fromFile); err != nil {
			return nil, nil, err
		}
	}
	if ext == ".toml" || ext == ".pdf" {
		return nil, nil, fault.Usagef("%s is where another file goes", c.out.Path).
			Hintf("name the controller's file %s.nc or .mvl", stem)
	}
	return files, beside, fitsFormat(c.out, m)
}

func baseNames(all []product.Output) (names []string) {
	for _, o := range all {
		names = append(names, filepath.Base(o.Path))
	}
	return names
}

// warningsOf lists those of the cards, each once.
func warningsOf(cards []swatch.Made) (all []work.Warning) {
	for _, text := range swatch.Warnings(cards) {
		all = append(all, work.Warning{Message: text})
	}
	return append(all, cards[0].Work.Warnings...) // the others are alike
}

// cardFigures is what swatch --json prints of a file.
type cardFigures struct {
	figures.Figures
	File     string         `json:"file"`
	Patches  int            `json:"patches"`
	Warnings []work.Warning `json:"warnings"`
}

// summarise prints what was made, for a person or a program.
func (c *swatchFlags) summarise(w io.Writer, cards []swatch.Made, names, beside []product.Output,
	steps []string) error {
	var all []cardFigures
	var times []string
	for i, card := range cards {
		b := made{Work: card.Work}
		var err error
		if b.span, err = figures.SpanOf(b.Moves, b.Machine.Profile, b.Clock); err != nil {
			return err
		}
		f := b.figures()
		all = append(all, cardFigures{Figures: f.Figures, File: names[i].Path, Patches: len(card.Patches),
			Warnings: f.Warnings})
		times = append(times, c.timeWords(card, b, names[i].Path, len(cards)))
	}
	if c.json {
		return product.WriteJSON(w, all)
	}
	c.print(w, cards, times, append(names, beside...), steps)
	return nil
}

func (c *swatchFlags) print(w io.Writer, cards []swatch.Made, times []string, written []product.Output,
	steps []string) {
	line := func(head, text string) { fmt.Fprintf(w, "%-12s %s\n", head, text) }
	for _, l := range swatch.Lines(cards) {
		line(l[0], l[1])
	}
	for i, t := range times {
		line(words.OnlyFirst("time", i), t)
	}
	line("clearance", strings.ReplaceAll(made{Work: cards[0].Work}.room(), "the page", "the card"))
	line("machine", cards[0].Spec.Machine.NameWords())
	for i, o := range written {
		line(words.OnlyFirst("written", i), o.Path)
	}
	for i, s := range steps {
		line(words.OnlyFirst("next", i), s)
	}
	line("caution", settings.Caution)
}

// timeWords say how long a card takes, and where there are several, which.
func (c *swatchFlags) timeWords(card swatch.Made, b made, name string, of int) string {
	text := figures.TimeWords(b.Clock.Parts, b.span)
	if of > 1 {
		text = name + "  " + words.Time(b.Clock.Total())
	}
	if mm, ok := card.Height(); ok && of > 1 {
		text += fmt.Sprintf(", at %s mm from the focus", words.Decimal(mm, 3))
	}
	return text
}
