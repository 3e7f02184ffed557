package stroke_test

import (
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/path"
	"furrow/path/outside"
	"furrow/path/text/stroke"
)

// TestOtherEyesReadIt has Debian's tesseract read letters of 5 mm, marked 0.3 mm
// wide, at 300 dpi.
func TestOtherEyesReadIt(t *testing.T) {
	program := outside.Program(t, "tesseract")
	for _, text := range []string{
		"Quillmere Arboretum", "SMALL LEAVED LIME", "Quercus robur 0417", "speed 1200 mm/s power 35 %", "2468 13579",
	} {
		file := filepath.Join(t.TempDir(), "words.png")
		f, err := os.Create(file)
		require.NoError(t, err)
		require.NoError(t, png.Encode(f, draw(lay(t, text, stroke.Line{Size: 5}), 0.3, 300/path.MMPerInch)))
		require.NoError(t, f.Close())
		out, err := exec.Command(program, file, "-", "--dpi", "300", "--psm", "7", "-l", "eng").Output()
		require.NoError(t, err)
		assert.Equal(t, text, strings.TrimSpace(string(out)))
	}
}

// draw marks the strokes of a shape dark on light, by the distance of each pixel
// from them.
func draw(s path.Shape, width, px float64) *image.Gray {
	box := s.Path.Bounds().Grow(4)
	img := image.NewGray(image.Rect(0, 0, int(box.W()*px), int(box.H()*px)))
	for i := range img.Pix {
		img.Pix[i] = 255
	}
	for _, l := range lines(s.Centre) {
		for i := 1; i < len(l); i++ {
			dab(img, l[i-1], l[i], box, width, px)
		}
	}
	return img
}

func dab(img *image.Gray, a, b path.Point, box path.Rect, width, px float64) {
	r := path.BoundsOf([]path.Point{a, b}).Grow(width)
	for y := int((box.Max.Y - r.Max.Y) * px); y <= int((box.Max.Y-r.Min.Y)*px); y++ {
		for x := int((r.Min.X - box.Min.X) * px); x <= int((r.Max.X-box.Min.X)*px); x++ {
			p := path.Point{X: box.Min.X + (float64(x)+0.5)/px, Y: box.Max.Y - (float64(y)+0.5)/px}
			t := p.Sub(a).Dot(b.Sub(a)) / math.Max(b.Sub(a).Dot(b.Sub(a)), 1e-12)
			if p.Dist(a.Lerp(b, min(max(t, 0), 1))) < width/2 {
				img.SetGray(x, y, color.Gray{})
			}
		}
	}
}
