package hatch_test

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"furrow/path"
	"furrow/path/hatch"

	"github.com/stretchr/testify/require"
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
	return hatch.Settings{Workers: 1, Groups: []hatch.Group{{
		Setting: path.Setting{SpacingMM: spacing}, Angles: []float64{angle},
	}}}
}

func benchmarkFill(b *testing.B, art path.Artwork, s hatch.Settings) {
	b.ReportAllocs()
	spans := 0
	runtime.GC() // what the setup left is not the engine's
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

// BenchmarkSheet fills 45,000 vertices at 400 lines an inch and 45 degrees on
// one thread. With -benchtime 1x it measures the first call in the process.
func BenchmarkSheet(b *testing.B) { benchmarkFill(b, sheet(), hatching(0.0635, 45)) }

// BenchmarkIcons does the same with a sheet of real icons, flattened before.
// .ci/compare sets it beside a polygon clipping library and GEOS.
func BenchmarkIcons(b *testing.B) {
	benchmarkFill(b, polygons(iconSheet(b, 45000)), hatching(0.0635, 45))
}

// BenchmarkMillionSpans fills the waves at a spacing that makes a million spans.
func BenchmarkMillionSpans(b *testing.B) { benchmarkFill(b, sheet(), hatching(0.0013, 45)) }

// iconSheet lays icons out as icons does until they have n vertices.
func iconSheet(t testing.TB, n int) path.Artwork {
	all := icons(t, 2000)
	for i, s := range all.Shapes {
		s.Path.Flatten(0.002, func(pts []path.Point, _ bool) { n -= len(pts) })
		if n <= 0 {
			all.Shapes = all.Shapes[:i+1]
			break
		}
	}
	return all
}

// polygons flattens the shapes of an artwork and leaves out their clips.
func polygons(art path.Artwork) path.Artwork {
	var out path.Artwork
	for _, s := range art.Shapes {
		var p path.Path
		s.Path.Flatten(0.002, func(pts []path.Point, _ bool) {
			p.MoveTo(pts[0])
			for _, q := range pts[1:] {
				p.LineTo(q)
			}
			p.Close()
		})
		out.Shapes = append(out.Shapes, path.Shape{Path: p, Rule: s.Rule, Paint: s.Paint})
	}
	return out
}

// TestWriteSheet writes the rings and rows of BenchmarkIcons for .ci/compare to
// the file that FURROW_SHEET names, or one that is thrown away: in the turned
// frame, one ring a line.
func TestWriteSheet(t *testing.T) {
	name := os.Getenv("FURROW_SHEET")
	if name == "" {
		name = filepath.Join(t.TempDir(), "sheet")
	}
	f, err := os.Create(name)
	require.NoError(t, err)
	w := bufio.NewWriter(f)
	art := polygons(iconSheet(t, 45000))
	m := fill(t, art, rowsOf(0.0635, 45))
	turn := path.Rotate(-45)
	set := &m.Rows[0]
	fmt.Fprintf(w, "rows %d %.17g %.17g length %.17g spans %d\n", set.NumRows(), turn.Apply(set.At(0, 0)).Y,
		set.Spacing, set.Length(), len(set.Spans))
	for _, s := range art.Shapes {
		rule := "nonzero"
		if s.Rule == path.EvenOdd {
			rule = "evenodd"
		}
		fmt.Fprintln(w, "shape", rule)
		s.Path.Flatten(1, func(pts []path.Point, _ bool) {
			fmt.Fprint(w, "ring ", len(pts))
			for _, p := range pts {
				p = turn.Apply(p)
				fmt.Fprintf(w, " %.17g %.17g", p.X, p.Y)
			}
			fmt.Fprintln(w)
		})
	}
	require.NoError(t, w.Flush())
	require.NoError(t, f.Close())
	info, err := os.Stat(name)
	require.NoError(t, err)
	require.Greater(t, info.Size(), int64(1e6), "45,000 vertices")
}
