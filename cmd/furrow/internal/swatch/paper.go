package swatch

import (
	"cmp"
	"image"
	"io"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/sheet"
	"furrow/cmd/furrow/internal/view"
	"furrow/cmd/furrow/internal/words"
	"furrow/path"
	"furrow/raster/density"
	"furrow/raster/page"
	"furrow/raster/paper"
)

// leastDrawn is the width of a line that can be seen on paper, mm.
const leastDrawn = 0.2

// cardDots is the dots an inch of a card's picture: fine enough for its lettering.
const cardDots = 200

// Paper writes what a person takes to the bench: the card as it will look, how it is
// read, and its patches with room to write.
func Paper(w io.Writer, size paper.Size, cards []Made, names, reading []string, version string) error {
	s := cards[0].Spec
	p := sheet.Card{
		Title: title(s), Reading: reading, Cautions: s.Machine.Cautions(), Made: "furrow " + version,
		Facts: []paper.Fact{
			{Label: "Machine", Text: s.Machine.NameWords()}, {Label: "Material", Text: s.Material},
			{Label: "Recipe", Text: s.Recipe}, {Label: "Date", Text: s.Date},
			{Label: "Across", Text: axisWords(s.Columns)}, {Label: "Down", Text: axisWords(s.Rows)},
			{Label: "Lettering", Text: markingWords(s.Letters)},
		},
	}
	for i, c := range cards {
		picture, err := c.picture(names[i])
		if err != nil {
			return err
		}
		p.Pictures = append(p.Pictures, picture)
	}
	p.Columns, p.Rows = tableOf(cards)
	return p.Encode(w, size)
}

func title(s Spec) string {
	return strings.ToUpper(s.Kind[:1]) + s.Kind[1:] + ": " + cmp.Or(s.Material, s.Machine.ID)
}

func axisWords(a Axis) string {
	if !a.Given() {
		return ""
	}
	return a.Words()
}

// picture draws the card as it will look.
func (c Made) picture(name string) (sheet.Picture, error) {
	subject, err := view.OfWork(c.Work)
	if err != nil {
		return sheet.Picture{}, err
	}
	show := "rows"
	opts, err := view.Picture{Show: &show}.Options(subject, 0)
	if err != nil {
		return sheet.Picture{}, err
	}
	opts.Bed, opts.Zero, opts.Keep, opts.Inset, opts.Size, opts.DPI = path.Rect{}, "", nil, false, 0, cardDots
	opts.Blank, opts.BlankName = c.Art.Page, "card"
	if r, ok := c.BlankRect(); ok {
		opts.Blank, opts.BlankName = r, "blank"
	}
	opts.Caption = page.Caption{Name: name, Facts: []string{words.Time(c.Clock.Total())}}
	if opts.MarkWidthMM < leastDrawn {
		opts.MarkWidthMM = leastDrawn
		opts.Caption.Facts = append(opts.Caption.Facts, "lines are drawn wider than they are marked")
	}
	drawn, err := density.Picture(subject.Program, opts)
	if err != nil {
		return sheet.Picture{}, err
	}
	img := drawn.Image()
	mm := path.MMPerInch / cardDots
	return sheet.Picture{
		Image: func() (image.Image, error) { return img, nil },
		WMM:   float64(img.Rect.Dx()) * mm, HMM: float64(img.Rect.Dy()) * mm,
	}, nil
}

// tableOf lists the patches with what they show, and room to write.
func tableOf(cards []Made) (columns []paper.Column, rows [][]string) {
	t := table{spec: cards[0].Spec, kinds: variedKinds(cards[0].Spec)}
	t.shows = slices.ContainsFunc(cards[0].Patches, func(p Patch) bool { return p.Shows != "" })
	for _, c := range cards {
		for _, p := range c.Patches {
			rows = append(rows, t.row(p))
		}
	}
	return t.columns(), rows
}

// table says which columns the list of a card's patches has.
type table struct {
	spec  Spec
	kinds []Kind
	shows bool
}

func (t table) columns() []paper.Column {
	all := []paper.Column{{Head: "patch", Share: 0.7}}
	for _, k := range t.kinds {
		all = append(all, paper.Column{Head: k.Word + ", " + k.Unit, Share: 1.1, Right: true})
	}
	if t.shows {
		all = append(all, paper.Column{Head: "shows", Share: 2.2})
	}
	all = append(all, paper.Column{Head: "J/cm2", Share: 0.9, Right: true})
	if t.spec.Machine.Laser.Pulsed() {
		all = append(all, paper.Column{Head: "pulses overlap", Share: 1, Right: true},
			paper.Column{Head: "mJ a pulse", Share: 0.9, Right: true})
	}
	return append(all, paper.Column{Head: "  tone, depth, remarks", Share: 4})
}

func (t table) row(p Patch) []string {
	f, row := p.Facts(t.spec.Machine), []string{p.Name}
	for _, k := range t.kinds {
		row = append(row, k.Number(p.of(k)))
	}
	if t.shows {
		row = append(row, p.Shows)
	}
	row = append(row, words.Number(f.DoseJPerCM2, 2))
	if t.spec.Machine.Laser.Pulsed() {
		row = append(row, words.Decimal(100*f.Overlap, 0)+" %", words.Decimal(f.EnergyMJ, 3))
	}
	return append(row, "  ______________________________")
}

// variedKinds are the settings that differ between patches.
func variedKinds(s Spec) (all []Kind) {
	for _, a := range []Axis{s.Columns, s.Rows} {
		if a.Given() {
			all = append(all, a.Kind)
		}
	}
	return all
}
