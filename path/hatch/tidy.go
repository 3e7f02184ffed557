package hatch

import (
	"math"

	"furrow/path"
)

// Dust is spans that are shorter than what shows, and left out.
type Dust struct {
	Spans int
	MM    float64 // in all
}

func (d *Dust) add(o Dust) { d.Spans, d.MM = d.Spans+o.Spans, d.MM+o.MM }

// tidier joins spans of a row no more than gap apart, then drops those shorter than
// shortest. nil does nothing.
type tidier struct {
	gap, shortest float64
	spans         int   // dropped
	picometres    int64 // their length in all, whole: it is the same in whatever parts it is summed
}

const picometre = 1e-9 // mm

func newTidier(fill *Group) *tidier {
	if fill.CloseGaps == 0 && fill.Shortest == 0 {
		return nil
	}
	return &tidier{gap: fill.CloseGaps, shortest: fill.Shortest}
}

// clone returns a tidier that has dropped nothing yet.
func (t *tidier) clone() *tidier {
	if t == nil {
		return nil
	}
	return &tidier{gap: t.gap, shortest: t.shortest}
}

// add adds what another has dropped.
func (t *tidier) add(o *tidier) {
	if t != nil {
		t.spans, t.picometres = t.spans+o.spans, t.picometres+o.picometres
	}
}

func (t *tidier) dust() Dust {
	if t == nil {
		return Dust{}
	}
	return Dust{t.spans, float64(t.picometres) * picometre}
}

// row tidies a row in place.
func (t *tidier) row(row []path.Span) []path.Span {
	if t == nil {
		return row
	}
	return t.dropShort(joinNear(row, t.gap))
}

// all tidies all rows of a set.
func (t *tidier) all(set *path.RowSet) {
	n := 0
	for k := range set.NumRows() {
		row := set.Row(k)
		set.Start[k] = int32(n)
		n += copy(set.Spans[n:], t.row(row))
	}
	set.Start[len(set.Start)-1] = int32(n)
	set.Spans = set.Spans[:n]
}

func joinNear(row []path.Span, gap float64) []path.Span {
	n := 0
	for _, s := range row {
		if n > 0 && s.X0-row[n-1].X1 <= gap {
			row[n-1].X1 = s.X1
			continue
		}
		row[n] = s
		n++
	}
	return row[:n]
}

func (t *tidier) dropShort(row []path.Span) []path.Span {
	n := 0
	for _, s := range row {
		if length := s.X1 - s.X0; length < t.shortest {
			t.spans++
			t.picometres += int64(math.Round(length / picometre))
			continue
		}
		row[n] = s
		n++
	}
	return row[:n]
}

// reverse turns the direction of the rows round, and their sequence with it:
// the marks stay where they are.
func reverse(set *path.RowSet) path.RowSet {
	n := set.NumRows()
	r := path.RowSet{
		Setting: set.Setting, Phase: set.Phase, OneWay: set.OneWay,
		Origin: set.At(max(0, n-1), 0), Dir: set.Dir.Mul(-1), Spacing: set.Spacing,
		Start: make([]int32, 0, n+1), Spans: make([]path.Span, 0, len(set.Spans)),
	}
	r.Start = append(r.Start, 0)
	for k := n - 1; k >= 0; k-- {
		row := set.Row(k)
		for i := len(row) - 1; i >= 0; i-- {
			r.Spans = append(r.Spans, path.Span{X0: -row[i].X1, X1: -row[i].X0})
		}
		r.Start = append(r.Start, int32(len(r.Spans)))
	}
	return r
}

// every returns the rows first, first+n, first+2n... of set as a set of their
// own.
func every(set *path.RowSet, first, n int) path.RowSet {
	r := path.RowSet{
		Setting: set.Setting, Phase: set.Phase, OneWay: set.OneWay,
		Origin: set.At(first, 0), Dir: set.Dir, Spacing: set.Spacing * float64(n),
		Start: []int32{0},
	}
	for k := first; k < set.NumRows(); k += n {
		r.Spans = append(r.Spans, set.Row(k)...)
		r.Start = append(r.Start, int32(len(r.Spans)))
	}
	return r
}

// spread returns 0..n-1 in a sequence in which neighbours come far apart in
// time: each next number is the one farthest from all before, on a circle.
func spread(n int) []int {
	far := make([]int, n) // distance to the nearest taken
	for i := range far {
		far[i] = n
	}
	out := make([]int, 0, n)
	for next := 0; len(out) < n; {
		out = append(out, next)
		best := -1
		for i := range far {
			d := max(i-next, next-i)
			far[i] = min(far[i], d, n-d)
			if best < 0 || far[i] > far[best] {
				best = i
			}
		}
		next = best
	}
	return out
}
