package hatch

import (
	"cmp"
	"slices"
	"sort"

	"furrow/path"
)

// tracer follows the centre lines of strokes thinner than the mark.
type tracer struct {
	f       *flat
	regions []path.Rect         // round the regions
	boxes   []path.Rect         // round what clips leave of the layers
	tree    tree                // of the layers' boxes
	swaps   []int32             // layers that swap
	own     *painter            // of the stroke being traced
	through map[int32]*painter  // by group: of its thin strokes
	sides   map[int32]*sideTree // by region: its sides, where they are many
	cross   []cursor            // of the segment
	line    line                // along it
}

func newTracer(f *flat) *tracer {
	g := grid{dir: path.Point{X: 1}}
	regions := make([]path.Rect, len(f.regions))
	for i := range regions {
		regions[i] = path.EmptyRect()
	}
	for _, r := range f.rings {
		regions[r.region] = regions[r.region].Union(g.box(r.points))
	}
	boxes := f.boxes(regions)
	t := &tracer{
		f: f, regions: regions, boxes: boxes, tree: newTree(boxes),
		own:     newPainter(f, func(*layer) bool { return false }),
		through: map[int32]*painter{},
		sides:   map[int32]*sideTree{},
	}
	for i := range f.layers {
		if f.layers[i].invert {
			t.swaps = append(t.swaps, int32(i))
		}
	}
	return t
}

// thin returns the painter of the thin strokes of a group.
func (t *tracer) thin(group int32) *painter {
	p := t.through[group]
	if p == nil {
		p = newPainter(t.f, func(m *layer) bool { return m.thin && m.fill == group })
		t.through[group] = p
	}
	return p
}

// trace returns the pieces of a centre line of layer id where that layer is
// topmost. Thin strokes of the same group that cross above it leave no gap up
// to width: the line is whole there, and one drawn twice is marked once.
func (t *tracer) trace(pts []path.Point, closed bool, id int32, width float64) []path.Line {
	others := t.others(id)
	l := &t.f.layers[id]
	if len(others) == 0 && l.solid {
		if l.bare {
			return nil
		}
		return []path.Line{newLine(slices.Clone(pts), closed)}
	}
	if closed {
		pts = append(slices.Clone(pts), pts[0])
	}
	t.own.show(id, true)
	defer t.own.show(id, false)
	through := t.thin(l.fill)
	var shown, open []path.Span // along the polyline
	along := 0.0
	for i := 1; i < len(pts); i++ {
		t.segment(pts[i-1], pts[i], l.in, others)
		t.own.line, through.line = t.line, t.line
		length := pts[i-1].Dist(pts[i])
		shown = extend(shown, t.own.row(t.cross, nil), along, length)
		open = extend(open, through.row(t.cross, nil), along, length)
		along += length
	}
	return pieces(pts, bridge(shown, open, width), along, closed)
}

func newLine(pts []path.Point, closed bool) path.Line {
	return path.Line{Points: pts, Closed: closed && len(pts) > 2, Before: -1}
}

// others returns the regions that decide where layer id shows: of its clips,
// of the layers above it, and of those that swap; where not every layer is solid,
// of those below it too.
func (t *tracer) others(id int32) []int32 {
	var out []int32
	take := func(in int32) { out = t.f.regionsOf(in, out) }
	for _, i := range t.swaps {
		if i < id && overlap(t.boxes[i], t.boxes[id]) {
			take(t.f.layers[i].in)
		}
	}
	t.tree.search(t.boxes[id], func(i int) bool {
		if int32(i) > id || t.f.mixed && int32(i) != id {
			take(t.f.layers[i].in)
		}
		return true
	})
	if in := t.f.layers[id].in; in < 0 {
		for _, clip := range t.f.gates[^in].ins[1:] {
			take(clip)
		}
	}
	slices.Sort(out)
	return slices.Compact(out) // a clip may be shared
}

