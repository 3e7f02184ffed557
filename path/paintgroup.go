package path

// PaintGroup is shapes that are painted together, over nothing, before the whole is
// laid over what lies below: an isolated group of W3C Compositing and Blending
// Level 1. Shapes of a group follow one another in paint order. The zero value
// shows nothing, as that of Paint does; a nil *PaintGroup is the page.
type PaintGroup struct {
	In      *PaintGroup // the group round it; nil is the page
	Opacity float64
	Blend   Blend
	Mask    *Mask // multiplies the opacity from place to place; nil leaves it
}

// Mask is shapes, in paint order over nothing, whose luminance times opacity says
// how much shows: everything where they are white, nothing outside them. What is left
// of a paint is judged as any other, over white and what lies below.
type Mask struct {
	Shapes []Shape
	Alpha  bool // opacity alone counts
}

// Blend is how a group is mixed with what lies below it: the separable modes of
// W3C Compositing and Blending Level 1, 9.1.
type Blend uint8

// The modes.
const (
	Normal Blend = iota
	Multiply
	Screen
	Overlay
	Darken
	Lighten
	ColourDodge
	ColourBurn
	HardLight
	SoftLight
	Difference
	Exclusion
)

// Plain reports that a group only fades its shapes, alike all over.
func (g *PaintGroup) Plain() bool { return g.Blend == Normal && g.Mask == nil }

// copies are what many shapes may share, mapped once.
type copies struct {
	m      Matrix
	clips  map[*Clip]*Clip
	groups map[*PaintGroup]*PaintGroup
	ramps  map[*Gradient]*Gradient
}

func newCopies(m Matrix) *copies {
	return &copies{m: m, clips: map[*Clip]*Clip{}, groups: map[*PaintGroup]*PaintGroup{},
		ramps: map[*Gradient]*Gradient{}}
}

func (c *copies) group(g *PaintGroup) *PaintGroup {
	if g == nil {
		return nil
	}
	if d, ok := c.groups[g]; ok {
		return d
	}
	d := *g
	c.groups[g] = &d
	d.In = c.group(g.In)
	if g.Mask != nil {
		d.Mask = &Mask{Shapes: c.shapes(g.Mask.Shapes), Alpha: g.Mask.Alpha}
	}
	return &d
}

func (c *copies) clip(k *Clip) *Clip {
	if d, ok := c.clips[k]; ok {
		return d
	}
	d := &Clip{}
	c.clips[k] = d
	d.Shapes = c.shapes(k.Shapes)
	return d
}

func (c *copies) gradient(g *Gradient) *Gradient {
	if g == nil {
		return nil
	}
	if d, ok := c.ramps[g]; ok {
		return d
	}
	d := g.transform(c.m)
	c.ramps[g] = d
	return d
}

func (c *copies) shapes(list []Shape) []Shape {
	out := make([]Shape, len(list))
	for i, s := range list {
		out[i] = c.shape(s)
	}
	return out
}

func (c *copies) shape(s Shape) Shape {
	s.Path = s.Path.Transform(c.m)
	s.Centre = s.Centre.Transform(c.m)
	s.Width *= c.m.meanScale()
	s.Gradient, s.In = c.gradient(s.Gradient), c.group(s.In)
	if len(s.Clips) > 0 {
		old := s.Clips
		s.Clips = make([]*Clip, len(old))
		for i, k := range old {
			s.Clips[i] = c.clip(k)
		}
	}
	return s
}

// Copy returns shapes mapped by m. The group in, and those round it, stay as they
// are: what is copied is painted in them as well.
func Copy(shapes []Shape, m Matrix, in *PaintGroup) []Shape {
	c := newCopies(m)
	for ; in != nil; in = in.In {
		c.groups[in] = in
	}
	return c.shapes(shapes)
}
