package emit

import (
	"math"

	"furrow/emit/machine"
	"furrow/path"
)

// Sidestep is how the head passes from a row to the next while it turns round, beam
// off: straight on until no mark can leave its row, on a slant to half way between the
// two, where it comes to rest, and back on the other slant. The step across costs no
// time of its own, since it is part of a run-out and a run-up that have to be anyway.
type Sidestep struct {
	Points [3]path.Point // ends of the straight part, of the first slant and of the second
	ExtraS float64       // seconds longer than a run-out and a run-up
}

// NewSidestep returns that from the end out of a row to the beginning in of the next,
// which is marked the other way. It is false where there is none: where the rows do not
// lie so, where the slant would turn off too sharply, be too weak or too fast for an
// axis, or have pieces shorter than the controller takes (shortestS, in s); and where a
// straight run-out, a travel move and a run-up are quicker.
func NewSidestep(g *machine.Gantry, out, in RowEnd, shortestS float64) (s Sidestep, ok bool) {
	v := out.Speed
	d := in.At.Sub(out.At)
	further, across := d.Dot(out.Dir), out.Dir.Cross(d)
	if out.Dir.Dot(in.Dir) > -straightBack || in.Speed != v || across == 0 || math.Abs(across) > MostAcrossMM {
		return s, false
	}
	straight, run := max(out.Straight, in.Straight), max(out.Run, in.Run)
	slant, ok := slantOf(g, out.Dir, across/2, run, straight, v)
	if !ok || min(straight, slant) < v*shortestS {
		return s, false
	}
	s.ExtraS = (math.Abs(further) + 2*(slant-(run-straight))) / v
	rest := d.Add(out.Dir.Mul(in.Run - out.Run))
	if s.ExtraS > restToRest(g, rest) {
		return s, false
	}
	normal := path.Point{X: -out.Dir.Y, Y: out.Dir.X}
	s.Points[0] = out.At.Add(out.Dir.Mul(max(0, further) + straight))
	s.Points[1] = s.Points[0].Add(out.Dir.Mul(slant)).Add(normal.Mul(across / 2))
	s.Points[2] = in.At.Add(out.Dir.Mul(max(0, -further) + straight))
	return s, true
}

// MostAcrossMM is how far apart rows may lie for a sidestep: fills with wider spacing
// are not engraved.
const MostAcrossMM = 2

// straightBack is the cosine of the greatest turn between two rows of one direction.
const straightBack = 0.999999

// slantOf returns how far along the row a slant goes that leads half mm across it, so
// that from rest at its end the head is at speed v behind slant and straight part.
func slantOf(g *machine.Gantry, dir path.Point, half, run, straight, v float64) (along float64, ok bool) {
	along = run - straight
	if along <= 0 {
		return 0, false
	}
	there, back := slants(dir, half, along)
	weaker := max(1, g.Accel(dir)/min(g.Accel(there), g.Accel(back)))
	if g.Jerk(dir) > 0 {
		weaker = max(weaker, g.Jerk(dir)/min(g.Jerk(there), g.Jerk(back)))
	}
	along = run*weaker - straight
	there, back = slants(dir, half, along)
	fits := weaker < mostWeaker && min(g.MaxSpeed(there), g.MaxSpeed(back)) >= v &&
		min(g.CornerSpeed2(dir, there), g.CornerSpeed2(back, dir)) >= v*v
	return along, fits
}

// mostWeaker is how much weaker the axes may be along a slant than along its row.
const mostWeaker = 1.2

// slants returns the directions of a slant outwards and of the one that leads on from
// it, mirrored, both as run outwards.
func slants(dir path.Point, half, along float64) (there, back path.Point) {
	normal := path.Point{X: -dir.Y, Y: dir.X}.Mul(half)
	there, back = dir.Mul(along).Add(normal), dir.Mul(along).Sub(normal)
	return there.Mul(1 / there.Len()), back.Mul(1 / back.Len())
}

// restToRest returns the least seconds of a travel move by d, from rest to rest.
func restToRest(g *machine.Gantry, d path.Point) float64 {
	length := d.Len()
	dir := d.Mul(1 / length)
	speed, accel := min(g.RapidMMPerS, g.MaxSpeed(dir)), g.Accel(dir)
	if length*accel < speed*speed {
		return 2 * math.Sqrt(length/accel)
	}
	return length/speed + speed/accel
}
