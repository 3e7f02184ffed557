package hatch

import (
	"fmt"
	"slices"

	"furrow/path"
)

// flat is an artwork as rings of points, with what each of them bounds.
type flat struct {
	rings     []ring
	regions   []region
	gates     []gate
	layers    []layer // the shapes, then what masks paint
	shown     int32   // the number of those that are shapes
	groups    []group
	mixed     bool    // not every layer is solid
	varies    bool    // some paint changes from place to place
	tolerance float64 // of curves, mm
	above     float64 // dark is a channel over white below this
}

// ring is a closed polyline. Its points may be those of the artwork itself,
// and are never changed.
type ring struct {
	points []path.Point
	region int32
}

// region is what the rings of one path enclose by its fill rule.
type region struct {
	mask int32 // a winding number w is inside where w&mask != 0: -1 nonzero, 1 even-odd
	out  int32 // the layer that it is, or ^gate that it counts for

	firstRing, rings int32
}

// gate is a region made of others: on where at least need of its inputs are.
// A clip is a gate that needs one of its shapes, a clipped shape a gate that
// needs its own path and every clip.
type gate struct {
	need  int32
	layer int32   // that it is, or -1
	ins   []int32 // regions, or ^gates
	outs  []int32 // gates that it counts for
}

// layer is a shape in paint order.
type layer struct {
	in     int32 // the region that it is, or its ^gate
	fill   int32 // which of Settings.Groups marks it
	group  int32 // the innermost that it is painted in, or page
	paint  colour
	ramp   *path.Gradient // in place of paint, or nil
	solid  bool           // hides all that is below it, and is bare or dark all over
	bare   bool           // by its own paint, all over
	invert bool
	thin   bool // traced along its centre
	pale   bool // may look light where it is dark
}

type flattener struct {
	flat
	clips map[*path.Clip]int32 // the gates of clips met before
	nest  groupNest
	err   error
}

// flatten turns curves to rings and clips to gates.
func flatten(art path.Artwork, s *Settings) (*flat, error) {
	f := &flattener{flat: flat{above: s.bareAbove(), tolerance: s.tolerance()}, clips: map[*path.Clip]int32{},
		nest: newGroupNest()}
	n := len(art.Shapes)
	f.rings, f.regions, f.layers = make([]ring, 0, 4*n), make([]region, 0, n), make([]layer, 0, n)
	for i := range art.Shapes {
		f.shape(&art.Shapes[i], s, page)
		if f.err != nil {
			return nil, fmt.Errorf("shape %d (%s): %w", i, art.Shapes[i].Source.Element, f.err)
		}
	}
	f.shown = int32(len(f.layers))
	if err := f.paintMasks(s); err != nil {
		return nil, err
	}
	return &f.flat, nil
}

// shape adds the layer of a shape of the page, or of what a mask paints.
func (f *flattener) shape(s *path.Shape, set *Settings, root int32) {
	id := int32(len(f.layers))
	in := f.clipped(s, id)
	if in >= 0 {
		f.regions[in].out = id
	}
	l := layer{in: in, group: f.group(s.In, root)}
	l.lay(s, set.bareAbove())
	if root == page {
		l.fill, l.invert = int32(s.Group), s.Invert
		l.thin = s.Width > 0 && s.Width < max(set.Groups[s.Group].lineWidth(), path.MinSpacing) && !s.Centre.Empty()
	} else {
		l.fill, l.solid = none, false
	}
	f.mixed = f.mixed || !l.solid
	f.varies = f.varies || l.ramp != nil
	f.layers = append(f.layers, l)
}

// clipped adds the region of a shape and, where it has clips, the gate that
// is on inside all of them; it returns the region or the ^gate.
func (f *flattener) clipped(s *path.Shape, layer int32) int32 {
	r := f.region(s)
	if len(s.Clips) == 0 {
		return r
	}
	g := f.gate(int32(1+len(s.Clips)), layer)
	f.connect(r, g)
	for _, c := range s.Clips {
		f.connect(^f.clip(c), g)
	}
	return ^g
}

// clip returns the gate that is on inside c.
func (f *flattener) clip(c *path.Clip) int32 {
	if g, ok := f.clips[c]; ok {
		return g
	}
	g := f.gate(1, -1)
	f.clips[c] = g // before its shapes: a clip within itself lets nothing through
	for i := range c.Shapes {
		f.connect(f.clipped(&c.Shapes[i], -1), g)
	}
	return g
}

func (f *flattener) gate(need, layer int32) int32 {
	f.gates = append(f.gates, gate{need: need, layer: layer})
	return int32(len(f.gates) - 1)
}

// connect makes in, a region or a ^gate, count for gate g.
func (f *flattener) connect(in, g int32) {
	f.gates[g].ins = append(f.gates[g].ins, in)
	if in >= 0 {
		f.regions[in].out = ^g
	} else {
		f.gates[^in].outs = append(f.gates[^in].outs, g)
	}
}

