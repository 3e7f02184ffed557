package density

import (
	"cmp"
	"math"
	"slices"

	"furrow/path"
)

// Rows is one set of rows that a program holds.
type Rows struct {
	SpacingMM float64 // three digits or so
	Degrees   float64 // from X, counter-clockwise, from 0 up to 180, to a tenth
}

// MeasureRows finds the rows of a program by its straight strokes, most marked
// first: what a file that was read back does not say of itself. A set of which
// few follow each other is not found, nor one of lines that are shorter than
// twice their distance, as of figures and crosses.
func MeasureRows(prog path.Program) []Rows {
	type found struct {
		Rows
		length float64
	}
	var all []found
	for i, byDir := range rowGaps(prog) {
		for dir, gaps := range byDir {
			if spacing := common(gaps); spacing > 0 {
				degrees, length, lines := direction(prog, i, dir)
				if length > 2*spacing*float64(lines) {
					all = append(all, found{Rows{spacing, degrees}, length})
				}
			}
		}
	}
	slices.SortStableFunc(all, func(a, b found) int { return cmp.Compare(b.length, a.length) })
	rows := make([]Rows, len(all))
	for i, f := range all {
		rows[i] = f.Rows
	}
	return rows
}

// direction returns that of the longest stroke of a setting and class, and the
// length and number of them all.
func direction(prog path.Program, set, dir int) (degrees, length float64, lines int) {
	longest := 0.0
	for i, s := range prog.Strokes {
		pts := prog.PointsOf(i)
		if int(s.Setting) != set || directionOf(pts) != dir {
			continue
		}
		v := pts[1].Sub(pts[0])
		length += v.Len()
		lines++
		if v.Len() > longest {
			longest = v.Len()
			degrees = math.Mod(math.Round(math.Atan2(v.Y, v.X)*1800/math.Pi)/10+360, 180)
		}
	}
	return degrees, length, lines
}
