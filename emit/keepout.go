package emit

import "furrow/path"

// clip returns bounds of the part of a move that lies in a box, empty when it
// stays outside or only touches it.
func clip(from path.Point, mv Move, box path.Rect) path.Rect {
	if mv.Turn != Straight {
		return mv.Bounds(from).Intersect(box)
	}
	d := mv.To.Sub(from)
	t0, t1 := 0.0, 1.0
	for _, side := range [...]struct{ step, room float64 }{
		{-d.X, from.X - box.Min.X}, {d.X, box.Max.X - from.X}, {-d.Y, from.Y - box.Min.Y}, {d.Y, box.Max.Y - from.Y},
	} {
		switch {
		case side.step == 0 && side.room <= 0:
			return path.EmptyRect()
		case side.step > 0:
			t1 = min(t1, side.room/side.step)
		case side.step < 0:
			t0 = max(t0, side.room/side.step)
		}
	}
	if t0 > t1 {
		return path.EmptyRect()
	}
	return path.EmptyRect().Include(from.Add(d.Mul(t0))).Include(from.Add(d.Mul(t1)))
}

// exit is a movement along an axis that takes something out of a box.
type exit struct {
	mm   float64
	dir  path.Point
	side string
}

// exits lists the four movements that take r out of the box.
func exits(r path.Rect, box path.Rect) [4]exit {
	return [...]exit{
		{r.Max.X - box.Min.X, path.Point{X: -1}, "to the left"}, {box.Max.X - r.Min.X, path.Point{X: 1},
			"to the right"},
		{r.Max.Y - box.Min.Y, path.Point{Y: -1}, "down"}, {box.Max.Y - r.Min.Y, path.Point{Y: 1}, "up"},
	}
}

// depth returns how far r, a part of the box, lies in it: the shortest of its exits.
func depth(r path.Rect, box path.Rect) float64 {
	if r.Empty() {
		return 0
	}
	e := exits(r, box)
	return min(e[0].mm, e[1].mm, e[2].mm, e[3].mm)
}
