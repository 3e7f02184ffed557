package sheet

import (
	"io"

	"furrow/raster/paper"
)

// Quote is what a customer is offered. It holds nothing of costs or machines.
type Quote struct {
	Order, Customer string
	Blank           string // size and material, in words
	Due             string
	Date, Valid     string // days; left out where empty
	Offers          []Offer
	Tax             string // label and percent; empty for none
	Picture         Picture
}

// Offer is the price of one quantity, in words.
type Offer struct{ Quantity, Each, Price, Tax, Total string }

// Encode writes the quote as a PDF.
func (q Quote) Encode(w io.Writer, size paper.Size) error {
	d := paper.New(size, "Quote: "+q.Order)
	d.Heading("Quote")
	d.Facts(given(
		paper.Fact{Label: "Order", Text: q.Order},
		paper.Fact{Label: "For", Text: q.Customer},
		paper.Fact{Label: "Date", Text: q.Date},
		paper.Fact{Label: "Blank", Text: q.Blank},
		paper.Fact{Label: "Due", Text: q.Due},
		paper.Fact{Label: "Valid until", Text: q.Valid},
	))
	columns := []paper.Column{{Head: "Parts", Share: 1, Right: true}, {Head: "A part", Share: 2, Right: true},
		{Head: "Price", Share: 2, Right: true}}
	if q.Tax != "" {
		columns = append(columns, paper.Column{Head: q.Tax, Share: 2, Right: true},
			paper.Column{Head: "In all", Share: 2, Right: true})
	}
	var rows [][]string
	for _, o := range q.Offers {
		row := []string{o.Quantity, o.Each, o.Price}
		if q.Tax != "" {
			row = append(row, o.Tax, o.Total)
		}
		rows = append(rows, row)
	}
	d.Table(columns, rows)
	q.Picture.place(d, size, pictureHigh)
	return d.Encode(w)
}
