package emit

import (
	"math"

	"furrow/path"
)

// clip returns bounds of the part of a move that lies in a box, empty when it
// stays outside or only touches it.
func clip(from path.Point, mv Move, box [4]float64) path.Rect {
	if mv.Turn != Straight {
		return intersect(mv.Bounds(from), box)
	}
	d := mv.To.Sub(from)
	t0, t1 := 0.0, 1.0
	for _, side := range [...]struct{ step, room float64 }{
		{-d.X, from.X - box[0]}, {d.X, box[2] - from.X}, {-d.Y, from.Y - box[1]}, {d.Y, box[3] - from.Y},
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

func intersect(r path.Rect, box [4]float64) path.Rect {
	return path.Rect{
		Min: path.Point{X: max(r.Min.X, box[0]), Y: max(r.Min.Y, box[1])},
		Max: path.Point{X: min(r.Max.X, box[2]), Y: min(r.Max.Y, box[3])},
	}
}

// wayOut returns the least movement that takes r out of the box, and which way.
func wayOut(r path.Rect, box [4]float64) (depth float64, side string) {
	depth = math.Inf(1)
	for _, way := range [...]struct {
		depth float64
		side  string
	}{
		{r.Max.X - box[0], "to the left"}, {box[2] - r.Min.X, "to the right"},
		{r.Max.Y - box[1], "down"}, {box[3] - r.Min.Y, "up"},
	} {
		if way.depth < depth {
			depth, side = way.depth, way.side
		}
	}
	return depth, side
}
