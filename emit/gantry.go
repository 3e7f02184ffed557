package emit

import (
	"iter"
	"math"

	"furrow/path"
)

// planGantry makes one straight run of each sweep, with run-up before its first
// span and run-out behind its last, and follows each polyline.
func planGantry(prog path.Program, g Gantry) iter.Seq2[Move, error] {
	return func(yield func(Move, error) bool) {
		p := gantryPlanner{prog: prog, gantry: g, yield: yield}
		for i := 0; i < len(prog.Strokes) && !p.stopped; {
			n := p.sweepLen(i)
			if prog.Strokes[i].Kind == path.SpanStroke {
				p.sweep(i, i+n)
			} else {
				p.line(i)
			}
			i += n
		}
	}
}

type gantryPlanner struct {
	prog    path.Program
	gantry  Gantry
	yield   func(Move, error) bool
	at      path.Point
	stopped bool
}

// sweepLen returns how many strokes from i on belong to one sweep.
func (p *gantryPlanner) sweepLen(i int) int {
	s, n := p.prog.Strokes[i], 1
	for s.Sweep > 0 && i+n < len(p.prog.Strokes) && p.prog.Strokes[i+n].Sweep == s.Sweep {
		n++
	}
	return n
}

func (p *gantryPlanner) move(mv Move) {
	mv.To = snap(mv.To, gantryStepsPerMM)
	if p.stopped || mv.To == p.at && mv.Kind != Travel {
		return
	}
	p.at = mv.To
	p.stopped = !p.yield(mv, nil)
}

func (p *gantryPlanner) sweep(i, end int) {
	first := p.prog.PointsOf(i)
	last := p.prog.PointsOf(end - 1)
	set := p.prog.Strokes[i].Setting
	s := p.prog.Settings[set]
	a, b := first[0], last[1]
	dir := b.Sub(a).Mul(1 / b.Dist(a))
	run := dir.Mul(p.gantry.RunUp(dir, s.SpeedMMPerS))
	off := Move{Kind: Gap, Speed: s.SpeedMMPerS, Setting: set}
	on := Move{Kind: Mark, Speed: s.SpeedMMPerS, Power: s.Power, Setting: set}
	p.move(Move{Kind: Travel, To: a.Sub(run), Setting: set})
	for ; i < end; i++ {
		pts := p.prog.PointsOf(i)
		off.To, on.To = pts[0], pts[1]
		p.move(off)
		p.move(on)
	}
	off.To = b.Add(run)
	p.move(off)
}

func (p *gantryPlanner) line(i int) {
	pts := p.prog.PointsOf(i)
	set := p.prog.Strokes[i].Setting
	s := p.prog.Settings[set]
	p.move(Move{Kind: Travel, To: pts[0], Setting: set})
	for _, q := range pts[1:] {
		p.move(Move{Kind: Mark, To: q, Speed: s.SpeedMMPerS, Power: s.Power, Setting: set})
	}
}

// RunUp returns the length, mm, that the head needs to reach speed v (mm/s)
// along dir (of unit length) from rest, with the profile's margin.
func (g Gantry) RunUp(dir path.Point, v float64) float64 {
	return v*v/(2*g.Accel(dir)) + g.OvertravelMarginMM
}

// Accel returns the acceleration, mm/s2, along dir (of unit length): the most
// that keeps both axes within their limits.
func (g Gantry) Accel(dir path.Point) float64 { return axisLimit(g.AccelMMPerS2, dir) }

// MaxSpeed returns the greatest speed, mm/s, along dir (of unit length).
func (g Gantry) MaxSpeed(dir path.Point) float64 { return axisLimit(g.MaxSpeedMMPerS, dir) }

func axisLimit(limit [2]float64, dir path.Point) float64 {
	return min(limit[0]/math.Abs(dir.X), limit[1]/math.Abs(dir.Y))
}
