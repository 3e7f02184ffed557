package sheet

import (
	"fmt"
	"io"

	"furrow/cmd/furrow/internal/words"
	"furrow/raster/paper"
)

// Proof is what the customer signs: each different part as it will look. It holds
// nothing of the machine.
type Proof struct {
	Order    string
	Customer string
	Quantity int
	Due      string
	Blank    string // size and material, in words
	Parts    []ProofPart
	Left     int // different parts that are not drawn
}

// ProofPart is one look that parts have.
type ProofPart struct {
	Numbers []int
	Texts   []paper.Fact // what is written on it
	Picture Picture
}

// pictureHigh is how much of a page a part's picture may take, mm.
const pictureHigh = 190

// Encode writes the proof as a PDF.
func (p Proof) Encode(w io.Writer, size paper.Size) error {
	d := paper.New(size, "Proof: "+p.Order)
	d.Heading("Proof")
	d.Facts(given(
		paper.Fact{Label: "Order", Text: p.Order},
		paper.Fact{Label: "For", Text: p.Customer},
		paper.Fact{Label: "Quantity", Text: fmt.Sprint(p.Quantity)},
		paper.Fact{Label: "Due", Text: p.Due},
		paper.Fact{Label: "Blank", Text: p.Blank},
	))
	d.Text("Please look at every line: spelling, numbers, place and size. The tone of the material is an example; " +
		"marks are made as drawn. What is signed is what will be made.")
	d.WriteOn("agreed: name and signature", "date")
	for _, part := range p.Parts {
		d.Subheading(part.title())
		d.Facts(part.Texts)
		part.Picture.place(d, size, pictureHigh)
	}
	if p.Left > 0 {
		d.Text(fmt.Sprintf("%d more different parts are made the same way and are not drawn here; parts.csv lists the texts of all.", p.Left))
	}
	return d.Encode(w)
}

func (p ProofPart) title() string {
	if len(p.Numbers) == 1 {
		return fmt.Sprintf("Part %d", p.Numbers[0])
	}
	return "Parts " + words.Numbers(p.Numbers)
}

// given leaves out facts that say nothing.
func given(all ...paper.Fact) (some []paper.Fact) {
	for _, f := range all {
		if f.Text != "" {
			some = append(some, f)
		}
	}
	return some
}
