package clock

import (
	"math"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
)

// openMark is the last mark until the next move is known. In a sweep, between
// two moves with the beam off, a mark truly begins and ends where latency and
// backlash put it, which is where it was drawn: see emit.AsMarked.
type openMark struct {
	is       bool
	straight bool
	from, to path.Point
	way      path.Rect // of an arc
	length   float64
	dir      path.Point
	lead     machine.Lead
}

func (m *openMark) start(s *segment, afterGap bool, g *machine.Gantry) {
	*m = openMark{
		is: true, straight: s.move.Turn == emit.Straight,
		from: s.from, to: s.move.To, length: s.length, dir: s.in,
	}
	if !m.straight {
		m.way = s.move.Bounds(s.from)
		return
	}
	m.lead = g.Lead(s.in, s.move.Speed)
	if afterGap {
		m.from = m.from.Sub(m.dir.Mul(m.lead.On)).Sub(m.lead.All)
		m.length += m.lead.On
	}
}

// close books the mark, when the next move is known to be a gap or not.
func (m *openMark) close(beforeGap bool, r *Report) {
	if !m.is {
		return
	}
	m.is = false
	if m.straight && beforeGap {
		m.to = m.to.Sub(m.dir.Mul(m.lead.Off)).Sub(m.lead.All)
		m.length -= m.lead.Off
	}
	r.MarkMM += m.length
	r.Marks = r.Marks.Include(trim(m.from)).Include(trim(m.to))
	if !m.straight {
		r.Marks = r.Marks.Union(m.way)
	}
}

// trim rounds to a nanometre, so that a shift there and back leaves no trace.
func trim(p path.Point) path.Point {
	return path.Point{X: math.Round(p.X*1e6)/1e6 + 0, Y: math.Round(p.Y*1e6)/1e6 + 0}
}
