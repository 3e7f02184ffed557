package page_test

import (
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"

	"furrow/raster/page"
)

// plain is a picture put together from boxes and words at places reckoned by hand, by
// the rasteriser and the font reader of golang.org/x/image, for pages to be held
// against.
type plain struct {
	*image.RGBA
	face font.Face
}

// The colours of the pages that are held against plain pictures, each of which takes
// one channel away, and what a picture is filled with.
var (
	ink   = color.RGBA{0, 255, 255, 255}
	quiet = color.RGBA{255, 0, 255, 255}
	paper = color.RGBA{255, 255, 255, 255}
	table = color.RGBA{255, 255, 0, 255}
	field = color.RGBA{110, 110, 110, 255} // dark enough that paper below a line is seen
	theme = page.Theme{Paper: paper, Ink: ink, Quiet: quiet, Table: table, Bed: table, Blank: table, Mid: quiet}
)

func newPlain(t *testing.T, w, h int, text float64) *plain {
	f, err := opentype.Parse(goregular.TTF)
	require.NoError(t, err)
	face, err := opentype.NewFace(f, &opentype.FaceOptions{Size: text, DPI: 72})
	require.NoError(t, err)
	p := &plain{image.NewRGBA(image.Rect(0, 0, w, h)), face}
	p.box(paper, 0, 0, float64(w), float64(h))
	return p
}

// box fills a rectangle by its upper-left corner and its size, px.
func (p *plain) box(c color.RGBA, x, y, w, h float64) {
	p.shape(c, x, y, x+w, y, x+w, y+h, x, y+h)
}

// shape fills a polygon, by x and y in turn.
func (p *plain) shape(c color.RGBA, xy ...float64) {
	b := image.Rectangle{}
	for i := 0; i < len(xy); i += 2 {
		x, y := int(math.Floor(xy[i])), int(math.Floor(xy[i+1]))
		b = b.Union(image.Rect(x, y, x+2, y+2))
	}
	b = b.Intersect(p.Rect)
	z := vector.NewRasterizer(b.Dx(), b.Dy())
	for i := 0; i < len(xy); i += 2 {
		to := z.LineTo
		if i == 0 {
			to = z.MoveTo
		}
		to(float32(xy[i])-float32(b.Min.X), float32(xy[i+1])-float32(b.Min.Y))
	}
	z.ClosePath()
	z.Draw(p.RGBA, b, image.NewUniform(c), image.Point{})
}

// line draws a line of a width from a to b, with square ends, cut into dashes that
// begin with one.
func (p *plain) line(c color.RGBA, width, ax, ay, bx, by float64, dashes ...float64) {
	n := math.Hypot(bx-ax, by-ay)
	ux, uy := (bx-ax)/n, (by-ay)/n
	if len(dashes) == 0 {
		dashes = []float64{n, n}
	}
	for at, i := 0.0, 0; at < n; i++ {
		end := min(n, at+dashes[i%len(dashes)])
		if i%2 == 0 {
			hx, hy := -uy*width/2, ux*width/2
			x0, y0, x1, y1 := ax+ux*at, ay+uy*at, ax+ux*end, ay+uy*end
			p.shape(c, x0+hx, y0+hy, x1+hx, y1+hy, x1-hx, y1-hy, x0-hx, y0-hy)
		}
		at = end
	}
}

// ring draws a circle's line.
func (p *plain) ring(c color.RGBA, x, y, radius, width float64) {
	const n = 96
	var xy []float64
	for _, side := range [...]float64{1, -1} { // there outside, back inside
		for i := range n + 1 {
			sin, cos := math.Sincos(side * 2 * math.Pi * float64(i) / n)
			r := radius + side*width/2
			xy = append(xy, x+r*cos, y+r*sin)
		}
	}
	p.shape(c, xy...)
}

// arc draws a circle's line in short pieces, what of each lies in the picture.
func (p *plain) arc(c color.RGBA, x, y, radius, width float64) {
	const n = 400
	at := func(i int) (float64, float64) {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		return x + radius*cos, y + radius*sin
	}
	for i := range n {
		ax, ay := at(i)
		bx, by := at(i + 1)
		box := image.Rect(int(min(ax, bx)), int(min(ay, by)), int(max(ax, bx))+1, int(max(ay, by))+1)
		if box.Overlaps(p.Rect) {
			p.line(c, width, ax, ay, bx, by)
		}
	}
}

func (p *plain) disc(c color.RGBA, x, y, radius float64) { p.ring(c, x, y, radius/2, radius) }

// width is that of a word, px.
func (p *plain) width(word string) float64 {
	return float64(font.MeasureString(p.face, word)) / 64
}

// word sets a word on a base line; along is 0 for one that begins at x, 0.5 for one in
// the middle and 1 for one that ends there.
func (p *plain) word(c color.RGBA, x, base, along float64, word string) {
	at := func(v float64) fixed.Int26_6 { return fixed.Int26_6(math.Round(v * 64)) }
	d := font.Drawer{Dst: p.RGBA, Src: image.NewUniform(c), Face: p.face}
	d.Dot = fixed.Point26_6{X: at(x - along*p.width(word)), Y: at(base)}
	d.DrawString(word)
}

func (p *plain) picture(r image.Rectangle, c color.RGBA) {
	draw.Draw(p.RGBA, r, image.NewUniform(c), image.Point{}, draw.Src)
}

// requireLike holds a picture against the plain one: edges may be smoothed in another
// way, by less than half of a pixel's colour, and nothing may be missing.
func (p *plain) requireLike(t *testing.T, got *image.RGBA) {
	t.Helper()
	require.Equal(t, p.Rect, got.Rect)
	wrong, first, diff := 0, image.Point{}, image.NewRGBA(p.Rect)
	copy(diff.Pix, p.Pix)
	for i := range p.Pix {
		if d := int(p.Pix[i]) - int(got.Pix[i]); max(d, -d) > 130 {
			if wrong++; wrong == 1 {
				first = image.Pt(i%p.Stride/4, i/p.Stride)
			}
			at := i / 4 * 4
			copy(diff.Pix[at:at+4], []byte{0, 0, 0, 255})
		}
	}
	if wrong > 0 {
		for name, img := range map[string]image.Image{"wrong": diff, "got": got} {
			file, err := os.Create(filepath.Join(t.ArtifactDir(), name+".png")) // kept by go test -artifacts
			require.NoError(t, err)
			require.NoError(t, png.Encode(file, img))
			require.NoError(t, file.Close())
		}
	}
	require.Zero(t, wrong, "values of pixels are wrong, the first at %v", first)
}
