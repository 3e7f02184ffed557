package path

import (
	"slices"
	"time"
)

// StrokeKind tells a row's span from a polyline.
type StrokeKind uint8

// The kinds of stroke.
const (
	SpanStroke StrokeKind = iota // one marked span of a row
	LineStroke                   // an outline or a centre line
)

// Stroke is marked with the beam on without a break, through
// Points[First:First+Len] of its Program.
type Stroke struct {
	First, Len int32
	// strokes that follow each other with the same number above 0 are marked in one straight run, beam off in the gaps
	Sweep   int32
	Setting uint16
	Kind    StrokeKind
	Power   float64 // fraction of full; 0 for that of its setting
}

// Marking is how a stroke is marked, from the start of the whole program.
type Marking struct {
	Start, End time.Duration
	EnergyJ    float64 // that the beam puts out, J
}

// Program is strokes in the sequence and direction in which they are marked.
// The points of all strokes stand end to end in one slice.
type Program struct {
	Settings    []Setting
	Points      []Point
	Strokes     []Stroke
	Rests       []Rest  // rising by stroke
	ToleranceMM float64 // as in Marks
}

// Rest is a pause with the beam off before a stroke, in which what is marked may cool.
type Rest struct {
	Before int // index in Program.Strokes
	For    time.Duration
}

// PointsOf returns the points of stroke i, without copying them.
func (p *Program) PointsOf(i int) []Point {
	s := p.Strokes[i]
	return p.Points[s.First : s.First+s.Len : s.First+s.Len]
}

// PowerOf returns the power of stroke i, as a fraction of full.
func (p *Program) PowerOf(i int) float64 {
	s := &p.Strokes[i]
	if s.Power == 0 && int(s.Setting) < len(p.Settings) {
		return p.Settings[s.Setting].Power
	}
	return s.Power
}

// RestBefore returns how long to pause before stroke i.
func (p *Program) RestBefore(i int) time.Duration {
	k, ok := slices.BinarySearchFunc(p.Rests, i, func(r Rest, i int) int { return r.Before - i })
	if !ok {
		return 0
	}
	return p.Rests[k].For
}

// Append adds a stroke through pts at the end.
func (p *Program) Append(s Stroke, pts ...Point) {
	s.First, s.Len = int32(len(p.Points)), int32(len(pts))
	p.Points = append(p.Points, pts...)
	p.Strokes = append(p.Strokes, s)
}

// Bounds returns a rectangle round all strokes.
func (p *Program) Bounds() Rect { return BoundsOf(p.Points) }

// Transform returns the program mapped by m.
func (p *Program) Transform(m Matrix) Program {
	q := *p
	q.Points = make([]Point, len(p.Points))
	for i, pt := range p.Points {
		q.Points[i] = m.Apply(pt)
	}
	return q
}
