package page

import (
	"image/color"
	"math"

	"furrow/path"
)

// Ring is a circle round a place in the picture, with a number beside it where
// there is room.
type Ring struct {
	At      path.Point
	Pattern Pattern // Circle or DashedCircle
	Number  string
	Label   string // in the key; none where empty
}

// ringRadius is in heights of text.
const ringRadius = 0.9

// layRings draws the rings whose place lies inside the plot, with its upper-left
// corner at x, y.
func (p *Page) layRings(x, y float64) {
	s, g := &p.sheet, p.spec.Grid
	view := path.Rect{Min: path.Point{X: x, Y: y}, Max: path.Point{X: x + float64(g.W), Y: y + float64(g.H)}}
	radius := s.text * ringRadius
	taken := append([]path.Rect(nil), s.texts...)
	var seen []Ring // with At on the page
	for _, r := range p.spec.Rings {
		r.At = g.Pixel(r.At).Add(view.Min)
		if view.Include(r.At) != view {
			continue
		}
		s.drawCircle(r.At, radius, s.line*4, s.theme.Paper, false) // stands out of any ground
		s.drawCircle(r.At, radius, s.line*2, s.theme.Ink, r.Pattern == DashedCircle)
		p.explain(r.Pattern, r.Label, true)
		seen = append(seen, r)
		taken = append(taken, path.Rect{Min: r.At, Max: r.At}.Grow(radius))
	}
	for _, r := range seen {
		taken = s.printBeside(r.At, radius+s.line*2, view, taken, r.Number)
	}
}

// drawCircle draws a circle as a polygon, whole or with gaps.
func (s *sheet) drawCircle(c path.Point, radius, width float64, ink color.RGBA, dashed bool) {
	const n = 48
	at := func(i int) path.Point {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		return c.Add(path.Point{X: cos, Y: sin}.Mul(radius))
	}
	var lines [][2]path.Point
	for i := range n {
		if !dashed || i%6 < 4 {
			lines = append(lines, [2]path.Point{at(i), at(i + 1)})
		}
	}
	s.stroke(lines, width, ink)
}

// printBeside prints a short text next to a circle, where there is room for it
// in view beside what is taken, and returns taken with its place.
func (s *sheet) printBeside(c path.Point, radius float64, view path.Rect, taken []path.Rect, text string) []path.Rect {
	w, high := s.width(text), s.text*leading
	if text == "" {
		return taken
	}
	for _, far := range [...]float64{0, high, 2 * high} {
		for i := range 8 {
			sin, cos := math.Sincos(math.Pi / 4 * float64(i))
			middle := c.Add(path.Point{X: cos * (radius + far + w/2), Y: -sin * (radius + far + high/2)})
			b := s.box(middle.X, middle.Y-high/2, w, centre)
			if view.Union(b) == view && !anyOverlaps(taken, b) {
				s.fill(b.Min.X-s.line, b.Min.Y, w+2*s.line, high, s.theme.Paper)
				s.print(middle.X, b.Min.Y, text, centre, s.theme.Ink)
				return append(taken, b)
			}
		}
	}
	return taken
}

func anyOverlaps(boxes []path.Rect, b path.Rect) bool {
	for _, t := range boxes {
		if t.Min.X < b.Max.X && b.Min.X < t.Max.X && t.Min.Y < b.Max.Y && b.Min.Y < t.Max.Y {
			return true
		}
	}
	return false
}
