package paper

import (
	"github.com/tdewolff/canvas"

	"furrow/path"
)

// outlines returns letters as canvas draws them. No font has arcs.
func outlines(p path.Path) *canvas.Path {
	to, i := &canvas.Path{}, 0
	for _, v := range p.Verbs {
		q := p.Points[i : i+v.NumPoints()]
		i += len(q)
		switch v {
		case path.MoveTo:
			to.MoveTo(q[0].X, q[0].Y)
		case path.LineTo:
			to.LineTo(q[0].X, q[0].Y)
		case path.QuadTo:
			to.QuadTo(q[0].X, q[0].Y, q[1].X, q[1].Y)
		case path.CubeTo:
			to.CubeTo(q[0].X, q[0].Y, q[1].X, q[1].Y, q[2].X, q[2].Y)
		case path.Close:
			to.Close()
		}
	}
	return to
}
