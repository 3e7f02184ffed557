package route

import (
	"errors"
	"fmt"
	"math"

	"furrow/path"
)

// maxSettings is how many settings a path.Stroke can tell apart.
const maxSettings = math.MaxUint16 + 1

// check finds what a caller may have got wrong in marks.
func check(marks *path.Marks) error {
	if len(marks.Settings) > maxSettings {
		return fmt.Errorf("%d settings; at most %d can be told apart", len(marks.Settings), maxSettings)
	}
	points := 0
	for i := range marks.Rows {
		if err := checkRows(marks, &marks.Rows[i]); err != nil {
			return fmt.Errorf("row set %d: %w", i, err)
		}
		points += 2 * len(marks.Rows[i].Spans)
	}
	for i := range marks.Lines {
		if err := checkLine(marks, i); err != nil {
			return fmt.Errorf("line %d: %w", i, err)
		}
		points += len(marks.Lines[i].Points) + 1
	}
	if points > math.MaxInt32 {
		return fmt.Errorf("%d points in all; at most %d can be numbered", points, math.MaxInt32)
	}
	return checkBefore(marks.Lines)
}

func checkRows(marks *path.Marks, r *path.RowSet) error {
	switch {
	case r.Setting < 0 || r.Setting >= len(marks.Settings):
		return fmt.Errorf("setting %d of %d", r.Setting, len(marks.Settings))
	case len(r.Start) == 0 && len(r.Spans) > 0,
		len(r.Start) > 0 && (r.Start[0] != 0 || int(r.Start[len(r.Start)-1]) != len(r.Spans)):
		return errors.New("the rows' starts do not cover the spans")
	case !r.Origin.Finite() || !r.Dir.Finite() || math.IsNaN(r.Spacing-r.Spacing):
		return errors.New("a coordinate is not finite")
	case len(r.Spans) > 0 && math.Abs(r.Dir.Len()-1) > 1e-6:
		return fmt.Errorf("direction of length %g, not 1", r.Dir.Len())
	}
	for k := range r.NumRows() {
		if r.Start[k] > r.Start[k+1] {
			return fmt.Errorf("row %d ends before it starts", k)
		}
	}
	for k := range r.NumRows() {
		if err := checkRow(r.Row(k)); err != nil {
			return fmt.Errorf("row %d: %w", k, err)
		}
	}
	return nil
}

func checkRow(spans []path.Span) error {
	last := math.Inf(-1)
	for _, s := range spans {
		if !(s.X0 >= last && s.X0 < s.X1 && s.X1 <= math.MaxFloat64) || math.IsInf(s.X0, 0) {
			return fmt.Errorf("span %g to %g after %g: not sorted and apart", s.X0, s.X1, last)
		}
		last = s.X1
	}
	return nil
}

func checkLine(marks *path.Marks, i int) error {
	l := &marks.Lines[i]
	if l.Setting < 0 || l.Setting >= len(marks.Settings) {
		return fmt.Errorf("setting %d of %d", l.Setting, len(marks.Settings))
	}
	for _, p := range l.Points {
		if !p.Finite() {
			return errors.New("a coordinate is not finite")
		}
	}
	if l.Before >= len(marks.Lines) {
		return fmt.Errorf("comes before line %d of %d", l.Before, len(marks.Lines))
	}
	if l.Before >= 0 && marks.Lines[l.Before].Phase < l.Phase {
		return fmt.Errorf("comes before line %d, whose phase is earlier", l.Before)
	}
	return nil
}

// checkBefore reports a line that would have to come before itself. Every line
// comes before one other at most, so it is enough to follow each once.
func checkBefore(lines []path.Line) error {
	seenFrom := make([]int, len(lines)) // 1 + the line from which it was reached
	for i := range lines {
		j := i
		for ; j >= 0 && seenFrom[j] == 0; j = lines[j].Before {
			seenFrom[j] = i + 1
		}
		if j >= 0 && seenFrom[j] == i+1 {
			return fmt.Errorf("line %d comes before itself", j)
		}
	}
	return nil
}
