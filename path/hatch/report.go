package hatch

import "furrow/path"

// Report is what Fill did.
type Report struct {
	Rows   int // with at least one span
	Spans  int
	Lines  int     // outlines, contours and centre lines
	Thin   int     // parts narrower than twice the inset, which are marked with one line along their centre
	ThinMM float64 // the length of those lines, once
}

// thin notes the centres of parts that an inset erased.
func (j *job) thin(lines []path.Line) {
	j.done.Thin += len(lines)
	for i := range lines {
		j.done.ThinMM += length(&lines[i])
	}
}

func length(l *path.Line) float64 {
	sum := 0.0
	for i := 1; i < len(l.Points); i++ {
		sum += l.Points[i-1].Dist(l.Points[i])
	}
	if n := len(l.Points); l.Closed && n > 0 {
		sum += l.Points[n-1].Dist(l.Points[0])
	}
	return sum
}

func (j *job) report() Report {
	r := j.done
	r.Lines = len(j.marks.Lines)
	for i := range j.marks.Rows {
		set := &j.marks.Rows[i]
		r.Spans += len(set.Spans)
		for k := range set.NumRows() {
			if len(set.Row(k)) > 0 {
				r.Rows++
			}
		}
	}
	return r
}
