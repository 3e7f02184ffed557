package route_test

import (
	"math"
	"slices"
	"testing"

	"furrow/path"
	"furrow/path/outside"

	"github.com/stretchr/testify/require"
)

// The goals were set by a study of five patterns that we have only the figures
// of. Our patterns are of the same kind if plain methods find them as hard: so
// many times the bound is what they travel. Sizes and shares of c were chosen
// by these figures, never by what this package reaches on it. They are expected
// within 15 % for rows and 8 % for the others: our bound is up to 3 % sharper
// than the study's. D and B are d and b in large, where the plain methods are
// too slow to be tried.
func TestPatternsAreAsHardAsThoseStudied(t *testing.T) {
	outside.Slow(t)
	const unknown = 0
	for i, study := range []struct{ rows, serpentine, nearest, exchanged float64 }{
		{116, 47, 1.58, 1.42}, {99.6, 36, 1.29, 1.26}, {82.7, unknown, 1.58, 1.16},
	} {
		pat := patterns[i]
		p := newPlain(pat.marks())
		alike := func(name string, want, within float64) {
			if want != unknown {
				t.Logf("%s: %-18s %6.2f, studied %6.2f", pat.name, name, p.travel()/pat.bound, want)
				require.InEpsilon(t, want, p.travel()/pat.bound, within, "%s %s", pat.name, name)
			}
		}
		alike("rows, one way", study.rows, 0.15)
		p.serpentine()
		alike("serpentine", study.serpentine, 0.15)
		p.nearest()
		alike("nearest neighbour", study.nearest, 0.08)
		p.exchange()
		alike("2-opt and Or-opt", study.exchanged, 0.08)
	}
}

// plain is a sequence of strokes, by the end that each is entered at, and the
// methods that everyone tries first. Stroke s has the ends 2s and 2s+1.
type plain struct {
	at   []path.Point // of each end
	row  []int        // of each stroke
	seq  []int
	pos  []int // of each stroke in seq
	near [][]int
}

func newPlain(m path.Marks) *plain {
	p := &plain{}
	for i := range m.Rows {
		r := &m.Rows[i]
		for k := range r.NumRows() {
			for _, s := range r.Row(k) {
				p.at = append(p.at, r.At(k, s.X0), r.At(k, s.X1))
				p.row = append(p.row, k)
			}
		}
	}
	for i, l := range m.Lines {
		p.at = append(p.at, l.Points[0], l.Points[len(l.Points)-1])
		p.row = append(p.row, i)
	}
	for s := range p.row {
		p.seq = append(p.seq, 2*s)
	}
	p.pos = make([]int, len(p.seq))
	return p
}

func (p *plain) travel() float64 {
	sum := 0.0
	for i := 1; i < len(p.seq); i++ {
		sum += p.gap(i - 1)
	}
	return sum
}

// gap returns the travel behind position i, or 0 outside of the sequence.
func (p *plain) gap(i int) float64 { return p.dist(p.out(i), p.in(i+1)) }

// in returns the end at which the stroke at position i is entered, out where it
// is left; -1 outside of the sequence.
func (p *plain) in(i int) int {
	if i < 0 || i >= len(p.seq) {
		return -1
	}
	return p.seq[i]
}

func (p *plain) out(i int) int {
	if e := p.in(i); e >= 0 {
		return e ^ 1
	}
	return -1
}

func (p *plain) dist(e, f int) float64 {
	if e < 0 || f < 0 {
		return 0
	}
	return p.at[e].Dist(p.at[f])
}

// flip turns the sequence round from position i to before j.
func (p *plain) flip(i, j int) {
	slices.Reverse(p.seq[i:j])
	for k := i; k < j; k++ {
		p.seq[k] ^= 1
		p.pos[p.seq[k]/2] = k
	}
}

// serpentine turns every other row of the rows as they come.
func (p *plain) serpentine() {
	turn := false
	for i := 0; i < len(p.seq); {
		j := i
		for j < len(p.seq) && p.row[p.seq[j]/2] == p.row[p.seq[i]/2] {
			j++
		}
		if turn {
			p.flip(i, j)
		}
		i, turn = j, !turn
	}
}

// nearest always goes on to the nearest end, from the first stroke on.
func (p *plain) nearest() {
	left := make([]int, len(p.row))
	for s := range left {
		left[s] = s
	}
	here := p.at[0]
	for i := range p.seq {
		best, which, end := math.Inf(1), 0, 0
		for k, s := range left {
			for e := 2 * s; e < 2*s+2; e++ {
				if d := here.Dist(p.at[e]); d < best {
					best, which, end = d, k, e
				}
			}
		}
		left[which] = left[len(left)-1]
		left = left[:len(left)-1]
		p.seq[i], p.pos[end/2] = end, i
		here = p.at[end^1]
	}
}

