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
		px := l.px(f, w.view, diagonal)
		p.lengths, p.sum = append(p.lengths, px), p.sum+px
	}
	if !(p.sum > 0 && p.sum < maxUser) {
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

// dash cuts lines into dashes. Each subpath starts the pattern anew; a closed
// one whose first and last dash touch keeps them in one piece.
func (w *walker) dash(n *node, lines []polyline, p dashPattern) []polyline {
	total := 0.0
	for i := range lines {
		total += lines[i].length()
	}
	p = p.scaled(total)
	var out []polyline
	for i := range lines {
		count := lines[i].length() / p.sum * float64(len(p.lengths))
		if !(float64(w.dashes)+count < maxDashes) {
			w.limit(n, "more than %d dashes", maxDashes)
			return nil
		}
		w.dashes += int(count)
		out = append(out, p.cut(&lines[i])...)
	}
	return out
}

func (l *polyline) length() float64 {
	sum := 0.0
	for i := range l.legs {
		sum += l.legs[i].length
	}
	return sum
}

// dasher walks along one polyline.
type dasher struct {
	dashPattern
	index int     // of the current length
	left  float64 // of it
	out   []polyline
	cur   *polyline // the dash being drawn, nil in a gap
}

func (p dashPattern) cut(l *polyline) []polyline {
	d := dasher{dashPattern: p, left: p.lengths[0]}
	for skip := p.offset; skip > 0; {
		step := min(skip, d.left)
		if skip, d.left = skip-step, d.left-step; d.left <= 0 {
			d.next()
		}
	}
	at := l.start
	first := d.on()
	if first {
		d.begin(at)
	}
	for i := range l.legs {
		d.leg(at, l.legs[i])
		at = l.legs[i].to
	}
	if l.closed && first && d.cur != nil {
		d.wrap()
	}
	return d.out
}

func (d *dasher) on() bool { return d.index%2 == 0 }

func (d *dasher) next() {
	d.index = (d.index + 1) % len(d.lengths)
	d.left = d.lengths[d.index]
}

func (d *dasher) begin(at path.Point) {
	d.out = append(d.out, polyline{start: at})
	d.cur = &d.out[len(d.out)-1]
}

// leg cuts one leg at the pattern's changes.
func (d *dasher) leg(from path.Point, g leg) {
	done := 0.0
	for g.length-done > d.left {
		done += d.left
		at := from.Add(g.in.Mul(done))
		d.extend(at, g, d.left)
		d.next()
		g.smooth = true
		if d.cur = nil; d.on() {
			d.begin(at)
		}
	}
	d.left -= g.length - done
	d.extend(g.to, g, g.length-done)
}

func (d *dasher) extend(to path.Point, g leg, length float64) {
	if d.cur != nil {
		d.cur.legs = append(d.cur.legs, leg{to: to, in: g.in, out: g.out, length: length, smooth: g.smooth})
	}
}

// wrap joins the last dash of a closed line to the first.
func (d *dasher) wrap() {
	n := len(d.out)
	if n == 1 {
		d.out[0].closed = true
		return
	}
	last := d.out[n-1]
	d.out[0] = polyline{start: last.start, legs: append(last.legs, d.out[0].legs...)}
	d.out = d.out[:n-1]
}
