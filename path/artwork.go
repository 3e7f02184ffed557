package path

// FillRule says which points a path encloses, as SVG defines the two rules.
type FillRule uint8

// The fill rules.
const (
	NonZero FillRule = iota
	EvenOdd
)

// Shape is one painted region. For a stroke, Path is the region it covers and
// Centre and Width say what it was drawn from, so that a stroke thinner than
// the mark can be traced once along its centre line.
type Shape struct {
	Path     Path
	Rule     FillRule
	Paint    Paint       // of a gradient its mean
	Gradient *Gradient   // what is painted in place of Paint, or nil
	In       *PaintGroup // what it is painted in; nil is the page
	Clips    []*Clip     // every one limits the shape
	Group    int         // index of the job's group that picked the shape; 0 is of everything not picked
	Invert   bool        // marked and bare swap inside this shape
	Centre   Path        // of a stroke; empty for a fill
	Width    float64     // of a stroke, mm; 0 for a fill
	Source   Source
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
	return Artwork{Page: a.Page.transform(m), Shapes: newCopies(m).shapes(a.Shapes)}
}

// Bounds returns a rectangle round all shapes, whatever their paint.
func (a Artwork) Bounds() Rect {
	r := EmptyRect()
	for _, s := range a.Shapes {
		r = r.Union(s.Path.Bounds())
	}
	return r
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
