package hatch

import (
	"cmp"
	"math"
	"slices"

	"furrow/path"
)

// A boundary is made of edges, and where a gradient ends to be dark there is none.
// So each gradient is cut into bands along its lines of equal paint, which are
// straight or circles, each a layer of one paint: where a gradient alone decides,
// at exactly the offset where rows found it to change, and where several work
// together at some of those offsets: the boundary may then be a band off.

// maxBands bounds the bands of all gradients together, as far as each has at least
// leastBands: where bands of several gradients cross, time grows with the square.
const (
	maxBands   = 256
	leastBands = 4
)

// sampleRows is how many rows, lying and standing, look for offsets.
const sampleRows = 1000

// visible returns the boundary of what is marked where the topmost layer is one
// that owned reports.
func visible(f *flat, owned func(*layer) bool) (enclosed, error) {
	f, err := even(f, owned)
	switch {
	case err != nil:
		return enclosed{}, err
	case f.points() >= manyPoints:
		return tiledBoundary(f, newPainter(f, owned), tilePoints)
	}
	return boundary(f, newPainter(f, owned))
}

// even returns f without paint that changes from place to place.
func even(f *flat, owned func(*layer) bool) (*flat, error) {
	if !f.varies {
		return f, nil
	}
	found, err := survey(f, owned)
	if err != nil {
		return nil, err
	}
	return banded(f, found), nil
}

// ramp is what rows found of one gradient: the offsets at which marking changes,
// and those between.
type ramp struct{ changes, seen []float64 }

// survey finds, by layer, what rows meet of its gradient.
func survey(f *flat, owned func(*layer) bool) ([]ramp, error) {
	found := make([]ramp, len(f.layers))
	for _, dir := range [...]path.Point{{X: 1}, {Y: 1}} {
		w := filler{f: f, workers: 1}
		lo, hi, ok := w.heights(dir, func(l *layer) bool { return l.ramp != nil })
		if !ok {
			continue
		}
		g := newGrid(dir, lo, hi, max((hi-lo)/sampleRows, pixel), true)
		if err := w.survey(g, newPainter(f, owned), found); err != nil {
			return nil, err
		}
	}
	gradients := 0
	for i := range found {
		if len(found[i].changes) > 0 {
			gradients++
		}
	}
	most := max(leastBands, maxBands/max(gradients, 1))
	for i := range found {
		found[i].changes = thinned(found[i].changes, most)
		slices.Sort(found[i].seen)
		found[i].seen = slices.Compact(found[i].seen)
	}
	return found, nil
}

// survey adds what the rows of a grid meet.
func (w *filler) survey(g grid, p *painter, found []ramp) error {
	if err := w.prepare(&g); err != nil {
		return err
	}
	s := sweep{c: &w.chains}
	for k := range g.n {
		p.line = g.line(k)
		row := s.row(k)
		for i := range row {
			if p.cross(row[i].tag); !p.varies() {
				continue
			}
			from, to, on := row[i].x, row[i+1].x, false
			p.changes(row[i].x, to, func(is probe) {
				if is.x > from && is.marked != on {
					p.meet((from+is.x)/2, func(id int32, t float64) { found[id].seen = append(found[id].seen, t) })
					p.meet(is.x, func(id int32, t float64) { found[id].changes = append(found[id].changes, t) })
					from = is.x
				}
				on = is.marked
			})
			p.meet((from+to)/2, func(id int32, t float64) { found[id].seen = append(found[id].seen, t) })
		}
	}
	return nil
}

// meet calls note for every gradient at a place of the row, with its offset.
func (p *painter) meet(x float64, note func(id int32, t float64)) {
	for _, id := range p.inside {
		if r := p.f.layers[id].ramp; r != nil {
			if t, ok := r.Offset(p.line.at(x)); ok {
				note(id, t)
			}
		}
	}
}

