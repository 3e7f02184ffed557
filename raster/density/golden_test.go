package density_test

import (
	"bytes"
	"flag"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/path"
	"furrow/raster/density"
	"furrow/raster/page"
)

var update = flag.Bool("update", false, "write the golden pictures anew; look at each before it is kept")

const golden = "../../testdata/pictures"

// emblem is a ring hatched at 30 degrees round a crossed square, with outlines.
func emblem() path.Program {
	p := join(hatched(40, 24, 0.25, 0), hatched(14, 14, 0.25, 45), hatched(14, 14, 0.25, 135))
	p.Append(path.Stroke{Kind: path.LineStroke},
		path.Point{X: -20, Y: -12}, path.Point{X: 20, Y: -12}, path.Point{X: 20, Y: 12},
		path.Point{X: -20, Y: 12}, path.Point{X: -20, Y: -12})
	return p.Transform(path.Translate(30, 20))
}

func corner(w, h float64) path.Rect { return path.Rect{Max: path.Point{X: w, Y: h}} }

func facts() page.Caption {
	return page.Caption{Name: "emblem.svg", Facts: []string{"example-co2", "60.0 x 40.0 mm", "0.25 mm at 0 degrees", "2 min 4 s"}}
}

// pictures are the golden ones. Each was looked at before it was kept.
var pictures = map[string]struct {
	prog func() path.Program
	opts density.Options
}{
	"density-light": {emblem, density.Options{MarkWidthMM: 0.25, Blank: corner(60, 40), Size: 800}},
	"density-dark":  {emblem, density.Options{MarkWidthMM: 0.15, Blank: corner(60, 40), Size: 800, Dark: true}},
	"density-bed-inches": {emblem, density.Options{
		MarkWidthMM: 0.25, Bed: corner(200, 150), Blank: corner(60, 40), Size: 700, Inches: true,
		Keep: []path.Rect{{Min: path.Point{X: 62, Y: 0}, Max: path.Point{X: 75, Y: 25}}},
	}},
	"density-window": {emblem, density.Options{
		MarkWidthMM: 0.15, Size: 640, Blank: corner(60, 40),
		Window: path.Rect{Min: path.Point{X: 18, Y: 10}, Max: path.Point{X: 24, Y: 16}},
	}},
	"density-crop-dpi": {emblem, density.Options{MarkWidthMM: 0.25, Crop: true, DPI: 254, Blank: corner(60, 40)}},
}

func TestGoldenPictures(t *testing.T) {
	for name, c := range pictures {
		t.Run(name, func(t *testing.T) {
			o := c.opts
			o.Caption = facts()
			pic, err := density.Picture(c.prog(), o)
			require.NoError(t, err)
			compare(t, filepath.Join(golden, name+".png"), pic)
		})
	}
}

// compare allows a difference of 2 in 255 of any channel, which rounding may
// differ by between processors.
func compare(t *testing.T, file string, pic *page.Page) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, pic.EncodePNG(&b))
	if *update {
		require.NoError(t, os.MkdirAll(golden, 0o755))
		require.NoError(t, os.WriteFile(file, b.Bytes(), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err, "a golden picture is missing: run with -update and look at it")
	a, b2 := decode(t, want), decode(t, b.Bytes())
	require.Equal(t, a.Bounds(), b2.Bounds())
	worst := 0
	for i := range a.Pix {
		worst = max(worst, int(a.Pix[i])-int(b2.Pix[i]), int(b2.Pix[i])-int(a.Pix[i]))
	}
	assert.LessOrEqual(t, worst, 2, "%s differs", file)
}

func decode(t *testing.T, file []byte) *image.RGBA {
	t.Helper()
	img, err := png.Decode(bytes.NewReader(file))
	require.NoError(t, err)
	rgba, ok := img.(*image.RGBA)
	require.True(t, ok)
	return rgba
}

// A golden picture that no test compares with is a mistake.
func TestNoOrphanedGoldenPictures(t *testing.T) {
	files, err := os.ReadDir(golden)
	require.NoError(t, err)
	for _, f := range files {
		name := strings.TrimSuffix(f.Name(), ".png")
		_, known := pictures[name]
		assert.True(t, known, "%s belongs to no test", f.Name())
	}
	assert.Len(t, files, len(pictures), "%v", slices.Collect(func(yield func(string) bool) {
		for n := range pictures {
			yield(n)
		}
	}))
}
