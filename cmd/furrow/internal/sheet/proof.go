package sheet

import (
	"fmt"
	"io"
	"io/fs"

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
	Blank    string   // size and material, in words
	Notes    []string // on how the parts are drawn and sorted
	Parts    []ProofPart
	Fonts    []fs.FS // for names in letters that the paper's own font lacks
}

// ProofPart is one look that parts have.
type ProofPart struct {
	Numbers []int
	Texts   []paper.Fact // what is written on it
	Picture Picture
}

// What a part's picture may take of a page, and what a line above it takes at most, mm.
const (
	pictureHigh = 190
	lineHigh    = 5
)

// Encode writes the proof as a PDF.
func (p Proof) Encode(w io.Writer, size paper.Size) error {
	d := paper.New(size, "Proof: "+p.Order)
	d.Fonts(p.Fonts...)
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
	for _, n := range p.Notes {
		d.Text(n)
	}
	d.WriteOn("agreed: name and signature", "date")
	d.Space(3)
	var cards []paper.Card
	for _, part := range p.Parts {
		cards = append(cards, part.card(size))
	}
	d.Cards(cards)
	return d.Encode(w)
}

// card is the part's picture below its texts, on one page with them.
func (p ProofPart) card(size paper.Size) paper.Card {
	_, room := size.Room()
	lines := float64(len(p.Texts) + 2)
	scale := p.Picture.scale(size, min(pictureHigh, max(room-lines*lineHigh, lineHigh)))
	c := paper.Card{Lines: []string{p.title()}, Image: p.Picture.Image, W: p.Picture.WMM * scale,
		H: p.Picture.HMM * scale}
	for _, t := range p.Texts {
		c.Lines = append(c.Lines, t.Label+": "+t.Text)
	}
	if scale < 1 {
		c.Lines = append(c.Lines, fmt.Sprintf("drawn at %.0f %% of true size", 100*scale))
	} else {
		c.Lines = append(c.Lines, "drawn at true size")
	}
	return c
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
