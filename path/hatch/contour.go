package hatch

import "furrow/path"

// contours returns the edges of nested insets: the first at the fill's inset,
// or half a spacing where it has none, each further one a spacing deeper.
// Where two of them leave a strip between that is wider than a spacing and too
// narrow for another, its centre is traced.
// Of a tangle they may be too many.
func contours(of *enclosed, fill *Group, tolerance float64) ([]path.Line, error) {
	spacing := fill.Setting.SpacingMM
	depth := fill.Inset
	if depth == 0 {
		depth = spacing / 2
	}
	var lines []path.Line
	n, all := 0, componentsOf(of.rings)
	if of.tangled() {
		if most := beside(all, depth, tolerance); most > maxBeside {
			return nil, &TangleError{Crossings: float64(of.crossings), Contours: most}
		}
	}
	for lo, step := 0.0, depth; len(all) > 0; lo, step = spacing/2, spacing {
		left, lost, err := shrinkEach(all, step, tolerance)
		if err != nil {
			return nil, err
		}
		for _, p := range left {
			n += points(p)
		}
		if of.tangled() && n > maxContourPoints {
			return nil, &TangleError{Crossings: float64(of.crossings), Contours: n}
		}
		lines = append(lines, centresOfEach(all, lost, gauge{lo: lo, hi: step, tolerance: tolerance})...)
		for _, p := range left {
			for _, r := range p {
				lines = append(lines, newLine(r, true))
			}
		}
		all = left
	}
	return lines, nil
}

// beside returns how many points the lines at a depth inside components have, before what
// is left of them is found.
func beside(all []component, depth, tolerance float64) (n int) {
	for _, p := range all {
		lines, _ := linesInside(p, narrow(p, 2*depth), depth, tolerance)
		n += points(lines)
	}
	return n
}

func points(rings [][]path.Point) (n int) {
	for _, r := range rings {
		n += len(r)
	}
	return n
}
