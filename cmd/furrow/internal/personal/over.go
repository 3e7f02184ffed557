package personal

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"furrow/cmd/furrow/internal/data"
	"furrow/cmd/furrow/internal/value"
	"furrow/path"
	"furrow/path/hatch"
)

// lookMM is how finely it is looked where texts and other artwork meet, mm on the blank.
const lookMM = 0.1

// ground is what is marked of the artwork beside its texts, with the rectangles of its
// codes, as rows.
type ground struct {
	rows   path.RowSet
	stepMM float64 // between the points of a text's edges that are looked at
	bare   float64
}

// lookBeside looks at what lies beside the texts, and which of them lie on it as drawn.
func (s *Setter) lookBeside() {
	if !slices.ContainsFunc(s.places, func(p place) bool { return p.text != nil }) {
		return
	}
	s.ground = s.newGround()
	for i := range s.places {
		if at := &s.places[i]; at.text != nil {
			at.onto = !math.IsInf(s.clear(*at, s.in.Drawing.Art.Shapes[at.First:at.Last]), 1)
		}
	}
}

// newGround looks at what lies beside the texts. Where nothing does, or it cannot be looked
// at, no text runs over it: what is wrong with the artwork is told by its fill.
func (s *Setter) newGround() (g ground) {
	g.bare = float64(value.Or(s.in.Job.Artwork.BareAbove, hatch.DefaultBareAbove))
	g.stepMM = max(lookMM/s.scale, path.MinSpacing) / 2
	beside := path.Artwork{Page: s.in.Drawing.Art.Page}
	all, done := s.in.Drawing.Art.Shapes, 0
	for _, p := range s.places {
		beside.Shapes = append(beside.Shapes, all[done:p.First]...)
		if done = p.Last; p.code != nil {
			beside.Shapes = append(beside.Shapes, black(*p.Frame))
		}
	}
	beside.Shapes = append(beside.Shapes, all[done:]...)
	g.rows, _, _ = hatch.Shown(beside, 2*g.stepMM, hatch.Settings{BareAbove: g.bare, Tolerance: g.stepMM / 5})
	return g
}

// black returns the rectangle of a code, as if all of it were marked.
func black(f path.Frame) path.Shape {
	s := path.Shape{Paint: path.Paint{Opacity: 1}}
	s.Path.MoveTo(f.Matrix.Apply(path.Point{}))
	for _, p := range [...]path.Point{{X: f.W}, {X: f.W, Y: f.H}, {Y: f.H}} {
		s.Path.LineTo(f.Matrix.Apply(p))
	}
	return s
}

// marked reports that a point lies on what is marked.
func (g *ground) marked(p path.Point) bool {
	n := g.rows.NumRows()
	k := int(math.Round((p.Y - g.rows.Origin.Y) / max(g.rows.Spacing, path.MinSpacing)))
	if k < 0 || k >= n {
		return false
	}
	row, x := g.rows.Row(k), p.X-g.rows.Origin.X
	i := sort.Search(len(row), func(i int) bool { return row[i].X1 >= x })
	return i < len(row) && row[i].X0 <= x
}

// under calls found with each looked-at point of the edges of shapes that lies on what is
// marked. Letters that stay bare may lie there.
func (g *ground) under(shapes []path.Shape, found func(path.Point)) {
	for _, s := range shapes {
		edges := s.Path
		switch {
		case s.Bare(g.bare):
			continue
		case !s.Centre.Empty():
			edges = s.Centre
		}
		edges.Flatten(g.stepMM, func(pts []path.Point, _ bool) {
			for i, b := range pts[1:] {
				a := pts[i]
				n := math.Ceil(a.Dist(b) / g.stepMM)
				for k := 1.0; k <= n; k++ {
					if p := a.Lerp(b, k/n); g.marked(p) {
						found(p)
					}
				}
			}
		})
	}
}

// clear returns how wide a text may be so as to lie clear of what its shapes run over, mm on
// the blank; infinite where they run over nothing, and 0 or less where no width helps.
func (s *Setter) clear(at place, shapes []path.Shape) float64 {
	room := math.Inf(1)
	back, ok := at.Text.Matrix.Inverse()
	if !ok {
		return room
	}
	a := at.Text.Anchor
	s.ground.under(shapes, func(p path.Point) {
		switch x := back.Apply(p).X; {
		case x > 0 && a < 1:
			room = min(room, x/(1-a))
		case x < 0 && a > 0:
			room = min(room, -x/a)
		default:
			room = 0
		}
	})
	return room * s.scale
}

// overlap is one text of the job that runs over other artwork in some of the parts.
type overlap struct {
	first data.Problem
	parts int
	room  float64 // that keeps it clear in all of them
}

// tell adds what a text of the job runs over, once for all parts.
func (o overlap) tell(problems *data.Problems) {
	if o.parts == 0 {
		return
	}
	p := o.first
	p.Warning = true
	if o.parts > 1 {
		p.What += fmt.Sprintf(", the first of %d such parts", o.parts)
	}
	if mm := math.Floor(2*o.room-1) / 2; mm >= 1 { // half a millimetre or more short of it
		p.What += fmt.Sprintf("; room = \"%gmm\" keeps clear of it", mm)
	}
	problems.List = append(problems.List, p)
}
