package route_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"furrow/path"
	"furrow/path/route"
)

// million is a grid of discs of 1,000,000 spans in all, or nearly.
func million() path.Marks {
	rng := rand.New(rand.NewPCG(8, 9))
	var rs []region
	for i := range 160 {
		for j := range 106 {
			r := 1 + 1.75*rng.Float64()
			rs = append(rs, region{disc(path.Point{X: 6 * float64(i), Y: 6 * float64(j)}, r)})
		}
	}
	return hatched(rs)
}

// BenchmarkSequence reports, beside the time, how many times the bound the travel of
// the sequence is; at Best effort it fails where that misses the goal.
func BenchmarkSequence(b *testing.B) {
	big := pattern{name: "1M", marks: million}
	for _, bb := range []struct {
		effort   route.Effort
		name     string
		patterns []pattern
	}{
		{route.Quick, "quick", append([]pattern{big}, patterns...)},
		{route.Normal, "normal", patterns},
		{route.Best, "best", patterns},
	} {
		for _, pat := range bb.patterns {
			b.Run(bb.name+"/"+pat.name, func(b *testing.B) { benchmark(b, pat, bb.effort) })
		}
	}
}

func benchmark(b *testing.B, pat pattern, effort route.Effort) {
	m := pat.marks()
	b.ReportAllocs()
	b.ResetTimer()
	var r route.Report
	for b.Loop() {
		var err error
		_, r, err = route.Sequence(context.Background(), m, route.Length{}, route.Options{Effort: effort})
		if err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(r.Sweeps+r.Lines), "strokes")
	if pat.bound == 0 {
		return
	}
	b.ReportMetric(r.Cost/pat.bound, "over-bound")
	if effort == route.Best && r.Cost/pat.bound > pat.best {
		b.Errorf("%.4f of the bound; the goal is %.3f", r.Cost/pat.bound, pat.best)
	}
}

// BenchmarkBound reports the bound in so many iterations.
func BenchmarkBound(b *testing.B) {
	for _, pat := range patterns {
		b.Run(pat.name, func(b *testing.B) {
			m := pat.marks()
			var r route.Report
			for b.Loop() {
				var err error
				_, r, err = route.Sequence(context.Background(), m, route.Length{},
					route.Options{Effort: route.Normal, Bound: 100})
				if err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(r.Bound/pat.bound, "of-best-known-bound")
		})
	}
}
