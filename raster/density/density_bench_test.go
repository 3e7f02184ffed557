package density_test

import (
	"io"
	"testing"

	"furrow/path"
	"furrow/raster/density"
)

// short returns a million marks of 50 µm in rows over 100 x 150 mm.
func short(degrees float64) path.Program {
	p := path.Program{Settings: []path.Setting{{SpeedMMPerS: 100, Power: 0.5}}}
	const n, m = 1000, 1000
	for k := range n {
		for i := range m {
			at := path.Point{X: float64(i) * 0.1, Y: float64(k) * 0.15}
			p.Append(path.Stroke{}, at, path.Point{X: at.X + 0.05, Y: at.Y})
		}
	}
	return p.Transform(path.Rotate(degrees))
}

// A picture of 2,000 x 3,000 pixels from a million marks, 50 m long together and
// 0.08 mm wide, as a PNG.
func BenchmarkPicture(b *testing.B) {
	for _, c := range []struct {
		name    string
		degrees float64
	}{{"rows", 0}, {"slanted", 20}} {
		b.Run(c.name, func(b *testing.B) {
			p := short(c.degrees)
			o := density.Options{
				MarkWidthMM: 0.08, DPI: 508,
				Window: path.Rect{Max: path.Point{X: 100, Y: 150}},
			}
			b.ReportAllocs()
			for b.Loop() {
				pic, err := density.Picture(p, o)
				if err != nil {
					b.Fatal(err)
				}
				if err := pic.EncodePNG(io.Discard); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
