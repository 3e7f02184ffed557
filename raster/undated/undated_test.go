package undated_test

import (
	"bytes"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/tdewolff/canvas"
	"github.com/tdewolff/canvas/renderers/pdf"
	"github.com/tdewolff/canvas/renderers/svg"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"furrow/raster/undated"
)

// pages returns a PDF of two pages and an SVG, with text in two fonts.
func pages(t testing.TB) (document, drawing []byte) {
	t.Helper()
	family := canvas.NewFontFamily("Go")
	require.NoError(t, family.LoadFont(goregular.TTF, 0, canvas.FontRegular))
	require.NoError(t, family.LoadFont(gobold.TTF, 0, canvas.FontBold))
	c := canvas.New(100, 50)
	ctx := canvas.NewContext(c)
	ctx.DrawText(10, 10, canvas.NewTextLine(family.Face(12, canvas.Black, canvas.FontRegular), "furrow", canvas.Left))
	var a, b bytes.Buffer
	s := svg.New(&b, 100, 50, &svg.Options{EmbedFonts: true, SubsetFonts: true, SizeUnits: "mm"})
	c.RenderTo(s)
	require.NoError(t, s.Close())
	p := pdf.New(&a, 100, 50, &pdf.Options{Compress: true, SubsetFonts: true})
	c.RenderTo(p)
	p.NewPage(100, 50)
	ctx.DrawText(10, 30, canvas.NewTextLine(family.Face(12, canvas.Black, canvas.FontBold), "bold", canvas.Left))
	c.RenderTo(p)
	require.NoError(t, p.Close())
	return a.Bytes(), b.Bytes()
}

func TestFilesOfDifferentSecondsAreTheSame(t *testing.T) {
	undate := func() (document, drawing []byte) {
		a, b := pages(t)
		document, err := undated.PDF(a)
		require.NoError(t, err)
		drawing, err = undated.SVG(b)
		require.NoError(t, err)
		return document, drawing
	}
	pdf1, svg1 := undate()
	time.Sleep(1100 * time.Millisecond)
	pdf2, svg2 := undate()
	assert.Equal(t, pdf1, pdf2)
	assert.Equal(t, svg1, svg2)
	assert.NotContains(t, string(pdf1), "CreationDate")
	again, err := undated.PDF(pdf1)
	require.NoError(t, err)
	assert.Equal(t, pdf1, again)
}

func TestOtherFilesAreRefused(t *testing.T) {
	for _, file := range []string{"", "%PDF-1.7\n", "startxref\n0\n%%EOF\n", "xref\n0 99999999999\nstartxref\n0\n%%EOF\n"} {
		_, err := undated.PDF([]byte(file))
		assert.Error(t, err, "%q", file)
	}
	_, err := undated.SVG([]byte("url('data:type/opentype;base64,AAAA')"))
	assert.Error(t, err)
	plain, err := undated.SVG([]byte("<svg/>"))
	assert.NoError(t, err)
	assert.Equal(t, "<svg/>", string(plain))
}

func FuzzUndated(f *testing.F) {
	document, drawing := pages(f)
	f.Add(document)
	f.Add(drawing)
	f.Add([]byte("xref\n0 2\n0000000000 65535 f \n0000000000 00000 n \nstartxref\n0\n%%EOF\n"))
	f.Fuzz(func(_ *testing.T, file []byte) {
		_, _ = undated.PDF(file)
		_, _ = undated.SVG(file)
	})
}
