package emit

import (
	"math"

	"furrow/path"
)

// course tells the work of a gantry, which moves with the page, from the straight
// ways between it and X0 Y0, which begin or end there wherever the page lies.
type course struct {
	work       path.Rect
	start, end path.Point // of the work
	back       bool       // the head goes back to X0 Y0 behind it
}

// add takes the next move, the first of them from X0 Y0.
func (c *course) add(from path.Point, mv Move) {
	if mv.To == from && mv.Turn == Straight {
		return // a wait
	}
	off := mv.Kind != Mark
	c.back = off && mv.To == path.Point{}
	switch {
	case c.work.Empty() && off:
		c.start = mv.To
		c.work = c.work.Include(mv.To)
	case c.back:
		return
	default:
		c.work = c.work.Union(mv.Bounds(from))
	}
	c.end = mv.To
}

// keepsClear reports that the head stays out of every box when the work is moved
// by d.
func (c *course) keepsClear(d path.Point, boxes []path.Rect) bool {
	for _, box := range boxes {
		in := []path.Rect{c.work.Move(d).Intersect(box), clip(path.Point{}, Move{To: c.start.Add(d)}, box)}
		if c.back {
			in = append(in, clip(c.end.Add(d), Move{}, box))
		}
		for _, r := range in {
			if depth(r, box) > slackMM {
				return false
			}
		}
	}
	return true
}

// onGrid rounds a movement to a step of the grid of files, away from 0. The
// millionth of a step is rounding, not distance.
func onGrid(mm float64) float64 {
	return math.Copysign(math.Ceil(math.Abs(mm)*1000-1e-6)/1000, mm) + 0
}
