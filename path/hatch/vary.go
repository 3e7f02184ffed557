package hatch

import (
	"math"
	"slices"

	"furrow/path"
)

// Where gradients lie, what shows changes between the crossings of a row. Their
// stops, the ends of their spread and the middles of their circles cut the row
// into pieces on which every paint is smooth; each piece is asked at probes+1
// places, and where two neighbours differ the change between them is bracketed to
// within weld. On a piece each channel of one linear gradient over one paint is a
// parabola, so that a summit between probes is looked for there too; what can be
// missed is two changes within an eighth of a piece where several gradients meet.
const probes = 8

// maxCuts bounds the cuts that one gradient makes in one stretch of a row: beyond
// it, a gradient repeats more finely than any mark.
const maxCuts = 4096

// line is the row that a painter is on: from a along the unit vector dir.
type line struct{ a, dir path.Point }

func (l line) at(x float64) path.Point { return l.a.Add(l.dir.Mul(x)) }

// changes calls note with what is at x0, and at every place up to x1 from which on
// marking or the topmost layer is another than before.
func (p *painter) changes(x0, x1 float64, note func(is probe)) {
	p.cutRow(x0, x1)
	was := p.ask(x0 + float64((p.cuts[1]-x0)*nearEnd))
	note(probe{x: x0, marked: was.marked, top: was.top, margin: was.margin})
	for i := 1; i < len(p.cuts); i++ {
		if a, b := p.cuts[i-1], p.cuts[i]; b-a > weld {
			was = p.piece(a, b, was, note)
		}
	}
}

// nearEnd is how far from the ends of a piece its first and last probes are, of its
// length: at the ends themselves the next piece may have begun.
const nearEnd = 1e-6

// probe is what was found at a place of a row.
type probe struct {
	x      float64
	marked bool
	top    int32
	margin float64 // how far the least channel is above the threshold
}

func (p *painter) ask(x float64) probe {
	p.place = p.line.at(x)
	return probe{x: x, marked: p.composed(), top: p.topmost, margin: p.margin}
}

// piece tells the changes on a piece without cuts.
func (p *painter) piece(a, b float64, was probe, note func(is probe)) probe {
	var u, v probe // the two before
	for k := range probes + 1 {
		w := p.ask(a + float64((b-a)*min(max(float64(k)/probes, nearEnd), 1-nearEnd)))
		if k > 1 && u.marked == v.marked && v.marked == w.marked {
			if peak, ok := summit(u, v, w); ok {
				was = p.tell(was, p.ask(peak), note)
			}
		}
		was = p.tell(was, w, note)
		u, v = v, w
	}
	return was
}

// tell brackets a change between two probes, if there is one. Where another layer
// becomes topmost, marking may change on either side of that.
func (p *painter) tell(was, is probe, note func(is probe)) probe {
	if was.top != is.top {
		u, v := p.bracket(was, is, func(a, b *probe) bool { return a.top == b.top })
		p.tellSame(was, u, note)
		note(v)
		was = v
	}
	p.tellSame(was, is, note)
	return is
}

func (p *painter) tellSame(was, is probe, note func(is probe)) {
	if was.marked != is.marked {
		_, v := p.bracket(was, is, func(a, b *probe) bool { return a.marked == b.marked })
		note(v)
	}
}

// bracket narrows two probes that are not alike to weld.
func (p *painter) bracket(u, v probe, alike func(a, b *probe) bool) (probe, probe) {
	for v.x-u.x > weld {
		m := (u.x + v.x) / 2
		if m <= u.x || m >= v.x {
			break
		}
		if w := p.ask(m); alike(&u, &w) {
			u = w
		} else {
			v = w
		}
	}
	return u, v
}

// summit returns the top of the parabola through three probes where that may lie
// beyond the threshold and they do not: a summit between probes.
func summit(u, v, w probe) (x float64, ok bool) {
	rise, fall := v.margin-u.margin, v.margin-w.margin
	if !(rise*fall > 0) || rise*v.margin >= 0 {
		return 0, false
	}
	h := (w.x - u.x) / 2
	return v.x + float64(h*(rise-fall)/(2*(rise+fall))), true
}

// cutRow sets p.cuts to x0, x1 and all cuts of the gradients between.
func (p *painter) cutRow(x0, x1 float64) {
	p.cuts = append(p.cuts[:0], x0, x1)
	for _, id := range p.inside {
		if r := p.f.layers[id].ramp; r != nil {
			p.cuts = cutBy(r, p.line, x0, x1, p.cuts)
		}
	}
	slices.Sort(p.cuts)
}

// cutBy appends the cuts of one gradient.
func cutBy(r *path.Gradient, l line, x0, x1 float64, out []float64) []float64 {
	u := line{r.Unit.Apply(l.a), r.Unit.ApplyVector(l.dir)}
	inner := []float64{x0, x1}
	if r.Radial {
		inner = append(inner, nearestTurns(r, u)...)
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, x := range inner {
		if x = min(max(x, x0), x1); x > x0 && x < x1 {
			out = append(out, x)
		}
		if t, ok := r.Offset(l.at(x)); ok {
			lo, hi = min(lo, t), max(hi, t)
		}
	}
	eachOffset(r, lo, hi, func(t float64) {
		for _, x := range meets(r, u, t) {
			if x > x0 && x < x1 {
				out = append(out, x)
			}
		}
	})
	return out
}

// eachOffset calls do with the offsets from lo to hi at which the paint of a
// gradient bends.
func eachOffset(r *path.Gradient, lo, hi float64, do func(t float64)) {
	if r.Spread == path.Pad {
		lo, hi = max(lo, 0), min(hi, 1)
	}
	if !(hi-lo < maxCuts/float64(len(r.Stops)+2)) {
		return
	}
	for n := math.Floor(lo); n <= hi; n++ {
		turned := r.Spread == path.Reflect && math.Mod(n, 2) != 0
		do(n)
		for _, s := range r.Stops {
			t := s.Offset
			if turned {
				t = 1 - t
			}
			do(n + t)
		}
	}
}

// meets returns where a line in a gradient's own plane comes to offset t.
func meets(r *path.Gradient, u line, t float64) []float64 {
	if !r.Radial {
		if u.dir.X == 0 {
			return nil
		}
		return []float64{(t - u.a.X) / u.dir.X}
	}
	v := u.a.Sub(r.Focus.Mul(1 - t))
	radius := r.Start + float64(t*(1-r.Start))
	a, b, c := u.dir.Dot(u.dir), u.dir.Dot(v), v.Dot(v)-float64(radius*radius)
	root := float64(b*b) - float64(a*c)
	if root < 0 || a == 0 {
		return nil
	}
	root = math.Sqrt(root)
	return []float64{(-b - root) / a, (-b + root) / a}
}

// nearestTurns returns where a line touches one of the circles of a radial
// gradient, so that the offset along it turns round, on either side.
func nearestTurns(r *path.Gradient, u line) []float64 {
	length := u.dir.Len()
	if length == 0 {
		return nil
	}
	normal := path.Point{X: -u.dir.Y / length, Y: u.dir.X / length}
	away, focus, grow := normal.Dot(u.a.Sub(r.Focus)), normal.Dot(r.Focus), 1-r.Start
	var out []float64
	for _, side := range [...]float64{1, -1} {
		if t := (r.Start - float64(side*away)) / (float64(side*focus) - grow); !math.IsInf(t, 0) && !math.IsNaN(t) {
			v := u.a.Sub(r.Focus.Mul(1 - t))
			out = append(out, -v.Dot(u.dir)/float64(length*length))
		}
	}
	return out
}
