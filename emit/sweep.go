package emit

import (
	"math"

	"furrow/emit/machine"
	"furrow/path"
)

// sweep is one straight run over the spans of a row.
type sweep struct {
	first, end int    // its strokes
	set        uint16 // their setting
	enter      RowEnd // where its first span begins
	leave      RowEnd // where its last one ends
	length     float64
	lead       machine.Lead
}

// RowEnd is where a row begins or ends, and how far beyond it the head has to go.
type RowEnd struct {
	At       path.Point // with what lost motion moves it by
	Dir      path.Point // of the row, of unit length
	Speed    float64    // mm/s
	Run      float64    // run-up or run-out, mm
	Straight float64    // as much of that as lies in line with the row, so that no mark leaves it, mm
}

// leastStraight is the least length of a run-up that lies in line with its row, mm,
// besides what the beam's delay takes.
const leastStraight = 0.1

// NewRowEnd returns the end at of a row that is marked along dir at a speed, mm/s.
func NewRowEnd(g *machine.Gantry, at, dir path.Point, speed float64) RowEnd {
	l := g.Lead(dir, speed)
	late := max(math.Abs(l.On), math.Abs(l.Off))
	run := g.RunUp(dir, speed) + late
	return RowEnd{
		At: at.Add(l.All), Dir: dir, Speed: speed, Run: run,
		Straight: min(run, late+max(g.OvertravelMarginMM, leastStraight)),
	}
}

// sweepAt returns the sweep that begins with stroke i; false where that is none, or has
// no length.
func (p *gantryPlanner) sweepAt(i int) (s sweep, ok bool) {
	if i >= len(p.prog.Strokes) || p.prog.Strokes[i].Kind != path.SpanStroke {
		return s, false
	}
	s = sweep{first: i, end: i + p.sweepLen(i), set: p.prog.Strokes[i].Setting}
	a, b := p.prog.PointsOf(i)[0], p.prog.PointsOf(s.end - 1)[1]
	if s.length = b.Dist(a); s.length == 0 {
		return s, false
	}
	dir, speed := b.Sub(a).Mul(1/s.length), p.prog.Settings[s.set].SpeedMMPerS
	s.lead = p.gantry.Lead(dir, speed)
	s.enter, s.leave = NewRowEnd(&p.gantry, a, dir, speed), NewRowEnd(&p.gantry, b, dir, speed)
	return s, true
}

// along returns the place x mm behind the start of the sweep.
func (s *sweep) along(x float64) path.Point { return s.enter.At.Add(s.enter.Dir.Mul(x)) }

// sweep plans the spans of a row in the sequence in which they are met. The head
// stands at its run-up's straight part already where it came by a sidestep.
func (p *gantryPlanner) sweep(s *sweep, came bool, next Sidestep, goes bool) {
	speed := s.enter.Speed
	off := Move{Kind: Gap, Speed: speed, Setting: s.set}
	on := Move{Kind: Mark, Speed: speed, Setting: s.set}
	if !came {
		p.move(Move{Kind: Travel, To: s.along(-s.enter.Run), Setting: s.set})
		p.rest(s.first)
	}
	a, last := p.prog.PointsOf(s.first)[0], math.Inf(-1)
	for i := s.first; i < s.end; i++ {
		*p.now = i
		pts := p.prog.PointsOf(i)
		from := max(last, pts[0].Sub(a).Dot(s.enter.Dir)+s.lead.On)
		if i > s.first {
			p.gap(s, last, from)
		}
		last = max(from+p.grid.StepMM(), pts[1].Sub(a).Dot(s.enter.Dir)+s.lead.Off)
		off.To, on.To, on.Power = s.along(from), s.along(last), p.grid.Power(p.prog.PowerOf(i))
		p.move(off)
		p.move(on)
	}
	if !goes {
		off.To = s.along(s.length + s.leave.Run)
		p.move(off)
		return
	}
	for _, off.To = range next.Points {
		p.move(off)
	}
}

// gap hastens the head over a gap between two spans, from x to x mm along the sweep,
// where that pays.
func (p *gantryPlanner) gap(s *sweep, from, to float64) {
	r := s.leave
	fast, inner := HastenedGap(&p.gantry, r.Dir, r.Speed, to-from-2*r.Straight)
	if inner == 0 || inner < p.shortestS*fast || r.Straight < p.shortestS*r.Speed {
		return
	}
	off := Move{Kind: Gap, Speed: r.Speed, Setting: s.set, To: s.along(from + r.Straight)}
	p.move(off)
	off.Speed, off.To = p.grid.Speed(fast), s.along(to-r.Straight)
	p.move(off)
}

// worthHastening is the least that a faster gap has to save, s: what two more lines
// take over a slow link.
const worthHastening = 0.003

// ofMaxSpeed leaves room for the rounding of directions to the grid.
const ofMaxSpeed = 0.99

// HastenedGap returns the speed, mm/s, at which to cross a gap along dir between spans
// that are marked at a speed, and how much of mm is crossed so: all, or 0 where it does
// not pay. The head gains speed and loses it again within the gap.
func HastenedGap(g *machine.Gantry, dir path.Point, speed, mm float64) (fast, hastened float64) {
	fast = min(g.RapidMMPerS, ofMaxSpeed*g.MaxSpeed(dir))
	if fast <= speed || mm <= 0 {
		return speed, 0
	}
	if saved := mm/speed - crossing(mm, speed, fast, g.Accel(dir)); saved < worthHastening {
		return speed, 0
	}
	return fast, mm
}

// crossing returns the seconds over mm that begin and end at a speed, and reach no more
// than fast: with a limit of the jerk it takes longer, but never as long as at speed.
func crossing(mm, speed, fast, accel float64) float64 {
	peak := min(fast, math.Sqrt(speed*speed+accel*mm))
	ramps := (peak*peak - speed*speed) / accel // mm
	return 2*(peak-speed)/accel + (mm-ramps)/peak
}
