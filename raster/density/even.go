package density

import (
	"cmp"
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
// marks that lie side by side, in whatever sequence they are marked.
func rowGaps(prog path.Program) [][directions + 1][]float64 {
	classes := make([][directions + 1]rowClass, max(1, len(prog.Settings)))
	findDirections(prog, classes)
	eachRow(prog, classes, func(c *rowClass, r rowPiece) { c.count(r) })
	eachRow(prog, classes, func(c *rowClass, r rowPiece) {
		if c.inBand(r) {
			c.pieces = append(c.pieces, r)
		}
	})
	gaps := make([][directions + 1][]float64, len(classes))
	for set := range classes {
		for dir := range classes[set] {
			gaps[set][dir] = gapsOf(classes[set][dir].pieces)
		}
	}
	return gaps
}

// rowClass is the straight marks of a setting in one direction.
type rowClass struct {
	along       path.Point // their direction
	longest     float64    // of them, mm
	n           int
	least, most float64 // across
	pieces      []rowPiece
}

func (c *rowClass) count(r rowPiece) {
	if c.n == 0 {
		c.least, c.most = r.across, r.across
	}
	c.n++
	c.least, c.most = min(c.least, r.across), max(c.most, r.across)
}

// enoughPieces are enough to tell a spacing from; the band of the middle rows holds
// about so many.
const enoughPieces = 40000

func (c *rowClass) inBand(r rowPiece) bool {
	half := (c.most - c.least) / 2 * min(1, enoughPieces/float64(c.n))
	return math.Abs(r.across-(c.least+c.most)/2) <= half
}

// findDirections takes the direction of each class from its longest mark: the grid of a
// file turns a short one by degrees.
func findDirections(prog path.Program, classes [][directions + 1]rowClass) {
	for i, s := range prog.Strokes {
		pts := prog.PointsOf(i)
		dir := directionOf(pts)
		if dir == directions {
			continue
		}
		c := &classes[s.Setting][dir]
		if long := lengthOf(pts); long > c.longest {
			c.longest, c.along = long, pts[1].Sub(pts[0]).Mul(1/long)
		}
	}
}

// eachRow hands out the straight marks, each with its class.
func eachRow(prog path.Program, classes [][directions + 1]rowClass, take func(*rowClass, rowPiece)) {
	for i, s := range prog.Strokes {
		pts := prog.PointsOf(i)
		dir := directionOf(pts)
		if dir == directions {
			continue
		}
		c := &classes[s.Setting][dir]
		if r, ok := pieceOf(pts, c.along); ok {
			take(c, r)
		}
	}
}

// rowPiece is a straight mark, along and across the direction of its rows.
type rowPiece struct{ across, from, to float64 }

func (r rowPiece) long() float64 { return r.to - r.from }

// pieceOf returns a mark as it lies to rows along u, if it is one of them.
func pieceOf(pts []path.Point, u path.Point) (rowPiece, bool) {
	const parallel = 1e-3 // sine of the angle
	d := pts[1].Sub(pts[0])
	if math.Abs(u.Cross(d)) > parallel*d.Len() {
		return rowPiece{}, false
	}
	a, b := u.Dot(pts[0]), u.Dot(pts[1])
	return rowPiece{across: u.Cross(pts[0]), from: min(a, b), to: max(a, b)}, true
}

// gapsOf returns the distance from each piece to the next one across that lies beside
// it, where that is small against both.
func gapsOf(all []rowPiece) (gaps []float64) {
	slices.SortFunc(all, func(a, b rowPiece) int { return cmp.Compare(a.across, b.across) })
	const ahead = 64 // pieces of a few rows
	for i, r := range all {
		for _, o := range all[i+1 : min(len(all), i+1+ahead)] {
			gap := o.across - r.across
			beside := min(r.to, o.to)-max(r.from, o.from) > 0.5*min(r.long(), o.long())
			if gap > rounding && beside {
				if 3*gap <= min(r.long(), o.long()) {
					gaps = append(gaps, gap)
				}
				break
			}
		}
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
