package paper

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"io"

	"github.com/tdewolff/canvas"
	"github.com/tdewolff/canvas/renderers/pdf"

	"furrow/raster/undated"
)

// mark is something on a page, placed in mm from the upper-left corner.
type mark interface {
	draw(ctx *canvas.Context, height float64) error
}

type print struct {
	x, y float64 // of the line box's upper-left corner
	text string
	face face
}

func (p print) draw(ctx *canvas.Context, height float64) error {
	x, y := p.x, height-p.y-p.face.size
	if p.face.others == nil || p.face.has(p.text) {
		ctx.DrawText(x, y, p.face.text(p.text))
		return nil
	}
	l := p.face.set(p.text)
	ctx.SetFillColor(p.face.ink)
	ctx.SetStrokeColor(canvas.Transparent)
	ctx.DrawPath(x, y, outlines(l.Path()))
	return nil
}

type line struct{ x0, y0, x1, y1 float64 }

func (l line) draw(ctx *canvas.Context, height float64) error {
	p := &canvas.Path{}
	p.MoveTo(l.x0, height-l.y0)
	p.LineTo(l.x1, height-l.y1)
	ctx.SetFillColor(canvas.Transparent)
	ctx.SetStrokeColor(grey)
	ctx.SetStrokeWidth(0.2)
	ctx.DrawPath(0, 0, p)
	return nil
}

type picture struct {
	x, y, w, h float64
	img        func() (image.Image, error)
	doc        *Document
}

func (p picture) draw(ctx *canvas.Context, height float64) error {
	loaded, err := p.img()
	if err != nil {
		return err
	}
	img := &held{Image: loaded}
	p.doc.shown = append(p.doc.shown, img)
	ctx.Push()
	b := img.Bounds()
	ctx.Translate(p.x, height-p.y-p.h)
	ctx.Scale(p.w/float64(b.Dx()), p.h/float64(b.Dy()))
	ctx.DrawImage(0, 0, img, canvas.DPMM(1))
	ctx.Pop()
	return nil
}

// held lets go of an image once its page is written: the renderer remembers every
// image that it has seen.
type held struct {
	image.Image
	lent color.RGBA
}

// At lends the colour of a dot until the next call: the renderer asks for one after the other, and to
// make room for each takes as long as all the rest of it.
func (h *held) At(x, y int) color.Color {
	img, ok := h.Image.(*image.RGBA)
	if !ok {
		return h.Image.At(x, y)
	}
	h.lent = img.RGBAAt(x, y)
	return &h.lent
}

func (d *Document) letGo() {
	for _, h := range d.shown {
		h.Image = image.Transparent
	}
	d.shown = nil
}

// Encode writes the document as a PDF, the same bytes each time.
func (d *Document) Encode(w io.Writer) error {
	var b bytes.Buffer // the renderer drops write errors
	out := pdf.New(&b, d.size.W, d.size.H, &pdf.Options{Compress: true, SubsetFonts: true})
	for i, marks := range d.pages {
		if i > 0 {
			out.NewPage(d.size.W, d.size.H)
		}
		c, err := d.page(i, marks)
		if err != nil {
			return err
		}
		c.RenderTo(out)
		d.letGo()
	}
	if err := out.Close(); err != nil {
		return err
	}
	file, err := undated.PDF(b.Bytes())
	if err != nil {
		return err
	}
	_, err = w.Write(file)
	return err
}

// page draws one page with its footer.
func (d *Document) page(i int, marks []mark) (*canvas.Canvas, error) {
	c := canvas.New(d.size.W, d.size.H)
	ctx := canvas.NewContext(c)
	for _, m := range append(d.foot(i), marks...) {
		if err := m.draw(ctx, d.size.H); err != nil {
			return nil, err
		}
	}
	return c, nil
}

// foot returns the footer of a page and its number, in the lower margin.
func (d *Document) foot(i int) []mark {
	number := fmt.Sprintf("page %d of %d", i+1, len(d.pages))
	room, _ := d.size.Room()
	wide, y := small.width(number), d.size.H-margin+4
	return []mark{
		print{x: margin, y: y, text: fit(d.footer, d.in(small), room-wide-4), face: d.in(small)},
		print{x: margin + room - wide, y: y, text: number, face: small},
	}
}
