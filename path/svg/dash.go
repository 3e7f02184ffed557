package svg

import (
	"math"

	"furrow/path"
)

// dashPattern is lengths in user units, marked and unmarked in turn.
type dashPattern struct {
	lengths []float64
	sum     float64
	offset  float64 // 0 <= offset < sum
	author  float64 // pathLength, 0 when not given
}

func (w *walker) dashPattern(n *node, s *style) dashPattern {
	var p dashPattern
	f := w.metrics(s)
	for _, l := range s.dashes {
		px := max(0, l.px(f, w.view, diagonal)) // CSS Values 4, 10.12: a calculation is clamped to what is allowed
		p.lengths, p.sum = append(p.lengths, px), p.sum+px
	}
	if !(p.sum < maxUser) {
		return dashPattern{}
	}
	p.offset = s.dashOffset.px(f, w.view, diagonal)
	if v, _ := scanNumber(n.attr("pathLength")); v > 0 {
		p.author = v
	}
	return p
}

// scaled returns the pattern for a path of the given length.
func (p dashPattern) scaled(length float64) dashPattern {
	k := 1.0
	if p.author > 0 && length > 0 {
		k = length / p.author
	}
	q := dashPattern{sum: p.sum * k, offset: math.Mod(p.offset, p.sum) * k}
	for _, l := range p.lengths {
		q.lengths = append(q.lengths, l*k)
	}
	if q.offset < 0 {
		q.offset += q.sum
	}
	return q
}

// dash is a piece of a line that is drawn.
type dash struct {
	path.Path
	along path.Point // where it begins: what turns the caps of one that has no length
}

// dash cuts p into dashes. Each subpath starts the pattern anew; a closed one
// whose first and last dash touch keeps them in one piece.
func (w *walker) dash(n *node, p path.Path, pattern dashPattern, tolerance float64) []dash {
	lines, total := measure(p, tolerance), 0.0
	for i := range lines {
		total += lines[i].length
	}
	pattern = pattern.scaled(total)
	var out []dash
	for i := range lines {
		count := lines[i].length / pattern.sum * float64(len(pattern.lengths))
		if !(float64(w.dashes)+count < maxDashes) {
			w.limit(n, "more than %d dashes", maxDashes)
			return nil
		}
		w.dashes += int(count)
		out = append(out, pattern.cut(&lines[i], tolerance/1000)...)
	}
	return out
}

// dasher walks along one line.
type dasher struct {
	dashPattern
	least float64 // what is shorter is nothing
	index int     // of the current length
	left  float64 // of it
	out   []dash
}

func (p dashPattern) cut(l *measuredLine, least float64) []dash {
	d := dasher{dashPattern: p, least: least, left: p.lengths[0]}
	for skip := p.offset; skip > 0; {
		step := min(skip, d.left)
		if skip, d.left = skip-step, d.left-step; d.left <= 0 {
			d.next()
		}
	}
	first := d.on()
	if first {
		d.begin(l.start, l.direction())
	}
	for i := range l.segments {
		d.segment(&l.segments[i])
	}
	if l.closed && first && d.on() {
		d.wrap()
	}
	return d.out
}

func (d *dasher) on() bool { return d.index%2 == 0 }

func (d *dasher) next() {
	d.index = (d.index + 1) % len(d.lengths)
	d.left = d.lengths[d.index]
}

func (d *dasher) begin(at, along path.Point) {
	d.out = append(d.out, dash{along: along})
	d.out[len(d.out)-1].MoveTo(at)
}

// segment cuts one segment at the pattern's changes.
func (d *dasher) segment(s *segment) {
	done, t := 0.0, 0.0
	for s.length-done > d.left+d.least {
		done += d.left
		to := s.parameter(done)
		d.extend(s, t, to, d.left)
		d.next()
		if t = to; d.on() {
			d.begin(s.place(t))
		}
	}
	d.extend(s, t, 1, s.length-done)
	d.left -= s.length - done
}

func (d *dasher) extend(s *segment, from, to, length float64) {
	if d.on() && length > d.least {
		s.appendTo(&d.out[len(d.out)-1].Path, from, to)
	}
}

// wrap joins the last dash of a closed line to the first.
func (d *dasher) wrap() {
	n := len(d.out) - 1
	if n == 0 {
		d.out[0].Close()
		return
	}
	first, last := &d.out[0], &d.out[n]
	last.Verbs, last.Points = append(last.Verbs, first.Verbs[1:]...), append(last.Points, first.Points[1:]...)
	*first, d.out = *last, d.out[:n]
}

// centreOf returns dashes as one path.
func centreOf(dashes []dash) path.Path {
	var p path.Path
	for i := range dashes {
		d := &dashes[i]
		p.Verbs, p.Points = append(p.Verbs, d.Verbs...), append(p.Points, d.Points...)
		if len(d.Verbs) == 1 {
			p.LineTo(d.Points[0])
		}
	}
	return p
}
