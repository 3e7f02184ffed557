package page

import (
	"image"
	"math"
)

// Inset is a small picture of its own, with a line of words below it.
type Inset struct {
	Image *image.RGBA
	Label string
}

// InsetPx is the longer side of an inset, px, for text of a height.
func InsetPx(textPx float64) int { return int(math.Round(7.5 * textPx)) }

// insetsWidth returns that of all insets side by side, px; 0 for none.
func (p *Page) insetsWidth() (w float64) {
	for i, in := range p.spec.Insets {
		if i > 0 {
			w += p.sheet.text
		}
		w += p.insetWidth(in)
	}
	return w
}

// insetWidth returns that of an inset and its words.
func (p *Page) insetWidth(in Inset) float64 {
	return math.Ceil(max(float64(in.Image.Rect.Dx()), p.sheet.width(in.Label)))
}

// layInsets places the insets from x, y on, in lines no wider than width where they
// fit one, and returns the y below them.
func (p *Page) layInsets(x, y, width float64) float64 {
	s, at, high := &p.sheet, x, 0.0
	for _, in := range p.spec.Insets {
		w, label := p.insetWidth(in), in.Label
		if w > width {
			w, label = width, s.shorten(label, width)
		}
		if at > x && at+w > x+width {
			at, y, high = x, y+high, 0
		}
		b := in.Image.Rect
		p.insets = append(p.insets, image.Pt(int(math.Round(at)), int(math.Round(y))))
		s.frame(math.Round(at), math.Round(y), float64(b.Dx()), float64(b.Dy()), s.theme.Quiet)
		s.print(at, math.Round(y)+float64(b.Dy())+s.text*0.2, label, left, s.theme.Ink)
		at += w + s.text
		high = max(high, float64(b.Dy())+s.text*(leading+0.8))
	}
	return y + high
}
