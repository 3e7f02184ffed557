package paper_test

import (
	"bytes"
	"io/fs"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"furrow/path/outside"
	"furrow/raster/paper"
)

// A letter that the paper's own font lacks is printed from the folders named: as poppler
// paints it, its ink has the bounds that x/image's reader of fonts tells, on the line's foot.
func TestLettersOfOtherFonts(t *testing.T) {
	const dir, size = "/usr/share/fonts/truetype/dejavu", 60 // ten pixels a millimetre
	data, err := os.ReadFile(dir + "/DejaVuSans-Bold.ttf")
	if err != nil {
		outside.Missing(t, "the DejaVu fonts (fonts-dejavu-core)")
	}
	d := paper.New(paper.Size{W: 60, H: 50}, "")
	d.Fonts(onlyFile{os.DirFS(dir), "DejaVuSans-Bold.ttf"})
	d.Heading("\u1ec7")
	page := painted(t, d, 1)
	x0, y0, x1, y1 := 600, 500, 0, 0
	for y := range 350 {
		for x := range 600 {
			if grey(page.At(x, y)) < 128 {
				x0, y0, x1, y1 = min(x0, x), min(y0, y), max(x1, x+1), max(y1, y+1)
			}
		}
	}
	f, err := sfnt.Parse(data)
	require.NoError(t, err)
	var b sfnt.Buffer
	glyph, err := f.GlyphIndex(&b, '\u1ec7')
	require.NoError(t, err)
	box, _, err := f.GlyphBounds(&b, glyph, fixed.I(size), font.HintingNone)
	require.NoError(t, err)
	px := func(v fixed.Int26_6) float64 { return float64(v) / 64 }
	assert.InDelta(t, 150+px(box.Min.X), x0, 1.5)
	assert.InDelta(t, 150+px(box.Max.X), x1, 1.5)
	assert.InDelta(t, 210+px(box.Min.Y), y0, 1.5)
	assert.InDelta(t, 210+px(box.Max.Y), y1, 1.5)
}

// onlyFile is a folder that holds one file of another.
type onlyFile struct {
	fs.FS
	name string
}

func (o onlyFile) ReadDir(name string) ([]fs.DirEntry, error) {
	all, err := fs.ReadDir(o.FS, name)
	for _, e := range all {
		if e.Name() == o.name {
			return []fs.DirEntry{e}, err
		}
	}
	return nil, err
}

// Where no font has a letter, a sign is printed for it and not nothing, and the rest of the
// line as it is.
func TestLettersThatNoFontHas(t *testing.T) {
	ink := func(s string, dirs ...fs.FS) (n int) {
		d := paper.New(paper.Size{W: 60, H: 50}, "")
		d.Fonts(dirs...)
		d.Text(s)
		var b bytes.Buffer
		require.NoError(t, d.Encode(&b))
		page := painted(t, d, 1)
		for y := range 350 {
			for x := range 600 {
				if grey(page.At(x, y)) < 128 {
					n++
				}
			}
		}
		return n
	}
	sign := ink("\ufffd")
	require.Positive(t, sign)
	assert.Equal(t, sign, ink("\u0639"), "Arabic ain, in no font at hand")
	assert.InDelta(t, sign+ink("Vit"), ink("Vi\u1ec7t"), 8)
}
