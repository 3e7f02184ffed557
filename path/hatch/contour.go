package hatch

import "furrow/path"

// contours returns the edges of nested insets: the first at the fill's inset,
// or half a spacing where it has none, each further one a spacing deeper.
// Where two of them leave a strip between that is wider than a spacing and too
// narrow for another, its centre is traced.
func contours(rings [][]path.Point, fill *Part, tolerance float64) ([]path.Line, error) {
	spacing := fill.Setting.SpacingMM
	depth := fill.Inset
	if depth == 0 {
		depth = spacing / 2
	}
	lines := centres(rings, 0, depth, tolerance)
	for step := depth; ; step = spacing {
		var err error
		if rings, err = offset(rings, -step, tolerance); err != nil || len(rings) == 0 {
			return lines, err
		}
		for _, r := range rings {
			lines = append(lines, newLine(r, true))
		}
		lines = append(lines, centres(rings, spacing/2, spacing, tolerance)...)
	}
}
