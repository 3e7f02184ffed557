package route

import (
	"math"

	"furrow/path"
)

// Scatter returns the program with its rows cut into so many cells of about the same
// marked length, and the cells in a sequence in which each lies far from those just
// marked, so that they cool meanwhile. Rows of one setting that follow each other are
// scattered among themselves; each cell keeps its sequence and directions, and outlines
// stay where they are. Pauses are left out: they depend on the sequence.
func Scatter(prog path.Program, cells int) path.Program {
	out := path.Program{
		Settings: prog.Settings, ToleranceMM: prog.ToleranceMM,
		Points: make([]path.Point, 0, len(prog.Points)), Strokes: make([]path.Stroke, 0, len(prog.Strokes)),
	}
	for i := 0; i < len(prog.Strokes); {
		end := rowsFrom(&prog, i)
		for _, c := range apart(cut(&prog, i, end, cells)) {
			for k := c.from; k < c.to; k++ {
				out.Append(prog.Strokes[k], prog.PointsOf(k)...)
			}
		}
		i = end
	}
	return out
}

// rowsFrom returns where the rows of one setting end that begin with stroke i; behind
// i where it is no row.
func rowsFrom(prog *path.Program, i int) int {
	first, end := prog.Strokes[i], i+1
	for first.Kind == path.SpanStroke && end < len(prog.Strokes) &&
		prog.Strokes[end].Kind == path.SpanStroke && prog.Strokes[end].Setting == first.Setting {
		end++
	}
	return end
}

// piece is strokes that stay together.
type piece struct {
	from, to int
	middle   path.Point
}

// cut cuts strokes into pieces of about the same length, and none inside a sweep.
func cut(prog *path.Program, from, to, pieces int) (all []piece) {
	total := 0.0
	for i := from; i < to; i++ {
		total += lengthOf(prog.PointsOf(i))
	}
	done, p := 0.0, piece{from: from}
	var weighted path.Point
	sum := 0.0
	for i := from; i < to; i++ {
		pts := prog.PointsOf(i)
		l := lengthOf(pts)
		weighted, sum, done = weighted.Add(pts[0].Lerp(pts[len(pts)-1], 0.5).Mul(l)), sum+l, done+l
		inside := i+1 < to && prog.Strokes[i].Sweep > 0 && prog.Strokes[i+1].Sweep == prog.Strokes[i].Sweep
		if i+1 == to || !inside && done >= total*float64(len(all)+1)/float64(max(1, pieces)) {
			if p.to, p.middle = i+1, pts[0]; sum > 0 {
				p.middle = weighted.Mul(1 / sum)
			}
			all = append(all, p)
			p, weighted, sum = piece{from: i + 1}, path.Point{}, 0
		}
	}
	return all
}

func lengthOf(pts []path.Point) (mm float64) {
	for i := 1; i < len(pts); i++ {
		mm += pts[i-1].Dist(pts[i])
	}
	return mm
}

// remembered is how many of the pieces marked last count as still warm.
const remembered = 6

// apart puts pieces into a sequence: each time the one that those marked last have
// warmed the least, which fades with their age and with the square of the distance, as
// heat in a plate does in the large.
func apart(all []piece) (out []piece) {
	if len(all) == 0 {
		return nil
	}
	box := path.EmptyRect()
	for _, p := range all {
		box = box.Include(p.middle)
	}
	near := (box.W()*box.W() + box.H()*box.H()) / float64(len(all)*len(all))
	left := append([]piece(nil), all...)
	for next := 0; ; {
		out = append(out, left[next])
		if left = append(left[:next], left[next+1:]...); len(left) == 0 {
			return out
		}
		least := math.Inf(1)
		for i, p := range left {
			warm := 0.0
			for age := 1; age <= min(remembered, len(out)); age++ {
				d := p.middle.Sub(out[len(out)-age].middle)
				warm += 1 / (float64(age) * (d.Dot(d) + near + 1e-9))
			}
			if warm < least {
				least, next = warm, i
			}
		}
	}
}
