package page

import (
	"image/color"
	"math"

	"furrow/path"
	"furrow/raster/grid"
)

// Pattern tells kinds of line and area apart without a colour.
type Pattern uint8

// The patterns.
const (
	Solid   Pattern = iota // a thin line
	Dashed                 // a thin line of long dashes
	Dotted                 // a thin line of dots
	Hatched                // an area of slanted lines
	DashDotted
	Filled  // an area of one colour
	Centred // the same with a thin line along its middle
	Cross   // a place: the middle of the rectangle
	Circle  // a place, as Cross
	DashedCircle
	Triangle
	Disc  // a place, inside of a Circle in the same place
	Lined // in a key: a thin line
)

// Frame is a rectangle, or the ellipse in it, drawn over the picture and named in the key.
type Frame struct {
	Rect    path.Rect
	Round   bool
	Turn    float64 // about its middle, degrees counter-clockwise
	Pattern Pattern
	Label   string // none where empty
	Text    string // at its lower-left corner, where there is room; none where empty
}

// Key explains a pattern that the picture holds.
type Key struct {
	Pattern Pattern
	Colour  color.RGBA // of Dotted, Lined, Filled and Centred
	Label   string
}

// drawFrame draws what of the frame lies inside the plot, whose upper-left
// corner is at x, y, and reports whether that is anything.
func (s *sheet) drawFrame(x, y float64, g grid.Grid, f Frame) bool {
	a := g.Pixel(path.Point{X: f.Rect.Min.X, Y: f.Rect.Max.Y})
	b := g.Pixel(path.Point{X: f.Rect.Max.X, Y: f.Rect.Min.Y})
	r := path.Rect{
		Min: path.Point{X: x + s.mid(a.X), Y: y + s.mid(a.Y)},
		Max: path.Point{X: x + s.mid(b.X), Y: y + s.mid(b.Y)},
	}
	view := path.Rect{Min: path.Point{X: x, Y: y}, Max: path.Point{X: x + float64(g.W), Y: y + float64(g.H)}}
	switch f.Pattern {
	case Cross:
		return s.drawCross(r.Centre(), view)
	case Disc, Circle:
		return s.drawSpot(r.Centre(), view, f.Pattern)
	}
	onPage := path.Form{Rect: r, Round: f.Round, Turn: -f.Turn} // whose Y runs down
	defer s.printIn(onPage, view, f.Text)
	if f.Round || f.Turn != 0 {
		return s.drawEdge(onPage, view, f.Pattern)
	}
	return s.drawPattern(r, view, f.Pattern)
}

// printIn prints a text at the lower-left corner of a form, where it lies in view: in that
// of an upright rectangle, and inside the edge of another, whose room others may share.
func (s *sheet) printIn(f path.Form, view path.Rect, text string) {
	w, high, r := s.width(text)+s.text*0.6, s.text*leading, f.Rect
	if text == "" || w > r.W() || high > r.H() {
		return
	}
	at := path.Point{X: r.Min.X + s.line, Y: r.Max.Y - high}
	if f.Round || f.Turn != 0 {
		middle := inside(f, math.Hypot(w, high)/2)
		at = path.Point{X: math.Round(middle.X - w/2), Y: math.Round(middle.Y - high/2)}
	}
	b := path.Rect{Min: at, Max: at.Add(path.Point{X: w, Y: high})}
	if view.Union(b) != view {
		return
	}
	s.fill(b.Min.X, b.Min.Y, w, high-s.line, s.theme.Paper)
	s.print(b.Min.X+s.text*0.3, b.Min.Y, text, left, s.theme.Ink)
}

// inside returns the middle of what reaches so far to all sides and lies in a form by its own
// lower-left corner, on a page whose Y runs down.
func inside(f path.Form, reach float64) path.Point {
	from := path.Point{X: reach - f.Rect.W()/2, Y: f.Rect.H()/2 - reach}
	if f.Round {
		edge := path.Point{X: -f.Rect.W() / 2, Y: f.Rect.H() / 2}.Mul(math.Sqrt2 / 2)
		from = edge.Mul(1 - reach/edge.Len())
	}
	return f.Rect.Centre().Add(path.Rotate(f.Turn).ApplyVector(from))
}

// drawCross draws a small cross at c, if that lies in view.
func (s *sheet) drawCross(c path.Point, view path.Rect) bool {
	arm := math.Round(s.text * 0.6)
	across := [2]path.Point{{X: c.X - arm, Y: c.Y}, {X: c.X + arm, Y: c.Y}}
	up := [2]path.Point{{X: c.X, Y: c.Y - arm}, {X: c.X, Y: c.Y + arm}}
	if view.Include(c) != view {
		return false
	}
	s.stroke([][2]path.Point{across, up}, s.line*4, s.theme.Paper) // stands out of any ground
	s.stroke([][2]path.Point{across, up}, s.line*2, s.theme.Ink)
	return true
}

// drawSpot draws a small disc, or the circle that it fits in, at c, if that lies in
// view.
func (s *sheet) drawSpot(c path.Point, view path.Rect, p Pattern) bool {
	if view.Include(c) != view {
		return false
	}
	if p == Disc {
		s.disc(c, s.text*0.35, s.theme.Paper) // stands out of any ground
		s.disc(c, s.text*0.25, s.theme.Ink)
		return true
	}
	s.drawCircle(c, s.text*0.5, s.line*4, s.theme.Paper, false)
	s.drawCircle(c, s.text*0.5, s.line*2, s.theme.Ink, false)
	return true
}

