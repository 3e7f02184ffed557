package density

import (
	"math"

	"furrow/path"
	"furrow/raster/page"
)

// HeatMap is the highest rise that each place of a plate saw, K, in cells, row by
// row from the lower left.
type HeatMap struct {
	Rect   path.Rect
	NX, NY int
	RiseK  []float32

	// Of a film: the rise at even times from the start to the end of the job.
	Frames [][]float32
	EndS   float64
}

// known reports that there is something to show.
func (m HeatMap) known() bool {
	return given(m.Rect) && m.NX > 0 && m.NY > 0 && len(m.RiseK) == m.NX*m.NY
}

// heat colours the plate by the highest rise that each place saw.
func (d *drawing) heat() {
	m := d.o.Heat
	hottest := m.hottest()
	s := d.heatScale("highest rise, K")
	d.spec.Scale = &s
	d.eachOnPlate(func(i int, p path.Point) {
		v, _ := m.at(p)
		blendPixel(d.plot.Pix[4*i:4*i+4:4*i+4], s.Ramp.At(v/s.Top), 1)
	})
	if m.RiseK[hottest] > 0 {
		p := m.middle(hottest)
		d.spec.Frames = append(d.spec.Frames, page.Frame{Rect: path.Rect{Min: p, Max: p}, Pattern: page.Circle,
			Label: "hottest"})
	}
}

// heatScale is that of the highest rise.
func (d *drawing) heatScale(label string) page.Scale {
	most := float64(d.o.Heat.RiseK[d.o.Heat.hottest()])
	s := page.Scale{Label: label, Ramp: d.o.ramp(), Top: page.NiceTop(most / above), Note: "highest " +
		page.Number(most)}
	if d.o.ScaleEnd > 0 {
		s.Top, s.More = d.o.ScaleEnd, most > d.o.ScaleEnd*above
	}
	return s
}

// hottest returns the cell of the highest rise.
func (m HeatMap) hottest() (cell int) {
	for i, v := range m.RiseK {
		if v > m.RiseK[cell] {
			cell = i
		}
	}
	return cell
}

// eachOnPlate calls f for each pixel of the plot that lies on the plate, with its number
// and its middle. The corners of the map beside a round blank are none of it.
func (d *drawing) eachOnPlate(f func(i int, p path.Point)) {
	disc := d.o.Round && given(d.o.Blank)
	for y := range d.g.H {
		for x := range d.g.W {
			px := path.Point{X: (float64(x) + 0.5) / d.g.PxPerMM, Y: -(float64(y) + 0.5) / d.g.PxPerMM}
			p := d.g.TopLeft.Add(px)
			if _, on := d.o.Heat.at(p); on && !(disc && d.o.blank().Share(p) > 1) {
				f(y*d.g.W+x, p)
			}
		}
	}
}

// middle returns that of a cell.
func (m HeatMap) middle(i int) path.Point {
	return path.Point{
		X: m.Rect.Min.X + (float64(i%m.NX)+0.5)*m.Rect.W()/float64(m.NX),
		Y: m.Rect.Min.Y + (float64(i/m.NX)+0.5)*m.Rect.H()/float64(m.NY),
	}
}

// at returns the rise at a place, drawn out straight between the middles of cells,
// and whether it is on the plate.
func (m HeatMap) at(p path.Point) (float64, bool) {
	u, v := (p.X-m.Rect.Min.X)/m.Rect.W(), (p.Y-m.Rect.Min.Y)/m.Rect.H()
	if !(u >= 0 && u <= 1 && v >= 0 && v <= 1) {
		return 0, false
	}
	i, s := between(u, m.NX)
	j, t := between(v, m.NY)
	row := func(j int) float64 {
		a, b := float64(m.RiseK[j*m.NX+i]), float64(m.RiseK[j*m.NX+min(i+1, m.NX-1)])
		return a + float64(s*(b-a))
	}
	a, b := row(j), row(min(j+1, m.NY-1))
	return a + float64(t*(b-a)), true
}

// between returns the cell of n whose middle lies before a share of the way, and how
// far that is on the way to the next.
func between(share float64, n int) (i int, on float64) {
	x := max(0, min(float64(share*float64(n))-0.5, float64(n-1)))
	i = int(math.Floor(x))
	return i, x - float64(i)
}
