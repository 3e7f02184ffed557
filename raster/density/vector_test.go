package density_test

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"image"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/path"
	"furrow/path/outside"
	"furrow/raster/density"
	"furrow/raster/page"
)

// Poppler's tools judge the PDF: its size is true, its font embedded, its words
// can be found.
func TestPDF(t *testing.T) {
	info, fonts, text := outside.Program(t, "pdfinfo"), outside.Program(t, "pdffonts"), outside.Program(t, "pdftotext")
	pic, err := density.Picture(emblem(), density.Options{DPI: 254, Blank: corner(60, 40), Caption: facts()})
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "a.pdf")
	write(t, file, pic.EncodePDF)
	w, h := pic.Size() // a tenth of a millimetre each
	var gotW, gotH float64
	_, size, _ := strings.Cut(run(t, info, file), "Page size:")
	_, err = fmt.Sscan(strings.Replace(size, "x", " ", 1), &gotW, &gotH)
	require.NoError(t, err)
	assert.InDelta(t, float64(w)/254*72, gotW, 0.01, "width in points")
	assert.InDelta(t, float64(h)/254*72, gotH, 0.01, "height in points")
	assert.Regexp(t, `(?m)TrueType.*yes yes`, run(t, fonts, file), "embedded and subset")
	words := run(t, text, "-layout", file, "-")
	for _, word := range []string{"emblem.svg", "density, lines/mm", "2 min 4 s", "blank 60 x 40 mm", "30", "mm"} {
		assert.Contains(t, words, word)
	}
}

// The SVG is well-formed XML, without a font that a program may not take.
func TestSVG(t *testing.T) {
	pic, err := density.Picture(emblem(), density.Options{DPI: 254, Blank: corner(60, 40), Caption: facts()})
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "a.svg")
	write(t, file, pic.EncodeSVG)
	b, err := os.ReadFile(file)
	require.NoError(t, err)
	d := xml.NewDecoder(bytes.NewReader(b))
	for err = nil; err == nil; {
		_, err = d.Token()
	}
	require.ErrorIs(t, err, io.EOF)
	assert.NotContains(t, string(b), "<text")
}

// onPaper returns a page at 10 pixels a millimetre.
func onPaper(t *testing.T, show density.Show) *page.Page {
	t.Helper()
	p := emblem()
	o := withFacts(p, density.Options{Show: show, Paper: true, DPI: 254, MarkWidthMM: 0.2, Blank: corner(60, 40)})
	o.Travel = nil // moves that are longer than their dots, which begin anew in vectors
	for y := range 20 {
		o.Travel = append(o.Travel, []path.Point{{X: 2, Y: float64(y)}, {X: 50, Y: float64(2 * y)}, {X: 58, Y: 1}})
	}
	pic, err := density.Picture(p, o)
	require.NoError(t, err)
	return pic
}

// Debian's librsvg and Poppler draw the vectors at true size, and as the same
// picture as the PNG.
func TestVectorsAreThePicture(t *testing.T) {
	rsvg, poppler := outside.Program(t, "rsvg-convert"), outside.Program(t, "pdftoppm")
	dir := t.TempDir()
	for _, name := range density.Shows() {
		show, err := density.ParseShow(name)
		require.NoError(t, err)
		pic := onPaper(t, show)
		svg, pdf := filepath.Join(dir, name+".svg"), filepath.Join(dir, name+".pdf")
		write(t, svg, pic.EncodeSVG)
		write(t, pdf, pic.EncodePDF)
		alike(t, pic.Image(), decode(t, []byte(run(t, rsvg, "--dpi-x=254", "--dpi-y=254", svg))), "librsvg, "+name)
		alike(t, pic.Image(), decode(t, []byte(run(t, poppler, "-r", "254", "-png", pdf))), "poppler, "+name)
	}
}

// alike allows for another smoothing of edges, hinting of text and place of dots:
// the size within a pixel, a mean difference of 3 in 255, and 15 pixels in a thousand
// that differ by more than a quarter.
func alike(t *testing.T, want, got *image.RGBA, name string) {
	t.Helper()
	assert.InDelta(t, want.Rect.Dx(), got.Rect.Dx(), 1, "%s: width", name)
	assert.InDelta(t, want.Rect.Dy(), got.Rect.Dy(), 1, "%s: height", name)
	both := want.Rect.Intersect(got.Rect)
	sum, far, n := 0, 0, both.Dx()*both.Dy()
	for y := range both.Dy() {
		for x := range both.Dx() {
			a, b := want.RGBAAt(x, y), got.RGBAAt(x, y)
			d := max(int(a.R)-int(b.R), int(b.R)-int(a.R), int(a.B)-int(b.B), int(b.B)-int(a.B))
			if sum += d; d > 64 {
				far++
			}
		}
	}
	assert.Less(t, float64(sum)/float64(n), 3.0, "%s: mean difference", name)
	assert.Less(t, float64(far)/float64(n), 0.015, "%s: share of pixels that are others", name)
}
