package sheet

import (
	"io"

	"furrow/raster/paper"
)

// Card is what lies beside a card of trial patches, to write on.
type Card struct {
	Title    string
	Facts    []paper.Fact
	Pictures []Picture // one for each blank
	Reading  []string  // how it is read, step by step
	Columns  []paper.Column
	Rows     [][]string // of the patches
	Cautions []string
	Made     string
}

// Encode writes the paper as a PDF.
func (c Card) Encode(w io.Writer, size paper.Size) error {
	d := paper.New(size, c.Title+"   "+c.Made)
	d.Heading(c.Title)
	d.Facts(given(c.Facts...))
	for _, t := range c.Cautions {
		d.Small(t)
	}
	d.Subheading("How to read it")
	for _, t := range c.Reading {
		d.Text(t)
	}
	d.WriteOn("chosen", "by", "date")
	for _, p := range c.Pictures {
		high := d.Left() - cardLegend
		if high < min(p.HMM, leastPicture) {
			d.Page()
			high = d.Left() - cardLegend
		}
		p.place(d, size, high)
	}
	if len(c.Rows) > 0 {
		d.Page()
		d.Subheading("The patches")
		d.Table(c.Columns, c.Rows)
	}
	return d.Encode(w)
}

// What a picture of a card leaves for its legend, and how much of a page it must have
// before it begins the next one, mm.
const (
	cardLegend   = 10
	leastPicture = 120
)