// segment sets t.cross to what a row through a and b crosses, from a on: the
// other regions, and instead of the stroke's own region the segment itself.
func (t *tracer) segment(a, b path.Point, in int32, others []int32) {
	t.cross = t.cross[:0]
	length := a.Dist(b)
	if length == 0 {
		return
	}
	own := in
	if in < 0 {
		own = t.f.gates[^in].ins[0]
	}
	t.cross = append(t.cross, cursor{x: 0, tag: own << 1}, cursor{x: length, tag: own<<1 | 1})
	g := grid{dir: b.Sub(a).Mul(1 / length)}
	t.line = line{a, g.dir}
	box := path.EmptyRect().Include(a).Include(b)
	for _, r := range others {
		if overlap(t.regions[r], box) {
			t.crossings(r, &g, a)
		}
	}
	slices.SortStableFunc(t.cross, func(a, b cursor) int { return cmp.Compare(a.x, b.x) })
}

// crossings adds where the line through a along g.dir crosses region r.
func (t *tracer) crossings(r int32, g *grid, a path.Point) {
	cross := func(from, to path.Point) {
		p, q := g.turn(from.Sub(a)), g.turn(to.Sub(a))
		if (p.Y > lean) != (q.Y > lean) {
			down := int32(0)
			if p.Y > q.Y {
				down = 1
			}
			x := p.X + float64((q.X-p.X)*((lean-p.Y)/(q.Y-p.Y)))
			t.cross = append(t.cross, cursor{x: x, tag: r<<1 | down})
		}
	}
	tree, ok := t.sides[r]
	if !ok {
		tree = newSideTree(t.f.ringsOf(r))
		t.sides[r] = tree
	}
	tree.along(a, g.dir, cross)
}

// extend appends the spans of a segment of a length that begins at along, joined to what
// ends there. What of them lies before or behind the segment, as other strokes do that a row
// meets, is none of its.
func extend(all, spans []path.Span, along, length float64) []path.Span {
	for _, s := range spans {
		s.X0, s.X1 = max(s.X0, 0)+along, min(s.X1, length)+along
		if s.X0 > s.X1 {
			continue
		}
		if n := len(all); n > 0 && s.X0-all[n-1].X1 <= weld {
			all[n-1].X1 = s.X1
		} else {
			all = append(all, s)
		}
	}
	return all
}

// bridge joins the spans shown across gaps up to width that lie within one
// span of open.
func bridge(shown, open []path.Span, width float64) []path.Span {
	out := shown[:0]
	for _, s := range shown {
		n := len(out)
		if n > 0 && s.X0-out[n-1].X1 <= width && within(open, out[n-1].X1, s.X0) {
			out[n-1].X1 = s.X1
		} else {
			out = append(out, s)
		}
	}
	return out
}

// within reports that one span of open, which are sorted and apart, goes from x0 to x1.
func within(open []path.Span, x0, x1 float64) bool {
	i := sort.Search(len(open), func(i int) bool { return open[i].X0 > x0 }) - 1
	return i >= 0 && x1 <= open[i].X1
}

// pieces cuts a polyline of the given length to the spans along it.
func pieces(pts []path.Point, spans []path.Span, length float64, closed bool) []path.Line {
	at := make([]float64, len(pts)) // how far along each point is
	for i := 1; i < len(pts); i++ {
		at[i] = at[i-1] + pts[i-1].Dist(pts[i])
	}
	var out []path.Line
	for _, s := range spans {
		whole := closed && s.X0 <= weld && s.X1 >= length-weld
		if whole {
			return []path.Line{newLine(pts[:len(pts)-1], true)}
		}
		out = append(out, newLine(piece(pts, at, s), false))
	}
	n := len(out)
	if closed && n > 1 && spans[0].X0 <= weld && spans[n-1].X1 >= length-weld { // joined over the start
		out[0].Points = append(out[n-1].Points, out[0].Points[1:]...)
		out = out[:n-1]
	}
	return out
}

func piece(pts []path.Point, at []float64, s path.Span) []path.Point {
	var out []path.Point
	first := max(1, sort.SearchFloat64s(at, s.X0))
	for i := first; i < len(pts) && at[i-1] <= s.X1; i++ {
		a, b := pts[i-1], pts[i]
		d := a.Dist(b)
		if d > 0 {
			if len(out) == 0 {
				out = append(out, between(a, b, (s.X0-at[i-1])/d))
			}
			out = append(out, between(a, b, (s.X1-at[i-1])/d))
		}
	}
	return slices.Compact(out)
}

// between returns the point at t of the way from a to b, t cut to 0..1.
func between(a, b path.Point, t float64) path.Point {
	switch t = min(max(t, 0), 1); t {
	case 0:
		return a
	case 1:
		return b
	}
	return a.Lerp(b, t)
}
