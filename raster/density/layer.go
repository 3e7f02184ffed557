package density

import (
	"furrow/path"
	"furrow/raster/grid"
)

// Layer is a number for each pixel of a grid, row by row from the top.
type Layer struct {
	grid.Grid
	Value []float32
}

// newLayer returns a layer of zeros.
func newLayer(g grid.Grid) *Layer {
	return &Layer{g, make([]float32, g.W*g.H)}
}

// Max returns the greatest value.
func (l *Layer) Max() float64 {
	m := float32(0)
	for _, v := range l.Value {
		m = max(m, v)
	}
	return float64(m)
}

// add returns a Cover that adds weight times the covered fraction.
func (l *Layer) add(weight float64) grid.Cover {
	k := float32(weight)
	return func(y, x int, cover []float32) {
		row := l.Value[y*l.W+x:][:len(cover)]
		for i, c := range cover {
			row[i] += float32(k * c)
		}
	}
}

// Dose lays the energy of the program's marks, J, each width mm wide, over the grid: a pixel
// holds J/cm2. Summed over all pixels, it times their area is the energy inside the grid
// (and half a width round it). A stroke of no length is a dot.
func Dose(prog path.Program, g grid.Grid, width float64, marking []path.Marking) *Layer {
	return lay(prog, newLayer(g), nil, sameBrush(g, width), marking).perCM2()
}

// perCM2 makes what was per mm2 per cm2.
func (l *Layer) perCM2() *Layer {
	for i := range l.Value {
		l.Value[i] *= 100
	}
	return l
}

// brushes chooses the brush of a stroke.
type brushes func(path.Stroke, []path.Point) *grid.Brush

// lay spreads the energy of each stroke, or its length where that is nil, evenly over
// its way. In times, unless nil, it adds up how often each pixel is covered.
func lay(prog path.Program, l, times *Layer, brushOf brushes, marking []path.Marking) *Layer {
	for i, s := range prog.Strokes {
		perMM, pts := 1.0, prog.PointsOf(i)
		brush := brushOf(s, pts)
		if marking != nil {
			n := lengthOf(pts)
			if n == 0 && len(pts) > 0 {
				brush.Dot(pts[0], l.addBoth(marking[i].EnergyJ/brush.DotArea(), times))
				continue
			}
			perMM = marking[i].EnergyJ / n
		}
		to := l.addBoth(perMM/brush.Width(), times)
		for j := 1; j < len(pts); j++ {
			brush.Mark(pts[j-1], pts[j], to)
		}
	}
	return l
}

// addBoth is add that adds the covered fraction itself to times, unless nil.
func (l *Layer) addBoth(weight float64, times *Layer) grid.Cover {
	if times == nil {
		return l.add(weight)
	}
	k := float32(weight)
	return func(y, x int, cover []float32) {
		row, count := l.Value[y*l.W+x:][:len(cover)], times.Value[y*l.W+x:][:len(cover)]
		for i, c := range cover {
			row[i] += float32(k * c)
			count[i] += c
		}
	}
}

func sameBrush(g grid.Grid, width float64) brushes {
	b := grid.NewBrush(g, width)
	return func(path.Stroke, []path.Point) *grid.Brush { return b }
}

func lengthOf(pts []path.Point) (sum float64) {
	for i := 1; i < len(pts); i++ {
		sum += pts[i-1].Dist(pts[i])
	}
	return sum
}

// knee returns the value that all but a share of the pixels above 0 stay below
// or at, to within a thousandth of the greatest.
func (l *Layer) knee(share float64) float64 {
	top := l.Max()
	if top == 0 {
		return 0
	}
	var count [1001]int
	n := 0
	for _, v := range l.Value {
		if v > 0 {
			count[int(float64(v)/top*1000)]++
			n++
		}
	}
	above := 0
	for i := len(count) - 1; i >= 0; i-- {
		if above += count[i]; float64(above) > share*float64(n) {
			return top * min(1, float64(i+1)/1000)
		}
	}
	return top
}
