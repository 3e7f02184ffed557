package density_test

import (
	"bytes"
	"flag"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"furrow/path"
	"furrow/raster/density"
	"furrow/raster/page"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the golden pictures anew; look at each before it is kept")

const golden = "../../testdata/pictures"

// emblem is a hatched rectangle with an outline, and a square in it that is
// crossed at 45 degrees with a setting of its own.
func emblem() path.Program {
	ground, square := hatched(40, 24, 0.25, 0), join(hatched(14, 14, 0.25, 45), hatched(14, 14, 0.25, 135))
	for i := range square.Strokes {
		square.Strokes[i].Setting = 1
	}
	p := join(ground, square)
	p.Settings = []path.Setting{
		{Name: "ground", SpeedMMPerS: 200, Power: 0.3, SpacingMM: 0.25},
		{Name: "crossed", SpeedMMPerS: 100, Power: 0.3, SpacingMM: 0.25},
	}
	p.Append(path.Stroke{Kind: path.LineStroke},
		path.Point{X: -20, Y: -12}, path.Point{X: 20, Y: -12}, path.Point{X: 20, Y: 12},
		path.Point{X: -20, Y: 12}, path.Point{X: -20, Y: -12})
	return p.Transform(path.Translate(30, 20))
}

func corner(w, h float64) path.Rect { return path.Rect{Max: path.Point{X: w, Y: h}} }

func facts() page.Caption {
	return page.Caption{Name: "emblem.svg", Facts: []string{"example-co2", "60.0 x 40.0 mm",
		"0.25 mm at 0 degrees", "2 min 4 s"}}
}

// energyOf returns the energy of each stroke at one power: power times length
// over speed.
func energyOf(p path.Program, watts float64) []path.Marking {
	e := make([]path.Marking, len(p.Strokes))
	for i, s := range p.Strokes {
		pts := p.PointsOf(i)
		for j := 1; j < len(pts); j++ {
			e[i].EnergyJ += watts * pts[j-1].Dist(pts[j]) / p.Settings[s.Setting].SpeedMMPerS
		}
	}
	return e
}

func seconds(s float64) time.Duration { return time.Duration(math.Round(s * 1e9)) }

// withFacts fills in what the kinds of picture need: 40 W at 30 percent, times
// at the marking speed alone, straight travel from stroke to stroke, and a reach
// of 6 mm beside the work.
func withFacts(p path.Program, o density.Options) density.Options {
	o.Marking = energyOf(p, 12)
	now := 0.0
	for i, s := range p.Strokes {
		pts := p.PointsOf(i)
		if i > 0 {
			before := p.PointsOf(i - 1)
			o.Travel = append(o.Travel, []path.Point{before[len(before)-1], pts[0]})
		}
		o.Marking[i].Start = seconds(now)
		for j := 1; j < len(pts); j++ {
			now += pts[j-1].Dist(pts[j]) / p.Settings[s.Setting].SpeedMMPerS
		}
		o.Marking[i].End = seconds(now)
	}
	o.Heat = density.HeatMap{Rect: path.Rect{Max: path.Point{X: 60, Y: 40}}, NX: 3, NY: 2,
		RiseK: []float32{10, 20, 30, 20, 40, 20}}
	o.Reach = p.Bounds()
	o.Reach.Min.X -= 6
	o.Reach.Max.X += 6
	if o.Caption.Name == "" {
		o.Caption = facts()
	}
	return o
}

var (
	slate = color.RGBA{62, 68, 74, 255}
	ash   = color.RGBA{186, 190, 190, 255}
	pale  = color.RGBA{228, 230, 228, 255}
)

const long = "order-2031-tree-tags-for-the-north-avenue-second-version-as-agreed-with-the-keeper.svg"

// pictures are the golden ones. Each was looked at before it was kept.
var pictures = map[string]density.Options{
	"density-light": {MarkWidthMM: 0.25, Blank: corner(60, 40), Size: 800},
	"density-dark":  {MarkWidthMM: 0.15, Blank: corner(60, 40), Size: 800, Dark: true},
	"density-bed-inches": {
		MarkWidthMM: 0.25, Bed: corner(200, 150), Blank: corner(60, 40), Size: 700, Inches: true,
		Keep: []path.Rect{{Min: path.Point{X: 62, Y: 0}, Max: path.Point{X: 75, Y: 25}}},
	},
	"density-window": {
		MarkWidthMM: 0.15, Size: 640, Blank: corner(60, 40),
		Window: path.Rect{Min: path.Point{X: 18, Y: 10}, Max: path.Point{X: 24, Y: 16}},
	},
	"density-crop-dpi": {MarkWidthMM: 0.25, Crop: true, DPI: 254, Blank: corner(60, 40)},
	"density-wide": {
		MarkWidthMM: 0.2, Size: 700, Zero: "X0 Y0", Blank: path.Rect{Min: path.Point{X: -130, Y: 5},
			Max: path.Point{X: 170, Y: 35}},
		Caption: page.Caption{Name: long, Facts: facts().Facts},
	},
	"density-tall": {
		MarkWidthMM: 0.2, Size: 700, Bed: path.Rect{Min: path.Point{X: 8, Y: -200}, Max: path.Point{X: 52, Y: 240}},
		Caption: page.Caption{Name: long, Facts: facts().Facts},
	},
	"dose": {Show: density.ShowDose, MarkWidthMM: 0.15, Blank: corner(60, 40), Size: 800},
	"finish": {
		Show: density.ShowFinish, MarkWidthMM: 0.15, Blank: corner(60, 40), Size: 800,
		Ground: slate, Tones: []color.RGBA{ash, pale},
	},
	"finish-ink":    {Show: density.ShowFinish, MarkWidthMM: 0.25, Blank: corner(60, 40), Size: 800},
	"sequence":      {Show: density.ShowSequence, MarkWidthMM: 0.2, Blank: corner(60, 40), Size: 800},
	"sequence-dark": {Show: density.ShowSequence, MarkWidthMM: 0.2, Crop: true, Size: 800, Dark: true},
	"travel": {
		Show: density.ShowTravel, MarkWidthMM: 0.2, Blank: corner(60, 40), Size: 560,
		Keep: []path.Rect{{Min: path.Point{X: 1, Y: 15}, Max: path.Point{X: 6, Y: 25}}},
	},
	"field-inset": {
		MarkWidthMM: 0.25, Size: 700, Inset: true, BedName: "field",
		Bed: path.Rect{Min: path.Point{X: -20, Y: -60}, Max: path.Point{X: 155, Y: 115}},
	},
	"close-ups": {
		Show: density.ShowFinish, MarkWidthMM: 0.2, Size: 700, Tones: []color.RGBA{{150, 150, 150, 255}, {110, 110,
			110, 255}},
		CloseUps: []density.CloseUp{
			{At: path.Point{X: 10, Y: 9}, WideMM: 2, Label: "1: bridge 0.08 mm"}, {At: path.Point{X: 50, Y: 32},
				WideMM: 2, Label: "2: bridge 0.11 mm"},
			{At: path.Point{X: 30, Y: 30}, WideMM: 2, Label: "3: gap 0.12 mm"},
		},
		Rings: []page.Ring{
			{At: path.Point{X: 10, Y: 9}, Pattern: page.Circle, Number: "1", Label: "bridge too thin"},
			{At: path.Point{X: 50, Y: 32}, Pattern: page.Circle, Number: "2", Label: "bridge too thin"},
			{At: path.Point{X: 30, Y: 30}, Pattern: page.DashedCircle, Number: "3", Label: "gap too thin"},
		},
	},
	"rows": {
		Show: density.ShowRows, MarkWidthMM: 0.2, Size: 800,
		Window: path.Rect{Min: path.Point{X: 44, Y: 26}, Max: path.Point{X: 52, Y: 33}},
	},
	"rows-crossed-dark": {
		Show: density.ShowRows, MarkWidthMM: 0.15, Size: 640, Dark: true,
		Window: path.Rect{Min: path.Point{X: 26, Y: 23}, Max: path.Point{X: 32, Y: 31}},
	},
}

func TestGoldenPictures(t *testing.T) {
	p := emblem()
	for name, o := range pictures {
		t.Run(name, func(t *testing.T) {
			pic, err := density.Picture(p, withFacts(p, o))
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
	rgba := image.NewRGBA(img.Bounds())
	draw.Draw(rgba, rgba.Rect, img, image.Point{}, draw.Src)
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
}
