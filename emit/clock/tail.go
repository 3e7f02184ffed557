package clock

import (
	"math"
	"sync/atomic"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/route"
)

// run is the run-out of rows along a direction at a speed, or their run-up.
type run struct {
	dir   path.Point
	asked float64 // mm/s
	lead  machine.Lead
	leg           // entered at the speed of the row, or as fast as it can stop from
	end   float64 // of it that lies in line with the row in a sidestep, mm
	restS float64 // seconds to rest
}

func newRun(g *machine.Gantry, dir path.Point, asked float64) *run {
	end := emit.NewRowEnd(g, path.Point{}, dir, asked)
	r := &run{dir: dir, asked: asked, lead: g.Lead(dir, asked), end: end.Straight}
	r.leg = leg{moves: 1, length: end.Run, speed: min(asked, g.MaxSpeed(dir)), accel: g.Accel(dir), jerk: g.Jerk(dir)}
	r.entry = min(square(r.speed), r.after(0))
	stop := newRamp(0, math.Sqrt(r.entry), r.accel, r.jerk)
	r.restS = stop.t + max(0, r.length-stop.length)/math.Sqrt(r.entry)
	return r
}

// runs remembers the runs of a few directions and speeds, for any number of goroutines.
type runs struct {
	gantry *machine.Gantry
	known  atomic.Pointer[[]*run]
}

// mostRuns is how many runs are remembered: rows lie along a few directions only.
const mostRuns = 64

func newRuns(g *machine.Gantry) *runs {
	r := &runs{gantry: g}
	r.known.Store(&[]*run{})
	return r
}

func (r *runs) of(dir path.Point, speed float64) *run {
	known := r.known.Load()
	for _, k := range *known {
		if k.dir == dir && k.asked == speed {
			return k
		}
	}
	made := newRun(r.gantry, dir, speed)
	if len(*known) < mostRuns {
		more := append((*known)[:len(*known):len(*known)], made)
		r.known.CompareAndSwap(known, &more) // or another goroutine has added one
	}
	return made
}

// tail is how the head leaves a stroke, or, seen backwards, comes to one.
type tail struct {
	run   *run       // of a row; nil for an outline
	at    path.Point // with what lost motion moves it by
	rest  path.Point // where a travel begins
	dir   path.Point // outwards; zero for what has no length
	entry float64    // greatest squared speed at rest
	speed float64    // of an outline, mm/s
	accel float64
	jerk  float64
}

// tail returns that of an end, whose direction is outwards times way.
func (c *gantryCost) tail(e *route.End, way float64) tail {
	t := tail{at: e.At, rest: e.At, dir: e.Dir.Mul(way)}
	switch {
	case int(e.Setting) >= len(c.settings) || e.Dir == (path.Point{}):
		return t
	case e.Kind != path.SpanStroke:
		t.speed, t.accel, t.jerk = min(c.speed(e), c.gantry.MaxSpeed(e.Dir)), c.gantry.Accel(e.Dir),
			c.gantry.Jerk(e.Dir)
		t.entry = square(t.speed)
		if e.Room > 0 {
			piece := leg{length: e.Room, accel: t.accel, jerk: t.jerk}
			t.entry = min(t.entry, piece.after(0))
		}
		return t
	}
	t.run = c.runs.of(e.Dir, c.speed(e))
	t.at = e.At.Add(t.run.lead.All)
	t.rest = t.at.Add(t.dir.Mul(t.run.length))
	t.entry = t.run.entry
	return t
}

// rowEnd returns the end of a row for the planner: with the direction in which the row
// is marked.
func (t *tail) rowEnd() emit.RowEnd {
	r := t.run
	return emit.RowEnd{At: t.at, Dir: r.dir, Speed: r.asked, Run: r.length, Straight: r.end}
}

// seconds returns how long the run takes to the squared speed exit; of an outline, what
// it loses by leaving it at no more than that.
func (t *tail) seconds(exit float64) float64 {
	if t.run == nil {
		return t.lost(exit)
	}
	switch r := t.run; {
	case exit == 0:
		return r.restS
	case exit >= r.entry:
		return r.length / r.speed
	default:
		return r.total(exit)
	}
}

// lost returns by how much longer an outline takes that ends at the squared speed exit
// and not at its greatest. With a limit of the jerk it is half way between what it is
// where corners part the outline into legs that gain speed by themselves, and where
// none do.
func (t *tail) lost(exit float64) float64 {
	if exit >= t.entry {
		return 0
	}
	top, v := math.Sqrt(t.entry), math.Sqrt(exit)
	loss := func(r ramp) float64 { return r.t - r.length/top }
	smooth := loss(newRamp(v, top, t.accel, t.jerk))
	if t.jerk == 0 || exit == 0 {
		return smooth
	}
	parted := loss(newRamp(0, top, t.accel, t.jerk)) - loss(newRamp(0, v, t.accel, t.jerk))
	return max(0, (smooth+parted)/2)
}
