package paper_test

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/path/outside"
	"furrow/raster/paper"
)

func document(size paper.Size) *paper.Document {
	d := paper.New(size, "tree tags, spring")
	d.Heading("Tree tags, spring")
	d.Facts([]paper.Fact{{Label: "For", Text: "Quillmere Arboretum"}, {Label: "Quantity", Text: "24"}})
	img := image.NewRGBA(image.Rect(0, 0, 60, 90))
	for i := range img.Pix {
		img.Pix[i] = 200
	}
	img.Set(0, 0, color.Black)
	d.Picture(func() (image.Image, error) { return img, nil }, 60, 90)
	d.WriteOn("signed", "date")
	d.Subheading("Parts")
	var rows [][]string
	for i := range 60 {
		rows = append(rows, []string{fmt.Sprint(i + 1), "Quercus robur, žluťoučký", fmt.Sprintf("%.1f", float64(i))})
	}
	d.Table([]paper.Column{{Head: "part", Share: 1}, {Head: "name", Share: 4},
		{Head: "seconds", Share: 1, Right: true}}, rows)
	return d
}

// What poppler reads from the file is what was set, on pages that number
// themselves and repeat the heads of a table.
func TestTextIsFoundByPoppler(t *testing.T) {
	pdftotext := outside.Program(t, "pdftotext")
	for name, size := range map[string]paper.Size{"A4": paper.A4, "letter": paper.Letter} {
		t.Run(name, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "sheet.pdf")
			var b bytes.Buffer
			require.NoError(t, document(size).Encode(&b))
			require.NoError(t, os.WriteFile(file, b.Bytes(), 0o600))
			out, err := exec.Command(pdftotext, "-layout", file, "-").Output()
			require.NoError(t, err)
			pages := strings.Split(strings.TrimSuffix(string(out), "\f"), "\f")
			require.Len(t, pages, 2)
			for i, p := range pages {
				assert.Contains(t, p, fmt.Sprintf("page %d of 2", i+1))
				assert.Contains(t, p, "seconds")
			}
			for i := range 60 {
				assert.Regexp(t, fmt.Sprintf(`(?m)^ *%d +Quercus robur, žluťoučký +%d\.0$`, i+1, i), string(out))
			}
			assert.Regexp(t, `Quantity +24`, pages[0])
		})
	}
}

// A picture of 60 x 90 mm and a line to write on stand where they were put, as poppler
// paints them at ten pixels a millimetre: dark there, light beside them.
func TestPictureIsSeenByPoppler(t *testing.T) {
	img := image.NewGray(image.Rect(0, 0, 20, 45)) // black
	d := paper.New(paper.A4, "")
	d.Picture(func() (image.Image, error) { return img, nil }, 60, 90)
	d.WriteOn("signed") // its line is 7 mm further down
	page := painted(t, d, 1)
	require.Equal(t, image.Pt(2100, 2970), page.Bounds().Size())
	ink := 0.0 // of the line across
	for y := 1130; y < 1150; y++ {
		ink += float64(255-grey(page.At(1000, y))) / (255 - 110)
	}
	assert.InDelta(t, 2, ink, 0.3, "0.2 mm")
	for at, dark := range map[image.Point]bool{
		{X: 152, Y: 152}: true, {X: 748, Y: 152}: true, {X: 152, Y: 1048}: true, {X: 748, Y: 1048}: true,
		{X: 147, Y: 500}: false, {X: 753, Y: 500}: false, {X: 400, Y: 147}: false, {X: 400, Y: 1053}: false,
		{X: 155, Y: 1140}: true, {X: 1900, Y: 1140}: true, {X: 1000, Y: 1134}: false, {X: 1920, Y: 1140}: false,
	} {
		y := grey(page.At(at.X, at.Y))
		assert.Equal(t, dark, y < 128, at)
	}
}

// painted is a page as poppler paints it at ten pixels a millimetre.
func painted(t *testing.T, d *paper.Document, page int) image.Image {
	t.Helper()
	program, n := outside.Program(t, "pdftoppm"), fmt.Sprint(page)
	var b bytes.Buffer
	require.NoError(t, d.Encode(&b))
	cmd := exec.Command(program, "-r", "254", "-png", "-f", n, "-l", n)
	cmd.Stdin = &b
	out, err := cmd.Output()
	require.NoError(t, err)
	img, err := png.Decode(bytes.NewReader(out))
	require.NoError(t, err)
	return img
}

func grey(c color.Color) uint8 { return color.GrayModel.Convert(c).(color.Gray).Y }

// Letters 6 mm high stand on a line 6 mm below the margin of 15 mm, on a second page as on the
// first: as poppler paints them, an H is dark from 0.72 of that above its foot and nowhere else.
func TestLettersAreSeenByPoppler(t *testing.T) {
	d := paper.New(paper.Size{W: 60, H: 50}, "")
	d.Text("first")
	d.Page()
	d.Heading("HHHH")
	page := painted(t, d, 2)
	require.Equal(t, image.Pt(600, 500), page.Bounds().Size())
	first, last := 0, 0
	for y := range 300 {
		for x := 150; x < 350; x++ {
			if grey(page.At(x, y)) < 100 {
				if first == 0 {
					first = y
				}
				last = y
			}
		}
	}
	assert.InDelta(t, 210, last, 2)
	assert.InDelta(t, 210-0.72*60, first, 3)
}

// A file is the same each time, and holds of its fonts only what it shows, packed: those
// fonts alone have 260 KB.
func TestSameBytes(t *testing.T) {
	var a, b bytes.Buffer
	require.NoError(t, document(paper.A4).Encode(&a))
	require.NoError(t, document(paper.A4).Encode(&b))
	assert.Equal(t, a.Bytes(), b.Bytes())
	assert.Less(t, a.Len(), 20_000)
}

func TestLongWordsAndNothing(t *testing.T) {
	d := paper.New(paper.A4, strings.Repeat("footer ", 100))
	d.Text("")
	d.Text(strings.Repeat("x", 5000))
	d.Facts([]paper.Fact{{}})
	d.Table(nil, nil)
	d.Table([]paper.Column{{Head: "a"}}, [][]string{{}, {"1", "2"}, {strings.Repeat("\x00", 3)}})
	d.WriteOn()
	d.Page()
	d.Page()
	assert.NoError(t, d.Encode(new(bytes.Buffer)))
	assert.Equal(t, 2, d.Pages())
}
