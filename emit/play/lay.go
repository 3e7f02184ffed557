package play

import "time"

// until lays the samples before a moment.
func (s *sampler) until(t time.Duration) {
	for len(s.legs) > 0 && s.err == nil {
		l := s.legs[0]
		rests := t // the mirrors stay until the next leg starts
		if len(s.legs) > 1 {
			rests = min(t, s.legs[1].start)
		}
		s.along(l, min(t, l.end))
		s.rest(l, rests)
		if len(s.legs) == 1 || s.legs[1].start > t {
			return
		}
		s.legs = s.legs[1:]
	}
}

// along lays samples on a leg under way, before a moment.
func (s *sampler) along(l leg, before time.Duration) {
	end := firstAt(before, s.rate)
	if s.next >= end {
		return
	}
	long := float64(l.end - l.start)
	vx, vy := (l.to.X-l.from.X)/long, (l.to.Y-l.from.Y)/long
	ns := 1e9 / float64(s.rate)
	for s.next < end && s.err == nil {
		n, power, open := s.stretch(end, l.jump)
		for part := s.room(n); len(part) > 0; part = s.room(n) {
			for i := range part {
				t := float64(float64(s.next+int64(i))*ns) - float64(l.start)
				part[i] = Sample{X: l.from.X + float64(t*vx), Y: l.from.Y + float64(t*vy), Power: power, Gate: open}
			}
			n -= int64(len(part))
			s.took(len(part))
		}
	}
}

// rest lays samples at the end of a leg, before a moment.
func (s *sampler) rest(l leg, before time.Duration) {
	end := firstAt(before, s.rate)
	for s.next < end && s.err == nil {
		n, power, open := s.stretch(end, false)
		for part := s.room(n); len(part) > 0; part = s.room(n) {
			for i := range part {
				part[i] = Sample{X: l.to.X, Y: l.to.Y, Power: power, Gate: open}
			}
			n -= int64(len(part))
			s.took(len(part))
		}
	}
}

// stretch returns how many samples from the next on, and before end, share a state
// of the gate, and that state.
func (s *sampler) stretch(end int64, jump bool) (n int64, power float64, open bool) {
	for len(s.gates) > 0 && firstAt(s.gates[0].close, s.rate) <= s.next {
		s.gates = s.gates[1:]
	}
	g := s.open
	switch {
	case jump || !s.lit && len(s.gates) == 0:
		return end - s.next, 0, false
	case len(s.gates) > 0:
		g = s.gates[0]
	}
	if opens := firstAt(g.open, s.rate); opens > s.next {
		return min(end, opens) - s.next, 0, false
	}
	if len(s.gates) > 0 {
		end = min(end, firstAt(g.close, s.rate))
	}
	return end - s.next, g.power, true
}

// room returns a piece of the block for at most n samples; none at all once there
// is an error.
func (s *sampler) room(n int64) []Sample {
	if s.err != nil {
		return nil
	}
	full := len(s.buf)
	return s.buf[full:min(int64(cap(s.buf)), int64(full)+n)]
}

// took counts samples into the block, and hands a full one out.
func (s *sampler) took(n int) {
	s.next += int64(n)
	s.buf = s.buf[:len(s.buf)+n]
	if len(s.buf) == cap(s.buf) {
		s.err = s.block(s.buf)
		s.buf = s.buf[:0]
	}
}
