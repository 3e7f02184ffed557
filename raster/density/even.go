package density

import (
	"math"
	"slices"

	"furrow/path"
	"furrow/raster/grid"
)

// resolved is the spacing, in pixels, from which rows show one by one.
const resolved = 3

// even chooses a brush by setting and direction for marks of a width, in rows that
// show one by one from a spacing of so many pixels, see evenWidth.
func (d *drawing) even(width, fromPx float64) brushes {
	return d.brushesOf(func(spacing float64) float64 { return evenWidth(width, spacing, fromPx/d.g.PxPerMM) })
}

// tiles chooses brushes that lay rows as wide as their spacing where they do not show
// one by one, so that what they lay down is the same up to the edge.
func (d *drawing) tiles() brushes { return d.brushesOf(d.tileWidth) }

// tileWidth returns the width of a tile of rows: their spacing, or the marks' own
// where they show one by one.
func (d *drawing) tileWidth(spacing float64) float64 {
	if spacing > 0 && spacing < resolved/d.g.PxPerMM {
		return spacing
	}
	return d.o.MarkWidthMM
}

// brushesOf makes a brush for the rows of each setting and direction, of the width
// for their spacing.
func (d *drawing) brushesOf(width func(spacing float64) float64) brushes {
	spacings := d.rowSpacings()
	made := make([][directions + 1]*grid.Brush, len(spacings))
	for i := range spacings {
		for dir, spacing := range spacings[i] {
			made[i][dir] = grid.NewBrush(d.g, width(spacing))
		}
	}
	return func(s path.Stroke, pts []path.Point) *grid.Brush { return made[s.Setting][directionOf(pts)] }
}

// rowSpacings returns the distance between the rows of each setting and direction,
// mm. Where a setting does not name it, as when a file is read back, it is measured;
// 0 is none.
func (d *drawing) rowSpacings() [][directions + 1]float64 {
	if d.spacings != nil {
		return d.spacings
	}
	gaps := rowGaps(d.prog)
	d.spacings = make([][directions + 1]float64, len(gaps))
	for i := range gaps {
		for dir := range directions { // polylines are no rows
			d.spacings[i][dir] = common(gaps[i][dir])
			if i < len(d.prog.Settings) && d.prog.Settings[i].SpacingMM > 0 {
				d.spacings[i][dir] = d.prog.Settings[i].SpacingMM
			}
		}
	}
	return d.spacings
}

// evenWidth returns the width at which a picture lays marks. Rows that are closer
// than from would beat with the pixels and show stripes that no material will;
// marks as wide as a whole number of spacings, the one nearest to their width, add
// up to one tone.
func evenWidth(width, spacing, from float64) float64 {
	if spacing > 0 && spacing < from {
		return spacing * max(1, math.Round(width/spacing))
	}
	return width
}

// common returns the mean of the gaps that are most alike, as the grid of a file
// leaves rows of one spacing, and 0 if those are less than a quarter of all. It
// sorts the gaps.
func common(gaps []float64) float64 {
	slices.Sort(gaps)
	from, best := 0, gaps[:0]
	for i, g := range gaps {
		for gaps[from] < g*0.98-rounding {
			from++
		}
		if alike := gaps[from : i+1]; len(alike) > len(best) {
			best = alike
		}
	}
	if 4*len(best) < len(gaps) || len(best) < 2 {
		return 0
	}
	sum := 0.0
	for _, g := range best {
		sum += g
	}
	return sum / float64(len(best))
}

// rounding is how far apart the grid of G-code may put two gaps of one size, mm:
// two ends, each by up to half a step in X and in Y.
const rounding = 2e-3

// rowGaps returns, for each setting and direction, the distances between straight
// strokes that are parallel and follow each other. Strokes shorter than three times their
// distance are no rows, but figures or crosses.
func rowGaps(prog path.Program) [][directions + 1][]float64 {
	n := max(1, len(prog.Settings))
	gaps, last := make([][directions + 1][]float64, n), make([][directions + 1][]path.Point, n)
	for i, s := range prog.Strokes {
		pts := prog.PointsOf(i)
		dir := directionOf(pts)
		if dir == directions {
			continue
		}
		before := last[s.Setting][dir]
		if gap, ok := rowGap(before, pts); ok && 3*gap <= min(lengthOf(pts), lengthOf(before)) {
			gaps[s.Setting][dir] = append(gaps[s.Setting][dir], gap)
		}
		last[s.Setting][dir] = pts
	}
	return gaps
}

// rowGap returns the distance between two parallel lines, p perhaps nil. Pieces
// of one row have none.
func rowGap(p, q []path.Point) (gap float64, ok bool) {
	const parallel = 1e-3 // sine of the angle
	if p == nil {
		return 0, false
	}
	d, e := q[1].Sub(q[0]), p[1].Sub(p[0])
	gap = math.Abs(d.Cross(p[0].Sub(q[0]))) / d.Len()
	return gap, math.Abs(d.Cross(e)) <= parallel*d.Len()*e.Len() && gap > rounding
}
