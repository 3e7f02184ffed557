package svg

import (
	"slices"

	"furrow/path"
)

// Helpers that build one open contour in a path.

func reset(p *path.Path) { p.Verbs, p.Points = p.Verbs[:0], p.Points[:0] }

// lineTo starts p or draws a line, unless p ends there already.
func lineTo(p *path.Path, q path.Point) {
	switch n := len(p.Points); {
	case n == 0:
		p.MoveTo(q)
	case p.Points[n-1] != q:
		p.LineTo(q)
	}
}

// appendClosed adds p to out as a closed subpath.
func appendClosed(out *path.Path, p path.Path) {
	if p.Empty() {
		return
	}
	out.Verbs = append(append(out.Verbs, p.Verbs...), path.Close)
	out.Points = append(out.Points, p.Points...)
}

// appendBackwards draws the one subpath of p from its end to its start.
func appendBackwards(dst *path.Path, p path.Path) {
	i := len(p.Points)
	for _, v := range slices.Backward(p.Verbs) {
		n := v.NumPoints()
		pts := p.Points[i-n : i]
		i -= n
		if len(dst.Points) == 0 || v == path.MoveTo {
			lineTo(dst, pts[n-1])
		}
		if v == path.MoveTo {
			return
		}
		before := p.Points[i-1]
		if dst.Points[len(dst.Points)-1] != pts[n-1] {
			lineTo(dst, pts[n-1])
		}
		switch v {
		case path.LineTo:
			lineTo(dst, before)
		case path.CubeTo:
			dst.CubeTo(pts[1], pts[0], before)
		case path.ArcTo:
			start, sweep := pts[3].X, pts[3].Y
			dst.ArcTo(pts[0], pts[1], pts[2], start+sweep, -sweep, before)
		}
	}
}