// between returns an offset from lo to hi that was met, near their middle, or the
// middle: an offset that is nowhere in the shape tells nothing of it.
func (r *ramp) between(lo, hi float64) float64 {
	middle := (lo + hi) / 2
	i, _ := slices.BinarySearch(r.seen, middle)
	best, away := middle, math.Inf(1)
	for _, k := range [...]int{i - 1, i} {
		if k >= 0 && k < len(r.seen) && r.seen[k] > lo && r.seen[k] < hi {
			if d := math.Abs(r.seen[k] - middle); d < away {
				best, away = r.seen[k], d
			}
		}
	}
	return best
}

// sameOffset is how far offsets lie apart that rows found of one line of equal
// paint: more than what bracketing leaves on a gradient of a millimetre.
const sameOffset = 1e-6

// thinned sorts offsets and joins those that are the same. Of very many it keeps
// those that were met most often, where a gradient alone decides, and some of the
// others evenly, most in all.
func thinned(all []float64, most int) []float64 {
	slices.Sort(all)
	type line struct {
		t    float64
		hits int
	}
	var lines []line
	for i, t := range all {
		if i == 0 || t-all[i-1] > sameOffset {
			lines = append(lines, line{t: t})
		}
		lines[len(lines)-1].hits++
	}
	slices.SortStableFunc(lines, func(a, b line) int { return b.hits - a.hits })
	n := len(lines)
	if n > most {
		n = most / 2
		rest := lines[n:]
		slices.SortFunc(rest, func(a, b line) int { return cmp.Compare(a.t, b.t) })
		for i := range n {
			lines[n+i] = rest[i*(len(rest)-1)/(n-1)]
		}
		n = most / 2 * 2
	}
	kept := make([]float64, n)
	for i := range kept {
		kept[i] = lines[i].t
	}
	slices.Sort(kept)
	return kept
}

// bander makes the bands.
type bander struct {
	*flat
	old    *flat
	boxes  []path.Rect // of the old layers
	placed []int32     // by old layer: its first new one
}

// banded returns f with every gradient cut into layers of one paint.
func banded(f *flat, found []ramp) *flat {
	b := bander{flat: &flat{
		rings: slices.Clone(f.rings), regions: slices.Clone(f.regions), gates: slices.Clone(f.gates),
		groups: slices.Clone(f.groups), above: f.above, tolerance: f.tolerance, mixed: true,
	}, old: f}
	b.boxes = f.boxes(f.regionBoxes())
	b.placed = make([]int32, len(f.layers)+1)
	for i := range f.layers {
		b.placed[i] = int32(len(b.layers))
		b.layer(i, &found[i])
		if int32(i) < f.shown {
			b.shown = int32(len(b.layers))
		}
	}
	for i := range b.groups {
		if b.groups[i].in == none {
			b.groups[i].first = b.placed[b.groups[i].first]
		}
	}
	return b.flat
}

func (f *flat) regionBoxes() []path.Rect {
	boxes := make([]path.Rect, len(f.regions))
	for i := range boxes {
		boxes[i] = path.EmptyRect()
	}
	for _, r := range f.rings {
		boxes[r.region] = boxes[r.region].Union(path.BoundsOf(r.points))
	}
	return boxes
}

// layer adds an old layer, in bands where it has a gradient.
func (b *bander) layer(i int, r *ramp) {
	l := b.old.layers[i]
	if l.ramp == nil {
		b.join(l, l.in)
		return
	}
	gradient, gate := l.ramp, b.split(l.in)
	l.ramp = nil
	inner := math.Inf(-1)
	lo, hi := offsetsIn(gradient, b.boxes[i])
	for _, outer := range append(r.changes, math.Inf(1)) {
		t := r.between(max(inner, lo), min(outer, hi))
		l.paint = newColour(gradient.Paint(gradient.Fold(t)))
		if len(r.changes) == 0 {
			b.join(l, ^gate)
			return
		}
		b.band(l, gate, bandRings(gradient, b.boxes[i], inner, outer, b.tolerance))
		inner = outer
	}
}