// mid returns the middle of the pixel that holds v, so that a thin line is sharp.
func (s *sheet) mid(v float64) float64 { return math.Floor(v+1e-6) + s.line/2 }

// drawPattern draws the outline or area r where it lies inside view, and reports
// whether that is anything.
func (s *sheet) drawPattern(r, view path.Rect, p Pattern) bool {
	corners := [...]path.Point{r.Min, {X: r.Max.X, Y: r.Min.Y}, r.Max, {X: r.Min.X, Y: r.Max.Y}}
	var edges, area [][2]path.Point
	for i, c := range corners {
		edges = appendClipped(edges, c, corners[(i+1)%4], view)
	}
	if p == Hatched {
		area = s.slanted(r, view)
	}
	s.stroke(edges, s.line, s.theme.Quiet, s.dashes(p)...)
	s.stroke(area, s.line, s.theme.Quiet)
	return len(edges)+len(area) > 0
}

// edgePx is how far the edge of a round frame may be drawn from its place, px.
const edgePx = 0.1

// drawEdge draws the way round a form where it lies inside view, and reports whether that is
// anything.
func (s *sheet) drawEdge(f path.Form, view path.Rect, p Pattern) bool {
	drawn := false
	var run []path.Point // of pieces that go on from each other
	way := f.Edge(edgePx)
	for i := range way[1:] {
		a, b, ok := grid.Clip(way[i], way[i+1], view)
		if !ok || len(run) > 0 && run[len(run)-1] != a {
			s.polyline(run, s.line, s.theme.Quiet, s.dashes(p)...)
			run = nil
		}
		if ok && len(run) == 0 {
			run = append(run, a)
		}
		if ok {
			run, drawn = append(run, b), true
		}
	}
	s.polyline(run, s.line, s.theme.Quiet, s.dashes(p)...)
	return drawn
}

// slanted returns lines at 45 degrees inside r and view, on one raster for the
// whole page.
func (s *sheet) slanted(r, view path.Rect) (lines [][2]path.Point) {
	step := s.text * 0.6
	for i := math.Ceil((r.Min.X + r.Min.Y) / step); i*step < r.Max.X+r.Max.Y; i++ {
		sum := i * step
		a := path.Point{X: sum - r.Min.Y, Y: r.Min.Y}
		b := path.Point{X: sum - r.Max.Y, Y: r.Max.Y}
		if a, b, ok := grid.Clip(a, b, r); ok {
			lines = appendClipped(lines, a, b, view)
		}
	}
	return lines
}

func appendClipped(lines [][2]path.Point, a, b path.Point, r path.Rect) [][2]path.Point {
	if a, b, ok := grid.Clip(a, b, r); ok {
		return append(lines, [2]path.Point{a, b})
	}
	return lines
}

// dashes returns those of a pattern, px.
func (s *sheet) dashes(p Pattern) []float64 {
	switch p {
	case Dashed:
		return []float64{s.text * 0.4, s.text * 0.3}
	case Dotted:
		return []float64{s.line, s.line * 2}
	case DashDotted:
		return []float64{s.text * 1.2, s.text * 0.25, s.line * 2, s.text * 0.25}
	}
	return nil
}

// drawKeys draws the keys from x, y on, in lines no wider than width, and returns
// the y below them.
func (s *sheet) drawKeys(x, y, width float64, keys []Key) float64 {
	at := x
	box := math.Round(s.text * 1.8)
	for _, k := range keys {
		label := s.shorten(k.Label, width-box-s.text*0.5)
		w := box + s.text*0.5 + s.width(label)
		if at > x && at+w > x+width {
			at, y = x, y+s.text*leading
		}
		s.drawKey(at, y, box, k)
		s.print(at+box+s.text*0.5, y, label, left, s.theme.Ink)
		at += w + s.text*2
	}
	if len(keys) == 0 {
		return y
	}
	return y + s.text*leading
}

// drawKey draws a sample of a key's pattern, width px wide.
func (s *sheet) drawKey(x, y, width float64, k Key) {
	x, y = math.Floor(x), math.Floor(y+s.text*0.25)
	high := math.Round(s.text * 0.9)
	mid := y + math.Floor(high/2) + s.line/2
	switch k.Pattern {
	case Dotted, Lined:
		s.stroke([][2]path.Point{{{X: x, Y: mid}, {X: x + width, Y: mid}}}, s.line, k.Colour, s.dashes(k.Pattern)...)
	case Filled:
		s.fill(x, y, width, high, k.Colour)
		s.frame(x, y, width, high, s.theme.Quiet)
	case Centred:
		s.fill(x, y, width, high, k.Colour)
		s.fill(x, mid-s.line/2, width, s.line, s.theme.Blank)
	case Cross:
		c := path.Point{X: math.Round(x + width/2), Y: math.Round(y + high/2)}
		s.drawCross(c, path.Rect{Min: c, Max: c})
	case Disc:
		s.disc(path.Point{X: x + width/2, Y: y + high/2}, s.text*0.25, s.theme.Ink)
	case Circle, DashedCircle:
		c := path.Point{X: x + width/2, Y: y + high/2}
		s.drawCircle(c, high/2, s.line*2, s.theme.Ink, k.Pattern == DashedCircle)
	default:
		r := path.Rect{Min: path.Point{X: s.mid(x), Y: s.mid(y)}, Max: path.Point{X: s.mid(x + width),
			Y: s.mid(y + high)}}
		s.drawPattern(r, r.Grow(1), k.Pattern)
	}
}
