package undated_test

import (
	"bytes"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/tdewolff/canvas"
	"github.com/tdewolff/canvas/renderers/pdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"furrow/raster/undated"
)

// pages returns a PDF of two pages, with text in two fonts.
func pages(t testing.TB) []byte {
	t.Helper()
	family := canvas.NewFontFamily("Go")
	require.NoError(t, family.LoadFont(goregular.TTF, 0, canvas.FontRegular))
	require.NoError(t, family.LoadFont(gobold.TTF, 0, canvas.FontBold))
	c := canvas.New(100, 50)
	ctx := canvas.NewContext(c)
	ctx.DrawText(10, 10, canvas.NewTextLine(family.Face(12, canvas.Black, canvas.FontRegular), "furrow", canvas.Left))
	var b bytes.Buffer
	p := pdf.New(&b, 100, 50, &pdf.Options{Compress: true, SubsetFonts: true})
	c.RenderTo(p)
	p.NewPage(100, 50)
	ctx.DrawText(10, 30, canvas.NewTextLine(family.Face(12, canvas.Black, canvas.FontBold), "bold", canvas.Left))
	c.RenderTo(p)
	require.NoError(t, p.Close())
	return b.Bytes()
}

// The clock is a fake one, which a pause of a second turns on and does not take.
func TestFilesOfDifferentSecondsAreTheSame(t *testing.T) {
	synctest.Test(t, filesOfDifferentSeconds)
}

func filesOfDifferentSeconds(t *testing.T) {
	require.NotEqual(t, pages(t), after(1100*time.Millisecond, t), "or nothing is shown")
	undate := func() []byte {
		file, err := undated.PDF(pages(t))
		require.NoError(t, err)
		return file
	}
	pdf1 := undate()
	time.Sleep(1100 * time.Millisecond)
	assert.Equal(t, pdf1, undate())
	assert.NotContains(t, string(pdf1), "CreationDate")
	again, err := undated.PDF(pdf1)
	require.NoError(t, err)
	assert.Equal(t, pdf1, again)
}

func after(pause time.Duration, t *testing.T) []byte {
	time.Sleep(pause)
	return pages(t)
}

func TestOtherFilesAreRefused(t *testing.T) {
	for _, file := range []string{"", "%PDF-1.7\n", "startxref\n0\n%%EOF\n",
		"xref\n0 99999999999\nstartxref\n0\n%%EOF\n"} {
		_, err := undated.PDF([]byte(file))
		assert.Error(t, err, "%q", file)
	}
}

func FuzzUndated(f *testing.F) {
	f.Add(pages(f))
	f.Add([]byte("xref\n0 2\n0000000000 65535 f \n0000000000 00000 n \nstartxref\n0\n%%EOF\n"))
	f.Fuzz(func(_ *testing.T, file []byte) {
		_, _ = undated.PDF(file)
	})
}
