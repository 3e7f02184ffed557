package hatch

import (
	"fmt"
	"strconv"

	"furrow/path"
)

// maxContourPoints bounds the points of all contours of a tangle: those of a walk take some
// 10 µs each, all in all, those of what is narrow everywhere up to 50.
const maxContourPoints = 800_000

// maxBeside bounds the points of the lines that the first of them are what is left of: of
// eighteen tangles they have 1 to 3.4 times as many. To find it takes some 300 bytes of each.
const maxBeside = 2 * maxContourPoints

// enclosed is the boundary of what is marked, and how many corners and crossings the
// edges had that it comes from.
type enclosed struct {
	rings              [][]path.Point
	corners, crossings int
}

// tangled reports that edges cross each other everywhere. Of twelve decks of cards and
// themes of games eleven have 0.01 to 0.8 crossings a corner, and one, of pictures piled
// up, 4; of 2,078 icons none has 50 crossings.
func (e *enclosed) tangled() bool { return e.crossings > max(50_000, e.corners) }

// TangleError says that edges cross too often to unite the region that they bound.
type TangleError struct {
	Crossings float64 // about, of edges with each other
	Contours  int     // the points that too many contours take, of those that were looked at; 0 where nothing was united
	Beside    bool    // edges lie too close beside each other
}

func (e *TangleError) Error() string {
	if e.Contours > 0 {
		return fmt.Sprintf("edges cross each other about %s times, too often for contours inside what they bound: "+
			"to find those takes %s points and more", rough(e.Crossings), rough(float64(e.Contours)))
	}
	if e.Beside {
		return fmt.Sprintf("very many edges lie close beside each other and cross about %s times, "+
			"too many to unite the region that they bound", rough(e.Crossings))
	}
	return fmt.Sprintf("edges cross each other about %s times, too often to unite the region that they bound: "+
		"%s is the most", rough(e.Crossings), rough(maxCrossings))
}

// Hint says what to do.
func (e *TangleError) Hint() string {
	if e.Contours > 0 {
		return "leave out contour-parallel, since rows need no contours; give it a wider spacing; " +
			"or unite or simplify the shapes in the drawing"
	}
	return "leave out inset, outline and contour-parallel, since rows alone need no united region; " +
		"or unite or simplify the shapes in the drawing"
}

// rough words a large number to two digits.
func rough(x float64) string {
	unit, name := 1e3, " thousand"
	for _, u := range []struct {
		unit float64
		name string
	}{{1e6, " million"}, {1e9, " thousand million"}} {
		if x >= u.unit {
			unit, name = u.unit, u.name
		}
	}
	x, _ = strconv.ParseFloat(fmt.Sprintf("%.2g", x/unit), 64)
	return fmt.Sprintf("%g%s", x, name)
}
