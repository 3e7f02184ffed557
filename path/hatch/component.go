package hatch

import "furrow/path"

// component is the rings round a piece of a region that hangs together, and round its holes.
type component [][]path.Point

// componentsOf returns those of a region, in the sequence of their outer rings. What is
// inside one, a contour or a centre of it, has nothing to do with the others, and is
// found sooner among its rings than among all.
func componentsOf(rings [][]path.Point) []component {
	if len(rings) == 0 {
		return nil
	}
	var all []component
	var holes [][]path.Point
	for _, r := range rings {
		if area(r) > 0 {
			all = append(all, component{r})
		} else {
			holes = append(holes, r)
		}
	}
	if len(all) == 1 || !giveHoles(all, holes) {
		return []component{rings}
	}
	return all
}

// giveHoles adds each hole to the component that it lies in. It reports false where one lies
// in none, as gaps of next to nothing might seem to.
func giveHoles(all []component, holes [][]path.Point) bool {
	if len(holes) == 0 {
		return true
	}
	lines := make([]path.Line, 0, len(all)+len(holes))
	for _, p := range all {
		lines = append(lines, newLine(p[0], true))
	}
	for _, h := range holes {
		lines = append(lines, newLine(h, true))
	}
	nest(lines)
	for i, h := range holes {
		round := lines[len(all)+i].Before
		if round < 0 || round >= len(all) {
			return false
		}
		all[round] = append(all[round], h)
	}
	return true
}

// shrinkEach shrinks each component by itself, and returns those that are left with what
// shrink tells of the edges of each.
func shrinkEach(all []component, d, tolerance float64) (left []component, lost [][]bool, err error) {
	for _, p := range all {
		inner, out, err := shrink(p, d, tolerance)
		if err != nil {
			return nil, nil, err
		}
		left, lost = append(left, componentsOf(inner)...), append(lost, out)
	}
	return left, lost, nil
}

// centresOfEach returns the centres of each, looked for as closely as those of all. Where
// lost is not nil, it tells of each which edges count.
func centresOfEach(all []component, lost [][]bool, g gauge) (lines []path.Line) {
	if lost == nil {
		lost = make([][]bool, len(all))
	}
	for i, p := range all {
		g.length += lengthOf(p, lost[i])
	}
	for i, p := range all {
		lines = append(lines, g.centres(p, lost[i])...)
	}
	return lines
}

// lengthOf returns the length of the edges of rings, or of those of them that only marks,
// numbered over all rings, where that is not nil.
func lengthOf(rings [][]path.Point, only []bool) float64 {
	sum, first := 0.0, 0
	for _, r := range rings {
		for i, p := range r {
			if only == nil || only[first+i] {
				sum += p.Dist(r[(i+1)%len(r)])
			}
		}
		first += len(r)
	}
	return sum
}
