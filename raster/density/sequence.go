package density

import (
	"fmt"
	"math"

	"furrow/path"
	"furrow/raster/colour"
	"furrow/raster/page"
)

// sequence colours each place by the time at which it is marked last.
func (d *drawing) sequence() {
	d.total = d.o.lastEnd()
	s := TimeScale(d.total)
	s.Label, s.Ramp = "marked at, "+s.Label+" from the start", d.o.timeRamp()
	d.spec.Scale = &s
	d.ends()
	times, cover := d.times()
	for i, v := range cover.Value {
		if v > 0 {
			blendPixel(d.plot.Pix[4*i:4*i+4:4*i+4], s.Ramp.At(float64(times.Value[i])/s.Top), min(1, float64(v)))
		}
	}
}

// pale is the part of the ramp that can hardly be told from the page.
const pale = 0.2

// timeRamp is the ramp without what is so pale that the first marks would not be
// seen: no time is nothing.
func (o Options) timeRamp() colour.Ramp {
	all := o.ramp()
	r := make(colour.Ramp, len(all))
	for i := range r {
		r[i] = all.At(pale + (1-pale)*float64(i)/float64(len(r)-1))
	}
	return r
}

// ends shows where the first mark begins and the last one ends.
func (d *drawing) ends() {
	strokes := len(d.prog.Strokes)
	first, last := d.prog.PointsOf(0), d.prog.PointsOf(strokes-1)
	if len(first) == 0 || len(last) == 0 {
		return
	}
	at := func(p path.Point) path.Rect { return path.Rect{Min: p, Max: p} }
	d.spec.Frames = append(d.spec.Frames,
		page.Frame{Rect: at(first[0]), Pattern: page.Disc, Label: "start"},
		page.Frame{Rect: at(last[len(last)-1]), Pattern: page.Circle, Label: "end"})
}

// times returns when each pixel is marked last, and how much of it is marked. Marks
// are a pixel wide at least, and rows close up sooner than in other pictures, so
// that they keep the colour of their time.
func (d *drawing) times() (times, cover *Layer) {
	times, cover = newLayer(d.g), newLayer(d.g)
	trace := newTracer(d.g, d.even(max(d.o.MarkWidthMM, 1/d.g.PxPerMM), 3*resolved))
	at := float32(0)
	to := func(y, x int, c []float32) {
		k := y*d.g.W + x
		for j, v := range c {
			times.Value[k+j] = at
			cover.Value[k+j] += v
		}
	}
	for i, s := range d.prog.Strokes {
		trace.take(s, d.prog.PointsOf(i))
		d.eachPiece(i, func(p, q path.Point, t float64) {
			at = float32(t)
			trace.line([]path.Point{p, q}, to)
		})
	}
	return times, cover
}

// eachPiece calls f for the straight pieces of stroke i with the time of their
// middle, cut so that a stroke that takes long shows its course.
func (d *drawing) eachPiece(i int, f func(p, q path.Point, at float64)) {
	m := d.o.Marking[i]
	pts, start := d.prog.PointsOf(i), m.Start.Seconds()
	all, took := lengthOf(pts), (m.End - m.Start).Seconds()
	if all == 0 && len(pts) > 0 {
		f(pts[0], pts[0], start)
		return
	}
	for j := 1; j < len(pts); j++ {
		a, b := pts[j-1], pts[j]
		part := took * a.Dist(b) / all
		n := int(max(1, min(pieces, math.Ceil(pieces*part/d.total))))
		for k := range n {
			f(a.Lerp(b, float64(k)/float64(n)), a.Lerp(b, float64(k+1)/float64(n)),
				start+part*(float64(k)+0.5)/float64(n))
		}
		start += part
	}
}

// pieces is into how many the whole time is cut, where strokes do not cut it
// finer: as many as there are colours.
const pieces = 256

// timeSteps are the distances between the ticks of a time scale, s.
var timeSteps = [...]float64{1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10800, 21600, 43200}

// TimeScale returns a scale that ends at or soon after total, s. Its label is
// the form of its ticks.
func TimeScale(total float64) page.Scale {
	const most = 6 // ticks
	if total <= timeSteps[0]*most/2 {
		return page.Scale{Label: "s", Top: page.NiceTop(total)}
	}
	step := timeSteps[len(timeSteps)-1]
	for i := len(timeSteps) - 1; i >= 0 && timeSteps[i]*most >= total; i-- {
		step = timeSteps[i]
	}
	n := int(math.Ceil(total/step - 1e-9))
	if n > most { // longer than any step foresees
		step *= math.Ceil(float64(n) / most)
		n = int(math.Ceil(total / step))
	}
	form, label := clockForm(step * float64(n))
	s := page.Scale{Label: label, Top: step * float64(n)}
	for i := range n + 1 {
		s.Ticks = append(s.Ticks, form(step*float64(i)))
	}
	return s
}

// clockForm returns how times up to top are written.
func clockForm(top float64) (form func(seconds float64) string, label string) {
	if top < 3600 {
		return func(s float64) string { return fmt.Sprintf("%d:%02d", int(s)/60, int(s)%60) }, "min:s"
	}
	return func(s float64) string { return fmt.Sprintf("%d:%02d", int(s)/3600, int(s)/60%60) }, "h:min"
}
