package density

import "furrow/path"

// thinned leaves out lines that run side by side with one that is drawn, closer
// than apart mm, as the run-ups and run-outs of rows do: dotted, they would make
// a tone of their own. Lines shorter than that stay, and so the steps from row to
// row, which show how far the run-outs reach.
func thinned(lines [][]path.Point, apart float64) (kept [][]path.Point, all bool) {
	var last [directions][]path.Point // drawn, of each class
	all = true
	crowds := func(leg []path.Point) bool {
		if leg[0].Dist(leg[1]) < apart {
			return false
		}
		drawn := &last[directionOf(leg)]
		if gap, ok := rowGap(*drawn, leg); ok && gap < apart {
			return true
		}
		*drawn = leg
		return false
	}
	for _, pts := range lines {
		from := 0
		for j := 1; j < len(pts); j++ {
			if !crowds(pts[j-1 : j+1]) {
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