// exchange makes 2-opt and Or-opt moves, over lists of the ten nearest ends,
// until none gains.
func (p *plain) exchange() {
	p.findNear(10)
	for gained := true; gained; {
		gained = false
		for s := range p.row {
			for p.twoOpt(p.pos[s]) || p.orOpt(p.pos[s]) {
				gained = true
			}
		}
	}
}

// findNear looks for the k nearest ends of each end in squares of a grid.
func (p *plain) findNear(k int) {
	const side = 1.0
	type square struct{ x, y int }
	of := func(q path.Point) square { return square{int(math.Floor(q.X / side)), int(math.Floor(q.Y / side))} }
	grid := map[square][]int{}
	for e, q := range p.at {
		grid[of(q)] = append(grid[of(q)], e)
	}
	for e, q := range p.at {
		var found []int
		for r, c := 1, of(q); len(found) < 3*k && r < 8; r *= 2 {
			found = found[:0]
			for x := c.x - r; x <= c.x+r; x++ {
				for y := c.y - r; y <= c.y+r; y++ {
					found = append(found, grid[square{x, y}]...)
				}
			}
		}
		found = slices.DeleteFunc(found, func(f int) bool { return f/2 == e/2 })
		slices.SortFunc(found, func(a, b int) int {
			if c := p.dist(e, a) - p.dist(e, b); c != 0 {
				return int(math.Copysign(1, c))
			}
			return a - b
		})
		p.near = append(p.near, slices.Clone(found[:min(k, len(found))]))
	}
}

const plainGain = 1e-9

// twoOpt turns round what lies between the stroke at position i and one near it,
// if that gains.
func (p *plain) twoOpt(i int) bool {
	for _, f := range p.near[p.out(i)] {
		if j := p.pos[f/2]; f == p.out(j) { // ... i][i+1 ... j][j+1 ...
			lo, hi := min(i, j), max(i, j)
			if p.gap(lo)+p.gap(hi)-p.dist(p.out(lo), p.out(hi))-p.dist(p.in(lo+1), p.in(hi+1)) > plainGain {
				p.flip(lo+1, hi+1)
				return true
			}
		}
	}
	for _, f := range p.near[p.in(i)] {
		if j := p.pos[f/2]; f == p.in(j) { // ... i-1][i ... j-1][j ...
			lo, hi := min(i, j), max(i, j)
			if p.gap(lo-1)+p.gap(hi-1)-p.dist(p.out(lo-1), p.out(hi-1))-p.dist(p.in(lo), p.in(hi)) > plainGain {
				p.flip(lo, hi)
				return true
			}
		}
	}
	return false
}

// orOpt moves up to three strokes from position i on next to an end near one of
// theirs, if that gains.
func (p *plain) orOpt(i int) bool {
	for j := i + 1; j <= min(i+3, len(p.seq)); j++ {
		a, b := p.in(i), p.out(j-1)
		saved := p.gap(i-1) + p.gap(j-1) - p.dist(p.out(i-1), p.in(j))
		for _, end := range [2]int{a, b} {
			for _, f := range p.near[end] {
				k := p.pos[f/2] // moved to before position k
				if k >= i && k < j {
					continue
				}
				if f == p.out(k) {
					k++
				}
				turned := (end == a) == (f == p.in(p.pos[f/2]))
				first, last := a, b
				if turned {
					first, last = b, a
				}
				if k == i || k == j {
					continue
				}
				if saved+p.gap(k-1)-p.dist(p.out(k-1), first)-p.dist(last, p.in(k)) > plainGain {
					p.move(i, j, k, turned)
					return true
				}
			}
		}
	}
	return false
}

// move moves positions i to j to before position k, turned round or not.
func (p *plain) move(i, j, k int, turned bool) {
	if turned {
		p.flip(i, j)
	}
	lo, hi := min(i, k), max(j, k)
	moved := slices.Clone(p.seq[i:j])
	p.seq = slices.Delete(p.seq, i, j)
	if k > i {
		k -= j - i
	}
	p.seq = slices.Insert(p.seq, k, moved...)
	for q := lo; q < hi; q++ {
		p.pos[p.seq[q]/2] = q
	}
}
