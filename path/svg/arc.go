package svg

import (
	"math"

	"furrow/path"
)

// arcTo appends an elliptical arc given by its end points, by SVG 2, 9.5.1
// (radii of zero, too small or negative) and B.2.4 (the centre).
func arcTo(p *path.Path, from path.Point, rx, ry, degrees float64, large, sweep bool, to path.Point) {
	rx, ry = math.Abs(rx), math.Abs(ry)
	if from == to {
		return
	}
	sin, cos := path.SinCos(degrees)
	u, v := path.Point{X: cos, Y: sin}, path.Point{X: -sin, Y: cos}
	half := from.Sub(to).Mul(0.5)
	x, y := half.Dot(u)/rx, half.Dot(v)/ry // on the unit circle, seen from the middle of the chord
	d := float64(x*x) + float64(y*y)
	k := math.Sqrt(max(0, (1-d)/d)) // the clamp keeps rounding from moving the centre
	if s := math.Sqrt(d); s > 1 {   // B.2.5: scale the radii up until there is just one solution
		rx, ry, x, y = rx*s, ry*s, x/s, y/s
	}
	if large == sweep {
		k = -k
	}
	cx, cy := k*y, -k*x
	start := math.Atan2(y-cy, x-cx)
	turn := math.Atan2(-y-cy, -x-cx) - start
	if sweep && turn < 0 {
		turn += 2 * math.Pi
	} else if !sweep && turn > 0 {
		turn -= 2 * math.Pi
	}
	u, v = u.Mul(rx), v.Mul(ry)
	middle := from.Add(to).Mul(0.5)
	centre := middle.Add(u.Mul(cx)).Add(v.Mul(cy))
	if !centre.Finite() || !u.Finite() || !v.Finite() {
		p.LineTo(to) // of no radius, too
		return
	}
	p.ArcTo(centre, u, v, start, turn, to)
}

// ellipse returns four arcs from (cx+rx, cy), clockwise on screen (SVG 2, 10.3).
func ellipse(cx, cy, rx, ry float64) path.Path {
	var p path.Path
	c, u, v := path.Point{X: cx, Y: cy}, path.Point{X: rx}, path.Point{Y: ry}
	ends := [...]path.Point{{X: cx + rx, Y: cy}, {X: cx, Y: cy + ry}, {X: cx - rx, Y: cy}, {X: cx, Y: cy - ry}}
	p.MoveTo(ends[0])
	for i := range 4 {
		p.ArcTo(c, u, v, float64(i)*math.Pi/2, math.Pi/2, ends[(i+1)%4])
	}
	p.Close()
	return p
}

// roundRect returns a rectangle with elliptical corners (SVG 2, 10.2).
func roundRect(x, y, w, h, rx, ry float64) path.Path {
	var p path.Path
	if rx <= 0 || ry <= 0 {
		p.MoveTo(path.Point{X: x, Y: y})
		p.LineTo(path.Point{X: x + w, Y: y})
		p.LineTo(path.Point{X: x + w, Y: y + h})
		p.LineTo(path.Point{X: x, Y: y + h})
		p.Close()
		return p
	}
	corner := func(cx, cy float64, quarter int, to path.Point) {
		p.ArcTo(path.Point{X: cx, Y: cy}, path.Point{X: rx}, path.Point{Y: ry},
			float64(quarter)*math.Pi/2, math.Pi/2, to)
	}
	p.MoveTo(path.Point{X: x + rx, Y: y})
	p.LineTo(path.Point{X: x + w - rx, Y: y})
	corner(x+w-rx, y+ry, -1, path.Point{X: x + w, Y: y + ry})
	p.LineTo(path.Point{X: x + w, Y: y + h - ry})
	corner(x+w-rx, y+h-ry, 0, path.Point{X: x + w - rx, Y: y + h})
	p.LineTo(path.Point{X: x + rx, Y: y + h})
	corner(x+rx, y+h-ry, 1, path.Point{X: x, Y: y + h - ry})
	p.LineTo(path.Point{X: x, Y: y + ry})
	corner(x+rx, y+ry, 2, path.Point{X: x + rx, Y: y})
	p.Close()
	return p
}
