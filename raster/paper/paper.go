// Package paper sets a document on printed pages: headings, text, facts, tables,
// pictures and lines to write on, as a PDF with its fonts inside.
//
// A document is built from the top down. What does not fit on a page begins the
// next one; a picture and a row of a table are never cut.
//
//	d := paper.New(paper.A4, "Job sheet")
//	d.Heading("Tree tags, spring")
//	d.Facts([]paper.Fact{{Label: "Quantity", Text: "24"}})
//	err := d.Encode(w)
package paper

import (
	"image"
	"image/color"
	"io/fs"

	"furrow/path/text"
)

// Size is that of a sheet, mm.
type Size struct{ W, H float64 }

// The sheets: ISO 216 A4, and US letter of 8.5 x 11 in.
var (
	A4     = Size{W: 210, H: 297}
	Letter = Size{W: 215.9, H: 279.4}
)

// margin is left free on every side, mm; the footer stands in the lower one.
const margin = 15

// Room returns the width and height inside the margins, mm.
func (s Size) Room() (w, h float64) { return s.W - 2*margin, s.H - 2*margin }

// Document is pages in the making. Make one with New.
type Document struct {
	size   Size
	footer string
	pages  [][]mark
	y      float64 // where the next block begins, mm from the page's top
	shown  []*held // images of the page that is being written
	others *text.Fonts
}

// New begins a document whose pages carry footer and their number.
func New(size Size, footer string) *Document {
	d := &Document{size: size, footer: footer}
	d.Page()
	return d
}

// Fonts names folders with fonts for letters that the document's own font lacks: those
// are drawn as outlines. Without them, or where none has a letter, a sign stands for it.
// It holds for what is set behind it.
func (d *Document) Fonts(dirs ...fs.FS) { d.others = text.NewFonts(dirs...) }

// in is a face with the document's fonts.
func (d *Document) in(f face) face {
	f.others = d.others
	return f
}

// Page begins a new page, unless the last one is empty.
func (d *Document) Page() {
	if n := len(d.pages); n > 0 && len(d.pages[n-1]) == 0 {
		return
	}
	d.pages = append(d.pages, nil)
	d.y = margin
}

// Left returns how much height is left on this page, mm.
func (d *Document) Left() float64 { return d.size.H - margin - d.y }

// need begins a new page where less than high mm are left of one that holds
// something.
func (d *Document) need(high float64) {
	if d.Left() < high {
		d.Page()
	}
}

// Space leaves high mm free.
func (d *Document) Space(high float64) { d.y += high }

// add puts a mark on the last page.
func (d *Document) add(m ...mark) {
	last := len(d.pages) - 1
	d.pages[last] = append(d.pages[last], m...)
}

// Heading writes a line in large bold letters.
func (d *Document) Heading(text string) { d.block(text, heading) }

// Subheading writes a line in bold letters, with room for three lines below it
// on the same page.
func (d *Document) Subheading(text string) {
	d.Space(2)
	d.need(subheading.line() + 3*body.line())
	d.block(text, subheading)
}

// Text writes a paragraph.
func (d *Document) Text(text string) { d.block(text, body) }

// Small writes a paragraph in small letters.
func (d *Document) Small(text string) { d.block(text, small) }

// block writes text over the whole width.
func (d *Document) block(text string, f face) {
	f = d.in(f)
	w, _ := d.size.Room()
	for _, l := range wrap(text, f, w) {
		d.need(f.line())
		d.add(print{x: margin, y: d.y, text: l, face: f})
		d.y += f.line()
	}
	d.y += f.size * 0.25
}

// Fact is a label and what it says.
type Fact struct{ Label, Text string }

// labelWidth is the share of the width that labels of facts take.
const labelWidth = 0.22

// Facts writes labels at the left and their texts beside them.
func (d *Document) Facts(facts []Fact) {
	w, _ := d.size.Room()
	quiet, body := d.in(quiet), d.in(body)
	for _, f := range facts {
		labels := wrap(f.Label, quiet, w*labelWidth-2)
		texts := wrap(f.Text, body, w*(1-labelWidth))
		d.need(float64(max(len(labels), len(texts))) * body.line())
		for i, l := range labels {
			d.add(print{x: margin, y: d.y + float64(i)*body.line(), text: l, face: quiet})
		}
		for i, l := range texts {
			d.add(print{x: margin + w*labelWidth, y: d.y + float64(i)*body.line(), text: l, face: body})
		}
		d.y += float64(max(len(labels), len(texts))) * body.line()
	}
	d.y += 1
}

// WriteOn leaves a labelled line to write on for each label, side by side.
func (d *Document) WriteOn(labels ...string) {
	const high = 11
	if len(labels) == 0 {
		return
	}
	d.need(high)
	w, _ := d.size.Room()
	each := w / float64(len(labels))
	for i, l := range labels {
		x := margin + float64(i)*each
		d.add(line{x0: x, y0: d.y + 7, x1: x + each - 4, y1: d.y + 7},
			print{x: x, y: d.y + 7.4, text: fit(l, d.in(small), each-4), face: d.in(small)})
	}
	d.y += high
}

// Picture draws an image in a size on paper, mm, from the left margin. It must
// fit the page. The image is asked for when its page is written, so that many of
// them need not be held at once.
func (d *Document) Picture(img func() (image.Image, error), w, h float64) {
	d.need(h)
	d.add(picture{x: margin, y: d.y, w: w, h: h, img: img, doc: d})
	d.y += h + 2
}

// Ink and grey are the colours of text and rules.
var (
	ink  = color.RGBA{R: 26, G: 26, B: 26, A: 255}
	grey = color.RGBA{R: 110, G: 110, B: 110, A: 255}
)