// split returns a gate that is on where in, a region or a ^gate that was a layer,
// is, for bands to be joined to.
func (b *bander) split(in int32) int32 {
	if in < 0 {
		b.gates[^in].layer = -1
		return ^in
	}
	b.gates = append(b.gates, gate{need: 1, layer: -1, ins: []int32{in}})
	g := int32(len(b.gates) - 1)
	b.regions[in].out = ^g
	return g
}

// join makes in, a region or a ^gate, the next layer.
func (b *bander) join(l layer, in int32) {
	id := int32(len(b.layers))
	if l.in = in; in >= 0 {
		b.regions[in].out = id
	} else {
		b.gates[^in].layer = id
	}
	b.layers = append(b.layers, l)
}

// band adds one band: what of a gate lies in rings.
func (b *bander) band(l layer, within int32, rings [][]path.Point) {
	region, first := int32(len(b.regions)), len(b.rings)
	for _, r := range rings {
		b.addRing(r, region)
	}
	b.regions = append(b.regions, b.newRegion(path.EvenOdd, first))
	id := int32(len(b.gates))
	b.gates = append(b.gates, gate{need: 2, layer: -1, ins: []int32{region, ^within}})
	b.regions[region].out = ^id
	b.gates[within].outs = append(b.gates[within].outs, id)
	b.join(l, ^id)
}

// offsetsIn returns bounds of the offsets in a box.
func offsetsIn(r *path.Gradient, box path.Rect) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	if box.Empty() {
		return 0, 0
	}
	for _, p := range cornersOfRect(box) {
		if t, ok := r.Offset(p); ok {
			lo, hi = min(lo, t), max(hi, t)
		}
	}
	if r.Radial { // the least is where the circles begin, or on an edge
		lo = min(lo, -r.Start/(1-r.Start))
	}
	if lo > hi {
		return 0, 0
	}
	return lo, hi
}

func cornersOfRect(r path.Rect) [4]path.Point {
	return [4]path.Point{r.Min, {X: r.Max.X, Y: r.Min.Y}, r.Max, {X: r.Min.X, Y: r.Max.Y}}
}

// bandRings returns rings that, by the even-odd rule, hold what of a box lies
// between two offsets; an infinite one means no bound there.
func bandRings(r *path.Gradient, box path.Rect, inner, outer, tolerance float64) [][]path.Point {
	back, ok := r.Unit.Inverse()
	if !ok {
		return nil
	}
	if r.Radial {
		var rings [][]path.Point
		for _, t := range [...]float64{inner, outer} {
			switch {
			case math.IsInf(t, 1):
				c := cornersOfRect(box.Grow(box.W() + box.H() + 1))
				rings = append(rings, c[:])
			case !math.IsInf(t, -1):
				rings = append(rings, circleAt(r, t, back, tolerance))
			}
		}
		return rings
	}
	u := path.EmptyRect()
	for _, p := range cornersOfRect(box.Grow(box.W() + box.H() + 1)) {
		u = u.Include(r.Unit.Apply(p))
	}
	u.Min.X, u.Max.X = max(u.Min.X, inner), min(u.Max.X, outer)
	ring := make([]path.Point, 4)
	for i, p := range cornersOfRect(u) {
		ring[i] = back.Apply(p)
	}
	return [][]path.Point{ring}
}

// maxChords bounds the chords of a circle.
const maxChords = 4096

// circleAt returns the line of equal paint of a radial gradient, in chords no
// farther from it than the tolerance.
func circleAt(r *path.Gradient, t float64, back path.Matrix, tolerance float64) []path.Point {
	c, radius := r.Focus.Mul(1-t), r.Start+float64(t*(1-r.Start))
	if radius <= 0 {
		return nil
	}
	mm := max(back.ApplyVector(path.Point{X: radius}).Len(), back.ApplyVector(path.Point{Y: radius}).Len())
	n := math.Ceil(math.Pi / math.Acos(max(1-tolerance/mm, 0)))
	ring := make([]path.Point, int(min(max(n, 8), maxChords)))
	for i := range ring {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(len(ring)))
		ring[i] = back.Apply(c.Add(path.Point{X: cos, Y: sin}.Mul(radius)))
	}
	return ring
}
