package path

// FillRule says which points a path encloses, as SVG defines the two rules.
type FillRule uint8

// The fill rules.
const (
	NonZero FillRule = iota
	EvenOdd
)

// Paint is an sRGB colour with channels 0..1 and an opacity 0..1. The zero
// value is fully transparent.
type Paint struct{ R, G, B, Opacity float64 }

// OverWhite returns the channels of p laid over white.
func (p Paint) OverWhite() (r, g, b float64) {
	over := func(c float64) float64 { return 1 - p.Opacity*(1-c) }
	return over(p.R), over(p.G), over(p.B)
}

// Bare reports that p, laid over white, is so light that it is left unmarked:
// no channel is below above (a fraction of full; more than 1 makes no paint
// bare).
func (p Paint) Bare(above float64) bool {
	r, g, b := p.OverWhite()
	return min(r, g, b) >= above
}

// Shape is one painted region. For a stroke, Path is the region it covers and
// Centre and Width say what it was drawn from, so that a stroke thinner than
// the mark can be traced once along its centre line.
type Shape struct {
	Path   Path
	Rule   FillRule
	Paint  Paint
	Clips  []*Clip // every one limits the shape
	Part   int     // index of the job's part that picked the shape; 0 is the part of everything not picked
	Invert bool    // marked and bare swap inside this shape
	Centre Path    // of a stroke; empty for a fill
	Width  float64 // of a stroke, mm; 0 for a fill
	Source Source
}

// Hairline is the Width of a line that has none, mm. A stroke narrower than
// MinSpacing, as it may become where it is scaled, is traced along its centre
// whatever the mark.
const Hairline = 1e-6

// Source says where in the artwork a shape came from.
type Source struct {
	Element string // as a person would look for it: "path", "text"
	ID      string
	Layer   string // label of the nearest layer, or empty
	Line    int    // 1-based; 0 when unknown
}

// Clip is the union of its shapes (their Path, Rule and Clips; paint does not
// count). A clip of no shapes lets nothing through.
type Clip struct{ Shapes []Shape }

// Artwork is shapes in paint order, bottom first, in a page whose lower-left
// corner is at 0,0 before placement.
type Artwork struct {
	Page   Rect
	Shapes []Shape
}

// Transform returns the artwork, page included, mapped by m. The page becomes
// the bounds of its mapped corners.
func (a Artwork) Transform(m Matrix) Artwork {
	clips := map[*Clip]*Clip{}
	b := Artwork{Page: a.Page.transform(m), Shapes: make([]Shape, len(a.Shapes))}
	for i, s := range a.Shapes {
		b.Shapes[i] = s.transform(m, clips)
	}
	return b
}

// Bounds returns a rectangle round all shapes, whatever their paint.
func (a Artwork) Bounds() Rect {
	r := EmptyRect()
	for _, s := range a.Shapes {
		r = r.Union(s.Path.Bounds())
	}
	return r
}

func (s Shape) transform(m Matrix, clips map[*Clip]*Clip) Shape {
	s.Path = s.Path.Transform(m)
	s.Centre = s.Centre.Transform(m)
	s.Width *= m.meanScale()
	if len(s.Clips) > 0 {
		old := s.Clips
		s.Clips = make([]*Clip, len(old))
		for i, c := range old {
			s.Clips[i] = c.transform(m, clips)
		}
	}
	return s
}

// transform maps a clip that many shapes may share only once.
func (c *Clip) transform(m Matrix, done map[*Clip]*Clip) *Clip {
	if d, ok := done[c]; ok {
		return d
	}
	d := &Clip{Shapes: make([]Shape, len(c.Shapes))}
	done[c] = d
	for i, s := range c.Shapes {
		d.Shapes[i] = s.transform(m, done)
	}
	return d
}

func (r Rect) transform(m Matrix) Rect {
	if r.Empty() {
		return r
	}
	out := EmptyRect()
	for _, p := range [...]Point{r.Min, {r.Max.X, r.Min.Y}, r.Max, {r.Min.X, r.Max.Y}} {
		out = out.Include(m.Apply(p))
	}
	return out
}
