package path

// Marks is what is to be marked, before it has a sequence: rows of spans and
// polylines. Settings is indexed by the Setting of each.
type Marks struct {
	Settings []Setting
	Rows     []RowSet
	Lines    []Line
	// how far a straight piece of Lines may be from the curve it stands for; 0 where it is meant as it is
	ToleranceMM float64
}

// Setting is how something is marked.
type Setting struct {
	Name        string
	SpeedMMPerS float64
	Power       float64 // fraction of full, 0..1
	FrequencyHz float64 // 0 for a continuous source
	PulseNS     float64 // 0 for a continuous source
	SpacingMM   float64 // between rows; 0 where nothing is filled
	Air         bool
}

// Span is a marked piece of a row, from X0 to X1 > X0 along it.
type Span struct{ X0, X1 float64 }

// RowSet is a set of parallel rows. Row k runs along Dir, through
// Origin + k·Spacing·n, with n the normal 90 degrees counter-clockwise of Dir.
// Its spans are Spans[Start[k]:Start[k+1]], sorted and apart; a row may have
// none. Phase as in Line.
type RowSet struct {
	Setting int
	Phase   int
	OneWay  bool // mark every span along Dir only
	Origin  Point
	Dir     Point // of unit length
	Spacing float64
	Start   []int32
	Spans   []Span
}

// NumRows returns the number of rows, with and without spans.
func (r *RowSet) NumRows() int { return max(0, len(r.Start)-1) }

// Row returns the spans of row k, without copying them.
func (r *RowSet) Row(k int) []Span { return r.Spans[r.Start[k]:r.Start[k+1]] }

// At returns the point at x along row k.
func (r *RowSet) At(k int, x float64) Point {
	y := float64(k) * r.Spacing
	return Point{
		r.Origin.X + float64(x*r.Dir.X) - float64(y*r.Dir.Y),
		r.Origin.Y + float64(x*r.Dir.Y) + float64(y*r.Dir.X),
	}
}

// Length returns the marked length, mm.
func (r *RowSet) Length() float64 {
	sum := 0.0
	for _, s := range r.Spans {
		sum += s.X1 - s.X0
	}
	return sum
}

// Line is a polyline to be marked: an outline or a stroke's centre line.
type Line struct {
	Setting int
	Phase   int // everything of a lower phase is marked before
	Points  []Point
	Closed  bool // marked from any vertex round to it again; the first point is not repeated
	Before  int  // index in Marks.Lines of a line marked later than this one (a hole's edge), or -1
}
