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

// NewLayer returns a layer of zeros.
func NewLayer(g grid.Grid) *Layer {
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

// Density lays the program's marks, each width mm wide, over the grid: each
// pixel holds the length marked over it per area, which for rows is lines per
// millimetre. Summed over all pixels, density times area is the marked length
// inside the grid (and half a width round it).
func Density(prog path.Program, g grid.Grid, width float64) *Layer {
	l := NewLayer(g)
	brush := grid.NewBrush(g, width)
	to := l.add(1 / width)
	for i := range prog.Strokes {
		pts := prog.PointsOf(i)
		for j := 1; j < len(pts); j++ {
			brush.Mark(pts[j-1], pts[j], to)
		}
	}
	return l
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
	for i := len(count) - 1; i > 0; i-- {
		if above += count[i]; float64(above) > share*float64(n) {
			return top * min(1, float64(i+1)/1000)
		}
	}
	return top
}
