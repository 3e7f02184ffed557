package emit

import (
	"iter"

	"furrow/emit/lens"
	"furrow/emit/machine"
	"furrow/path"
)

// fieldMap takes a place that the beam should go to to the one it is sent to:
// first the trim by scale, turn and offset, then the lens correction. Its zero
// value is not ready; see newFieldMap.
type fieldMap struct {
	machine      string  // id of the profile
	steps        float64 // of the file's grid in a mm
	trim, untrim path.Matrix
	lens         *lens.Correction // nil without a grid
}

// newFieldMap returns the map of a galvo's profile, and false if it changes nothing.
func newFieldMap(p machine.Profile) (fieldMap, bool, error) {
	g := p.Galvo
	s := g.FieldScale
	if s == [2]float64{} {
		s = [2]float64{1, 1}
	}
	f := fieldMap{
		machine: p.ID, steps: p.StepsPerMM(),
		trim: path.Translate(g.FieldOffsetMM[0], g.FieldOffsetMM[1]).
			Mul(path.Rotate(g.FieldRotateDegrees)).Mul(path.Scale(s[0], s[1])),
		untrim: path.Scale(1/s[0], 1/s[1]).Mul(path.Rotate(-g.FieldRotateDegrees)).
			Mul(path.Translate(-g.FieldOffsetMM[0], -g.FieldOffsetMM[1])),
	}
	if len(g.Samples) == 0 {
		return f, f.trim != path.Identity, nil
	}
	c, err := lens.Fit(g.Samples)
	f.lens = c
	return f, true, err
}

func (f fieldMap) apply(want path.Point) (path.Point, error) {
	p := f.trim.Apply(want)
	if f.lens == nil {
		return p, nil
	}
	send, ok := f.lens.Apply(p)
	if !ok {
		return p, &CoverError{f.machine, want}
	}
	return send, nil
}

func (f fieldMap) undo(sent path.Point) path.Point {
	if f.lens != nil {
		sent = f.lens.Undo(sent)
	}
	return f.untrim.Apply(sent)
}

// cutMM is how far a piece may leave the corrected curve: 2 µm less what is lost
// to rounding to the grid and to looking at three places only.
const cutMM = 0.0018

// play returns the moves as they have to be sent. Marks and gaps are straight
// where the beam goes, and so curved where it is sent; they are cut into short
// straight pieces.
func (f fieldMap) play(moves iter.Seq2[Move, error]) iter.Seq2[Move, error] {
	return func(yield func(Move, error) bool) {
		c := corrector{fieldMap: f, yield: yield}
		for mv, err := range moves {
			if err != nil {
				yield(Move{}, err)
				return
			}
			if !c.move(mv) {
				return
			}
		}
	}
}

type corrector struct {
	fieldMap
	yield func(Move, error) bool
	want  path.Point // where the last move ends
	sent  path.Point // what that is sent to, before rounding
	at    path.Point // and after
	last  Kind
	moved bool
}

// move sends one move and reports whether more is wanted.
func (c *corrector) move(mv Move) bool {
	sent, err := c.apply(mv.To)
	if err != nil {
		c.yield(Move{}, err)
		return false
	}
	from, want, fromSent := c.want, mv.To, c.sent
	cut := mv.Kind == Mark || mv.Kind == Gap || mv.Kind == Guide && c.last == Guide
	c.want, c.sent, c.last = want, sent, mv.Kind
	if !cut || c.lens == nil {
		return c.send(mv, sent)
	}
	return c.cut(mv, from, want, fromSent, sent, maxCuts)
}

// maxCuts bounds the halvings of one move: a field's width in steps of 0.1 µm.
const maxCuts = 22

// cut sends the line from a to b, whose ends are sent to sa and sb, in pieces.
func (c *corrector) cut(mv Move, a, b, sa, sb path.Point, depth int) bool {
	mid := a.Add(b).Mul(0.5)
	smid, err := c.apply(mid)
	straight := err == nil && offLine(smid, sa, sb) <= cutMM
	for _, t := range [...]float64{0.25, 0.75} {
		if !straight {
			break
		}
		var q path.Point
		q, err = c.apply(a.Add(b.Sub(a).Mul(t)))
		straight = err == nil && offLine(q, sa, sb) <= cutMM
	}
	if err != nil {
		c.yield(Move{}, err)
		return false
	}
	if straight || depth == 0 {
		return c.send(mv, sb)
	}
	return c.cut(mv, a, mid, sa, smid, depth-1) && c.cut(mv, mid, b, smid, sb, depth-1)
}

// offLine returns the distance of q from the line through a and b.
func offLine(q, a, b path.Point) float64 {
	d := b.Sub(a)
	if l := d.Len(); l > 0 {
		return max(q.Sub(a).Cross(d), d.Cross(q.Sub(a))) / l
	}
	return q.Dist(a)
}

// send yields a move to a place, unless it has no length on the grid.
func (c *corrector) send(mv Move, to path.Point) bool {
	mv.To = snap(to, c.steps)
	moves := mv.Kind <= Gap || mv.Kind == Guide
	if moves && c.moved && mv.To == c.at {
		return true
	}
	c.at, c.moved = mv.To, c.moved || moves
	return c.yield(mv, nil)
}

// Corrected returns the moves of a list as the mirrors have to be sent, and whether they
// differ: where the list says that its places are not corrected, and the profile has a
// correction. A list that is bare on purpose, as the crosses are by which a field is
// measured, stays as it is. Places beyond what the correction or the field covers are
// errors, that of the first of them.
func Corrected(m Moves, p machine.Profile) (Moves, bool, error) {
	if !m.IsList() || m.Header.Corrected || m.Header.Bare || !p.IsGalvo() {
		return m, false, nil
	}
	sent, err := correct(m, p)
	if err != nil || !sent.Header.Corrected {
		return m, false, err
	}
	return sent, true, checkField(sent, p)
}

// Undo returns the map from where the beam is sent to where it goes, on the grid
// of the file: what a correction in the moves is undone by. Without one, or
// without the profile that it came from, it changes nothing.
func (m Moves) Undo(p machine.Profile) func(path.Point) path.Point {
	if m.Header.Corrected && p.IsGalvo() {
		if f, needed, err := newFieldMap(p); err == nil && needed {
			return func(sent path.Point) path.Point { return snap(f.undo(sent), f.steps) }
		}
	}
	return func(sent path.Point) path.Point { return sent }
}

// uncorrected returns moves whose coordinates say where the beam goes, of moves
// that say where it is sent.
func uncorrected(m Moves, p machine.Profile) Moves {
	if !m.Header.Corrected || !p.IsGalvo() {
		return m
	}
	undo, sent := m.Undo(p), m.All()
	m.Header.Corrected = false
	m.Play = func(yield func(Move, error) bool) {
		for mv, err := range sent {
			mv.To = undo(mv.To)
			if !yield(mv, err) {
				return
			}
		}
	}
	return m
}
