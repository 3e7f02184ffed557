package density

import "furrow/path"

// thinned leaves out lines that run side by side with one that is drawn, closer
// than apart mm, as the run-ups and run-outs of rows do: dotted, they would make
// a tone of their own. Shorter ones go with them where they are gaps inside a row,
// as in small lettering; the steps from row to row stay, which show how far the
// run-outs reach.
func thinned(lines [][]path.Point, apart float64) (kept [][]path.Point, all bool) {
	var last [directions][]path.Point // drawn and no shorter than apart, of each class
	all = true
	crowds := func(leg []path.Point, gapInRow bool) bool {
		drawn := &last[directionOf(leg)]
		gap, ok := rowGap(*drawn, leg)
		near := ok && gap < apart
		if leg[0].Dist(leg[1]) < apart {
			return near && gapInRow
		}
		if !near {
			*drawn = leg
		}
		return near
	}
	for _, pts := range lines {
		from := 0
		for j := 1; j < len(pts); j++ {
			if !crowds(pts[j-1:j+1], len(pts) == 2) {
				continue
			}
			kept, all = appendLine(kept, pts[from:j]), false
			from = j
		}
		kept = appendLine(kept, pts[from:])
	}
	return kept, all
}

// appendLine appends pts if they are more than a point.
func appendLine(lines [][]path.Point, pts []path.Point) [][]path.Point {
	if len(pts) < 2 {
		return lines
	}
	return append(lines, pts)
}
