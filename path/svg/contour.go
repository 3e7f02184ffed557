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
		lineTo(dst, pts[n-1]) // the way back over a LineTo, and where other pieces begin
		switch v {
		case path.MoveTo:
			return
		case path.CubeTo:
			dst.CubeTo(pts[1], pts[0], p.Points[i-1])
		case path.ArcTo:
			start, sweep := pts[3].X, pts[3].Y
			dst.ArcTo(pts[0], pts[1], pts[2], start+sweep, -sweep, p.Points[i-1])
		}
	}
}
