package hatch_test

import (
	"math"
	"testing"

	"furrow/path"
	"furrow/path/hatch"
)

// sheet is 100 shapes in cells of 10 mm, with 450 vertices each: wavy rings
// with a wavy hole.
func sheet() path.Artwork {
	art := path.Artwork{Page: path.Rect{Max: path.Point{X: 100, Y: 100}}}
	for i := range 100 {
		c := path.Point{X: float64(i%10)*10 + 5, Y: float64(i/10)*10 + 5}
		var p path.Path
		wave(&p, c, 4, 0.5, float64(3+i%7), 300, 1)
		wave(&p, c, 2, 0.3, float64(2+i%5), 150, -1)
		art.Shapes = append(art.Shapes, path.Shape{Path: p, Paint: path.Paint{Opacity: 1}})
	}
	return art
}

func wave(p *path.Path, c path.Point, r, amp, lobes float64, n int, dir float64) {
	for i := range n {
		a := dir * 2 * math.Pi * float64(i) / float64(n)
		s, k := math.Sincos(a)
		d := r + amp*math.Sin(lobes*a)
		q := c.Add(path.Point{X: k, Y: s}.Mul(d))
		if i == 0 {
			p.MoveTo(q)
		} else {
			p.LineTo(q)
		}
	}
	p.Close()
}

func hatching(spacing, angle float64) hatch.Settings {
	return hatch.Settings{Workers: 1, Parts: []hatch.Part{{
		Setting: path.Setting{SpacingMM: spacing}, Angles: []float64{angle},
	}}}
}

func benchmarkFill(b *testing.B, art path.Artwork, s hatch.Settings) {
	b.ReportAllocs()
	spans := 0
	for b.Loop() {
		_, r, err := hatch.Fill(art, s)
		if err != nil {
			b.Fatal(err)
		}
		spans = r.Spans
	}
	b.ReportMetric(float64(spans), "spans")
	b.ReportMetric(float64(spans)*float64(b.N)/b.Elapsed().Seconds()/1e6, "Mspans/s")
}

// 45,000 vertices at 400 lines an inch and 45 degrees, one thread.
func BenchmarkSheet(b *testing.B) { benchmarkFill(b, sheet(), hatching(0.0635, 45)) }

// The same at a spacing that makes more than a million spans.
func BenchmarkMillionSpans(b *testing.B) { benchmarkFill(b, sheet(), hatching(0.0035, 45)) }
