package sheet

import (
	"io"
	"io/fs"

	"furrow/raster/paper"
)

// Quote is what a customer is offered. It holds nothing of costs or machines.
type Quote struct {
	Shop            string   // who offers it; left out where empty
	Address         []string // its lines
	Terms, Delivery string   // left out where empty
	Order, Customer string
	Blank           string // size and material, in words
	Due             string
	Date, Valid     string // days; left out where empty
	Offers          []Offer
	Tax             string // label and percent; empty for none
	Picture         Picture
	Fonts           []fs.FS // as of a Proof
}

// Offer is the price of one quantity, in words.
type Offer struct{ Quantity, Each, Price, Tax, Total string }

// Encode writes the quote as a PDF.
func (q Quote) Encode(w io.Writer, size paper.Size) error {
	d := paper.New(size, "Quote: "+q.Order)
	d.Fonts(q.Fonts...)
	q.sender(d)
	d.Heading("Quote")
	d.Facts(given(
		paper.Fact{Label: "Order", Text: q.Order},
		paper.Fact{Label: "For", Text: q.Customer},
		paper.Fact{Label: "Date", Text: q.Date},
		paper.Fact{Label: "Blank", Text: q.Blank},
		paper.Fact{Label: "Due", Text: q.Due},
		paper.Fact{Label: "Valid until", Text: q.Valid},
	))
	d.Space(3)
	columns := []paper.Column{{Head: "Quantity", Share: 1, Right: true}, {Head: "Each", Share: 2, Right: true},
		{Head: "Net", Share: 2, Right: true}}
	if q.Tax != "" {
		columns = append(columns, paper.Column{Head: q.Tax, Share: 2, Right: true},
			paper.Column{Head: "Total", Share: 2, Right: true})
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
	if terms := given(paper.Fact{Label: "Terms", Text: q.Terms}, paper.Fact{Label: "Delivery",
		Text: q.Delivery}); len(terms) > 0 {
		d.Space(3)
		d.Facts(terms)
	}
	d.Space(4)
	q.Picture.place(d, size, pictureHigh)
	return d.Encode(w)
}

// sender tells who offers it, above all else.
func (q Quote) sender(d *paper.Document) {
	if q.Shop != "" {
		d.Subheading(q.Shop)
	}
	for _, line := range q.Address {
		d.Text(line)
	}
	if q.Shop != "" || len(q.Address) > 0 {
		d.Space(6)
	}
}
