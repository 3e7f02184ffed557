package page

import (
	"bytes"
	"image"
	"image/draw"
	"io"

	"github.com/tdewolff/canvas"
	"github.com/tdewolff/canvas/renderers/pdf"
	"github.com/tdewolff/canvas/renderers/rasterizer"
	"github.com/tdewolff/canvas/renderers/svg"

	"furrow/raster/pngfile"
	"furrow/raster/undated"
)

// Image draws the page.
func (p *Page) Image() *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, p.w, p.h))
	draw.Draw(img, img.Bounds(), image.NewUniform(p.spec.Theme.Paper), image.Point{}, draw.Src)
	g := p.spec.Grid
	at := image.Rectangle{p.plotAt, p.plotAt.Add(image.Pt(g.W, g.H))}
	draw.Draw(img, at, p.spec.Plot, image.Point{}, draw.Src)
	for i, in := range p.spec.Insets {
		at := image.Rectangle{p.insets[i], p.insets[i].Add(in.Image.Rect.Size())}
		draw.Draw(img, at, in.Image, in.Image.Rect.Min, draw.Src)
	}
	p.furniture().RenderTo(rasterizer.FromImage(img, canvas.DPMM(1/p.sheet.unit), nil))
	return img
}

// EncodePNG writes the page as a PNG that prints at true size.
func (p *Page) EncodePNG(w io.Writer) error {
	return pngfile.Encode(w, p.Image(), p.spec.Grid.PxPerMM)
}

// EncodeSVG writes the page as an SVG of true size. Its text is outlines, since
// many programs do not take a font from inside an SVG, and set another and wider
// one.
func (p *Page) EncodeSVG(w io.Writer) error { return encodeSVG(w, p.vector()) }

func encodeSVG(w io.Writer, c *canvas.Canvas) error {
	var b bytes.Buffer // the renderers drop write errors
	out := svg.New(&b, c.W, c.H, &svg.Options{SizeUnits: "mm"})
	c.RenderTo(outlined{out})
	if err := out.Close(); err != nil {
		return err
	}
	_, err := w.Write(b.Bytes())
	return err
}

// outlined renders text as paths.
type outlined struct{ canvas.Renderer }

func (r outlined) RenderText(text *canvas.Text, m canvas.Matrix) {
	text.RenderAsPath(r.Renderer, m, canvas.DefaultResolution)
}

// EncodePDF writes the page as a PDF of true size, with its font inside.
func (p *Page) EncodePDF(w io.Writer) error {
	var b bytes.Buffer
	c := p.vector()
	out := pdf.New(&b, c.W, c.H, &pdf.Options{Compress: true, SubsetFonts: true})
	c.RenderTo(out)
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

// vector returns the whole page.
func (p *Page) vector() *canvas.Canvas {
	u := p.sheet.unit
	c, ctx := p.sheet.blank(p.w)
	g := p.spec.Grid
	y := p.h - p.plotAt.Y - g.H
	plot := p.spec.Plot
	if p.spec.Under != nil {
		plot = p.spec.Under
	}
	ctx.DrawImage(float64(p.plotAt.X)*u, float64(y)*u, plot, canvas.DPMM(1/u))
	if p.spec.Under != nil {
		p.drawLines(ctx)
	}
	for i, in := range p.spec.Insets {
		at := p.insets[i]
		ctx.DrawImage(float64(at.X)*u, float64(p.h-at.Y-in.Image.Rect.Dy())*u, in.Image, canvas.DPMM(1/u))
	}
	p.sheet.draw(ctx)
	return c
}

// furniture returns all but the paper and the plot.
func (p *Page) furniture() *canvas.Canvas {
	c := canvas.New(float64(p.w)*p.sheet.unit, float64(p.h)*p.sheet.unit)
	p.sheet.draw(canvas.NewContext(c))
	return c
}
