package path

import (
	"cmp"
	"math"
	"slices"
)

// onRow is how far, mm, a row of one part may lie from that of another to be the
// same: rounding only.
const onRow = 1e-6

// Across returns the marks of equal parts that lie moved by each offset, as one
// work: rows of parts that run on into each other become one row, of more spans.
// Rows that miss each other, and lines, stay those of each part. The numbers of
// spans of rows, and of lines, are those of m times the offsets.
func (m Marks) Across(offsets []Point) Marks {
	all := Marks{Settings: m.Settings, ToleranceMM: m.ToleranceMM}
	for i := range m.Rows {
		all.Rows = append(all.Rows, m.Rows[i].across(offsets)...)
	}
	for _, by := range offsets {
		first := len(all.Lines)
		for _, l := range m.Lines {
			if l.Before >= 0 {
				l.Before += first
			}
			l.Points = slices.Clone(l.Points)
			for i := range l.Points {
				l.Points[i] = l.Points[i].Add(by)
			}
			all.Lines = append(all.Lines, l)
		}
	}
	return all
}

// rowCopy is a set of rows that lies moved along its rows by along, and by a number of
// rows across them.
type rowCopy struct {
	along float64
	rows  int
}

// across moves a set of rows by each offset, and joins the copies whose rows meet.
func (r *RowSet) across(offsets []Point) (all []RowSet) {
	normal := Point{X: -r.Dir.Y, Y: r.Dir.X}
	var joined []rowCopy
	for _, by := range offsets {
		rows := by.Dot(normal) / r.Spacing
		if n := math.Round(rows); math.Abs(rows-n)*r.Spacing <= onRow && r.Spacing > 0 {
			joined = append(joined, rowCopy{along: by.Dot(r.Dir), rows: int(n)})
			continue
		}
		one := *r
		one.Origin = r.Origin.Add(by)
		all = append(all, one)
	}
	if len(joined) > 0 {
		all = append(all, r.join(joined))
	}
	return all
}

// join makes one set of rows of copies.
func (r *RowSet) join(copies []rowCopy) RowSet {
	least, most := copies[0].rows, copies[0].rows
	for _, c := range copies {
		least, most = min(least, c.rows), max(most, c.rows)
	}
	one := *r
	normal := Point{X: -r.Dir.Y, Y: r.Dir.X}
	one.Origin = r.Origin.Add(normal.Mul(float64(least) * r.Spacing))
	one.Start, one.Spans = []int32{0}, nil
	slices.SortStableFunc(copies, func(a, b rowCopy) int { return cmp.Compare(a.along, b.along) })
	for k := range r.NumRows() + most - least {
		for _, c := range copies {
			if own := k + least - c.rows; own >= 0 && own < r.NumRows() {
				one.Spans = appendMoved(one.Spans, r.Row(own), c.along)
			}
		}
		first := one.Start[k]
		slices.SortStableFunc(one.Spans[first:], func(a, b Span) int { return cmp.Compare(a.X0, b.X0) })
		one.Start = append(one.Start, int32(len(one.Spans)))
	}
	return one
}

func appendMoved(to, spans []Span, along float64) []Span {
	for _, s := range spans {
		to = append(to, Span{X0: s.X0 + along, X1: s.X1 + along})
	}
	return to
}
