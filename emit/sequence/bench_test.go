package sequence_test

import (
	"context"
	"testing"

	"furrow/emit/machine"
	"furrow/emit/sequence"
	"furrow/path"
	"furrow/path/hatch"
	"furrow/path/route"
)

// BenchmarkDefault is the whole of the default effort on the demo's drawing, with the
// plain rows that it is held against; for a gantry with a limit of the jerk too.
func BenchmarkDefault(b *testing.B) {
	jerky := machine.Examples()[0]
	g := *jerky.Gantry
	g.JerkMMPerS3 = [2]float64{60_000, 30_000}
	jerky.Gantry = &g
	for _, bb := range []struct {
		name    string
		p       machine.Profile
		spacing float64
	}{
		{"co2", machine.Examples()[0], 0.1}, {"jerk", jerky, 0.1}, {"diode", machine.Examples()[1], 0.0635},
		{"fibre", machine.Examples()[2], 0.05},
	} {
		part := hatch.Group{Setting: path.Setting{SpacingMM: bb.spacing}, Angles: []float64{45}, Cross: 90}
		marks := filled(b, artwork(b, "tag.svg"), bb.p, part)
		names := map[route.Effort]string{route.None: "none", route.Quick: "quick", route.BySize: "default",
			route.Best: "best"}
		for _, effort := range []route.Effort{route.None, route.Quick, route.BySize, route.Best} {
			b.Run(bb.name+"/"+names[effort], func(b *testing.B) {
				var r sequence.Report
				for b.Loop() {
					var err error
					if _, r, err = sequence.Of(context.Background(), marks, bb.p,
						sequence.Options{Effort: effort}); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(r.Time.Seconds(), "machine-s")
				b.ReportMetric(r.Saved().Seconds(), "saved-s")
			})
		}
	}
}
