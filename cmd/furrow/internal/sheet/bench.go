package sheet

import (
	"fmt"
	"io"
	"io/fs"

	"furrow/cmd/furrow/internal/words"
	"furrow/raster/paper"
)

// Bench is what lies beside the machine while an order is made.
type Bench struct {
	Order    string
	Customer string
	Quantity int
	Parts    string // which of them this sheet is for; empty for all
	Due      string
	Notes    []string // what is to be known before the start

	Blank   string // size, thickness and material, in words
	Fixture string // pockets, and where the first one sits
	Zero    string // where X0 Y0, or the middle of the field, is
	Room    string // what the head needs beyond the blanks
	Load    Picture

	Machine  string
	Recipe   string
	Settings []Setting
	Files    []File
	Marking  string // of the whole order
	Loading  string
	Total    string

	FirstArticle bool
	Cautions     []string
	Made         string  // the program's version
	Fonts        []fs.FS // as of a Proof
}

// Setting is how a group of the artwork is marked.
type Setting struct {
	Group string
	Facts []paper.Fact
}

// File is one that the controller runs.
type File struct {
	Name  string
	Parts []int
	Lines int
	CRC   string
	Time  string // of one run
	Runs  int
}

// Encode writes the sheet as a PDF.
func (b Bench) Encode(w io.Writer, size paper.Size) error {
	d := paper.New(size, fmt.Sprintf("Job sheet: %s   %s", b.Order, b.Made))
	d.Fonts(b.Fonts...)
	b.what(d, size)
	d.Page()
	b.how(d)
	return d.Encode(w)
}

// what is the first page: what is made, and how it lies.
func (b Bench) what(d *paper.Document, size paper.Size) {
	d.Heading("Job sheet: " + b.Order)
	d.Facts(given(
		paper.Fact{Label: "For", Text: b.Customer},
		paper.Fact{Label: "Quantity", Text: fmt.Sprint(b.Quantity)},
		paper.Fact{Label: "This sheet", Text: b.Parts},
		paper.Fact{Label: "Due", Text: b.Due},
		paper.Fact{Label: "Machine", Text: b.Machine},
		paper.Fact{Label: "Blank", Text: b.Blank},
		paper.Fact{Label: "Fixture", Text: b.Fixture},
		paper.Fact{Label: "Zero", Text: b.Zero},
		paper.Fact{Label: "Clearance", Text: b.Room},
	))
	for _, n := range b.Notes {
		d.Text(n)
	}
	d.Subheading("The load, as it lies")
	b.Load.place(d, size, d.Left()-12)
}

// how is the second page: how it is made.
func (b Bench) how(d *paper.Document) {
	if len(b.Cautions) > 0 {
		d.Subheading("Before the start")
		for _, c := range b.Cautions {
			d.Small(c)
		}
	}
	d.Subheading("Settings")
	d.Facts(given(paper.Fact{Label: "Recipe", Text: b.Recipe}))
	for _, s := range b.Settings {
		if len(b.Settings) > 1 {
			d.Text(s.Group)
		}
		d.Facts(s.Facts)
	}
	d.Subheading("Files")
	var rows [][]string
	for _, f := range b.Files {
		rows = append(rows, []string{runs(f.Runs), f.Name, words.Numbers(f.Parts), words.Thousands(int64(f.Lines)),
			f.CRC, f.Time, "_________"})
	}
	d.Table([]paper.Column{
		{Head: "run", Share: 0.9}, {Head: "file", Share: 1.4}, {Head: "parts", Share: 2}, {Head: "lines", Share: 1,
			Right: true},
		{Head: "crc", Share: 1.1}, {Head: "predicted", Share: 1.1, Right: true}, {Head: "measured", Share: 1.2},
	}, rows)
	d.Facts(given(
		paper.Fact{Label: "Marking", Text: b.Marking},
		paper.Fact{Label: "Loading", Text: b.Loading},
		paper.Fact{Label: "All together", Text: b.Total},
	))
	if b.FirstArticle {
		d.Subheading("First article")
		d.Text("Mark one part, look at it against the proof, and sign before the rest is run.")
		d.WriteOn("size and place", "depth or tone", "text")
		d.WriteOn("accepted by", "date")
	}
	d.Subheading("Done")
	d.WriteOn("parts good", "parts spoiled", "by", "date")
}

func runs(n int) string {
	if n > 1 {
		return fmt.Sprintf("%d times", n)
	}
	return "once"
}
