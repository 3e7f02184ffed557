package page

import (
	"image"
	"math"
	"strconv"
	"strings"

	"furrow/raster/colour"
)

// Scale is the labelled colour scale of a picture.
type Scale struct {
	Label string // what is shown, and its unit
	Ramp  colour.Ramp
	Top   float64  // value of the ramp's last colour; the first is 0
	Note  string   // beside the label, such as the highest value
	Ticks []string // labels at even steps from 0 to Top; made from Top where nil
	More  bool     // there are values above Top, which take its colour
}

// NiceTop returns the least round number that is not below v, as the end of a
// scale; 1 where v is not above 0.
func NiceTop(v float64) float64 {
	if !(v > 0) {
		return 1
	}
	return niceOf(v, 1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8)
}

// labels returns those of the scale's ticks.
func (s Scale) labels() []string {
	if s.Ticks != nil {
		return s.Ticks
	}
	n := s.parts()
	labels := make([]string, n+1)
	for i := range labels {
		labels[i] = grouped(trim(s.Top * float64(i) / float64(n)))
	}
	if s.More {
		labels[n] += " +"
	}
	return labels
}

// parts returns into how many equal steps the scale is cut: at most 5, of 1, 2
// or 5 times a power of ten, or of 4 where there are none.
func (s Scale) parts() int {
	for _, leads := range [...][]float64{{1, 2, 5}, {1, 4}} {
		for n := 5; n > 1; n-- {
			step := s.Top / float64(n)
			if niceOf(step*(1-1e-9), leads...) <= step*(1+1e-9) {
				return n
			}
		}
	}
	return 1
}

// drawScale draws the scale from y down and returns the y below it.
func (s *sheet) drawScale(x, y, width float64, sc Scale) float64 {
	s.print(x, y, sc.Label, left, s.theme.Ink)
	beside := s.width(sc.Label+sc.Note)+s.text <= width
	if sc.Note != "" && beside {
		s.print(x+width, y, sc.Note, right, s.theme.Quiet)
	}
	y, high := s.scaleTop(y)
	n := len(sc.Ramp)
	for i, c := range sc.Ramp {
		// Each step reaches to the end, so that no seam shows between two.
		from := math.Round(width * float64(i) / float64(n))
		s.fill(x+from, y, width-from, high, c)
	}
	s.frame(x, y, width, high, s.theme.Quiet)
	y += high
	s.scaleTicks(x, y, width, sc.labels())
	y += s.text * (0.3 + leading)
	if sc.Note != "" && !beside {
		s.print(x, y, sc.Note, left, s.theme.Quiet)
		y += s.text * leading
	}
	return y
}

// scaleTicks draws the ticks below a scale, and the first and the last label, with
// those between that have room.
func (s *sheet) scaleTicks(x, y, width float64, labels []string) {
	last := len(labels) - 1
	at := func(i int) float64 { return x + math.Round((width-s.line)*float64(i)/float64(max(1, last))) }
	free, end := x, x+width-s.width(labels[last])-s.text*0.5
	for i, l := range labels {
		s.fill(at(i), y, s.line, s.text*0.35, s.theme.Ink)
		w, a := s.width(l), endAlign(i, len(labels))
		box := s.box(at(i)+s.line/2, y, w, a)
		if i > 0 && i < last && (box.Min.X < free || box.Max.X > end) {
			continue
		}
		s.print(at(i)+s.line/2, y+s.text*0.3, l, a, s.theme.Ink)
		free = box.Max.X + s.text*0.5
	}
}

// scaleTop returns the y and height of the colours of a scale that begins at y.
func (s *sheet) scaleTop(y float64) (top, high float64) {
	return math.Round(y + s.text*leading), math.Round(s.text * 0.9)
}

// scaleBox returns the pixels inside the frame of the scale that drawScale draws.
func (s *sheet) scaleBox(x, y, width float64) image.Rectangle {
	y, high := s.scaleTop(y)
	return image.Rect(int(x+s.line), int(y+s.line), int(x+width-s.line), int(y+high-s.line))
}

// endAlign keeps the first and last label within the scale.
func endAlign(i, n int) align {
	switch i {
	case 0:
		return left
	case n - 1:
		return right
	}
	return centre
}

// Number writes v >= 0 to three digits, without an exponent.
func Number(v float64) string {
	three, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 3, 64), 64)
	return grouped(strconv.FormatFloat(three, 'f', -1, 64))
}

// grouped sets a comma before each three digits of a number >= 0 of thousands.
func grouped(number string) string {
	whole, part, _ := strings.Cut(number, ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if part == "" {
		return whole
	}
	return whole + "." + part
}