func (f *flattener) region(s *path.Shape) int32 {
	id, first := int32(len(f.regions)), len(f.rings)
	f.outline(s.Path, id)
	f.regions = append(f.regions, f.newRegion(s.Rule, first))
	if !inRange(f.rings[first:]) {
		f.err = fmt.Errorf("a point is out of range: use %g mm from the origin at most", MaxCoordinate)
	}
	return id
}

// newRegion returns the region of the rings from number first on.
func (f *flat) newRegion(rule path.FillRule, first int) region {
	r := region{mask: -1, firstRing: int32(first), rings: int32(len(f.rings) - first)}
	if rule == path.EvenOdd {
		r.mask = 1
	}
	return r
}

// inRange reports that all points are finite and no farther than MaxCoordinate
// from the origin.
func inRange(rings []ring) bool {
	for i := range rings {
		for _, p := range rings[i].points {
			if !(float64(p.X*p.X)+float64(p.Y*p.Y) <= MaxCoordinate*MaxCoordinate) {
				return false
			}
		}
	}
	return true
}

// outline adds the rings of a path.
func (f *flattener) outline(p path.Path, id int32) {
	if f.straight(p, id) {
		return
	}
	p.Flatten(f.tolerance, func(pts []path.Point, _ bool) {
		f.addRing(slices.Clone(pts), id)
	})
}

func (f *flat) addRing(pts []path.Point, id int32) {
	if len(pts) > 2 {
		f.rings = append(f.rings, ring{pts, id})
	}
}

// straight adds the rings of a path of lines as they are, without copying them,
// and reports false, with nothing added, for any other.
func (f *flattener) straight(p path.Path, id int32) bool {
	before := len(f.rings)
	first, next := 0, 0
	last := path.Close
	for _, v := range p.Verbs {
		switch {
		case v == path.LineTo && last != path.Close:
			next++
		case v == path.MoveTo:
			f.addRing(p.Points[first:next], id)
			first, next = next, next+1
		case v != path.Close:
			f.rings = f.rings[:before]
			return false
		}
		last = v
	}
	f.addRing(p.Points[first:next], id)
	return true
}

func intersect(a, b path.Rect) path.Rect {
	return path.Rect{
		Min: path.Point{X: max(a.Min.X, b.Min.X), Y: max(a.Min.Y, b.Min.Y)},
		Max: path.Point{X: min(a.Max.X, b.Max.X), Y: min(a.Max.Y, b.Max.Y)},
	}
}

// ringsOf returns the rings of a region.
func (f *flat) ringsOf(region int32) []ring {
	r := &f.regions[region]
	return f.rings[r.firstRing : r.firstRing+r.rings]
}

// points returns the number of points of all rings.
func (f *flat) points() int {
	n := 0
	for i := range f.rings {
		n += len(f.rings[i].points)
	}
	return n
}

// boxes returns, from boxes of the regions, a box round what the clips leave
// of each layer.
func (f *flat) boxes(regions []path.Rect) []path.Rect {
	gates := make([]path.Rect, len(f.gates))
	seen := make([]bool, len(f.gates))
	var box func(in int32) path.Rect
	box = func(in int32) path.Rect {
		if in >= 0 {
			return regions[in]
		}
		g := &f.gates[^in]
		if seen[^in] {
			return gates[^in]
		}
		seen[^in], gates[^in] = true, path.EmptyRect()
		all := path.EmptyRect()
		for i, in := range g.ins {
			switch b := box(in); {
			case g.need == 1:
				all = all.Union(b)
			case i == 0:
				all = b
			default:
				all = intersect(all, b)
			}
		}
		gates[^in] = all
		return all
	}
	out := make([]path.Rect, len(f.layers))
	for i, l := range f.layers {
		out[i] = box(l.in)
	}
	return out
}

// regionsOf appends to out the regions that in, a region or a ^gate, is made
// of.
func (f *flat) regionsOf(in int32, out []int32) []int32 {
	seen := map[int32]bool{}
	var walk func(in int32)
	walk = func(in int32) {
		if in >= 0 {
			out = append(out, in)
			return
		}
		if seen[in] {
			return
		}
		seen[in] = true
		for _, i := range f.gates[^in].ins {
			walk(i)
		}
	}
	walk(in)
	return out
}

// flatRings makes rings one layer that is marked.
func flatRings(rings [][]path.Point, rule path.FillRule) *flat {
	f := &flat{above: DefaultBareAbove}
	f.add(rings, rule, false)
	return f
}

// add lays rings on top as a layer of group 0.
func (f *flat) add(rings [][]path.Point, rule path.FillRule, bare bool) {
	id, first := int32(len(f.regions)), len(f.rings)
	for _, r := range rings {
		f.addRing(r, id)
	}
	reg := f.newRegion(rule, first)
	reg.out = int32(len(f.layers))
	f.regions = append(f.regions, reg)
	l := layer{in: id, group: page, solid: true, bare: bare}
	f.layers = append(f.layers, l)
	f.shown++
}
