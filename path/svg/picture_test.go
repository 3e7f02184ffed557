package svg_test

import (
	"image"
	"image/color"
	"math"
	"slices"

	"furrow/path"
	"furrow/path/svg"
)

// picture is an artwork painted by the slowest and plainest means: every pixel
// is asked at its middle, shape by shape and group by group, in paint order, and
// all is laid over white.
type picture struct {
	w, h  int
	scale float64 // pixels per mm
	top   float64
	rgb   [][3]float64
	masks map[*path.Clip][]bool
}

// layer is a picture with opacity; channels are multiplied by it.
type layer [][4]float64

func paint(art path.Artwork, w int) *picture {
	p := &picture{w: w, scale: float64(w) / art.Page.W(), top: art.Page.H(), masks: map[*path.Clip][]bool{}}
	p.h = max(1, int(math.Round(art.Page.H()*p.scale)))
	p.rgb = make([][3]float64, w*p.h)
	for i, c := range p.group(art.Shapes, nil) {
		for k := range 3 {
			p.rgb[i][k] = c[k] + 1 - c[3]
		}
	}
	return p
}

// group paints the shapes of one group over nothing.
func (p *picture) group(shapes []path.Shape, in *path.PaintGroup) layer {
	sum := make(layer, p.w*p.h)
	for i := 0; i < len(shapes); {
		if shapes[i].In == in {
			p.shape(sum, shapes[i])
			i++
			continue
		}
		child, n := childOf(shapes[i].In, in), i
		for n < len(shapes) && child != nil && (shapes[n].In == child || childOf(shapes[n].In, child) != nil) {
			n++
		}
		p.lay(sum, p.group(shapes[i:n], child), child)
		i = n
	}
	return sum
}

// childOf returns the group in another that is or holds g, or nil.
func childOf(g, in *path.PaintGroup) *path.PaintGroup {
	for ; g != nil; g = g.In {
		if g.In == in {
			return g
		}
	}
	return nil
}

func (p *picture) shape(sum layer, s path.Shape) {
	for i, in := range p.mask(s, p.top) {
		if !in {
			continue
		}
		c := s.Paint
		if s.Gradient != nil {
			c = s.Gradient.At(path.Point{X: (float64(i%p.w) + 0.5) / p.scale, Y: p.top - (float64(i/p.w)+0.5)/p.scale})
		}
		over(&sum[i], [4]float64{c.R * c.Opacity, c.G * c.Opacity, c.B * c.Opacity, c.Opacity}, path.Normal)
	}
}

// lay lays a group over what lies below.
func (p *picture) lay(sum, whole layer, g *path.PaintGroup) {
	var mask layer
	if g.Mask != nil {
		mask = p.group(g.Mask.Shapes, nil)
	}
	for i := range sum {
		k := g.Opacity
		if mask != nil && g.Mask.Alpha {
			k *= mask[i][3]
		} else if mask != nil {
			k *= 0.2125*mask[i][0] + 0.7154*mask[i][1] + 0.0721*mask[i][2]
		}
		c := whole[i]
		for n := range c {
			c[n] *= k
		}
		over(&sum[i], c, g.Blend)
	}
}

// over knows multiply, screen, darken, lighten and difference only; what path/hatch
// does with all of them is tested there.
func over(b *[4]float64, s [4]float64, mode path.Blend) {
	for k := range 3 {
		both := s[k] * b[3]
		switch mode {
		case path.Multiply:
			both = s[k] * b[k]
		case path.Screen:
			both = s[k]*b[3] + b[k]*s[3] - s[k]*b[k]
		case path.Darken:
			both = min(s[k]*b[3], b[k]*s[3])
		case path.Lighten:
			both = max(s[k]*b[3], b[k]*s[3])
		case path.Difference:
			both = math.Abs(s[k]*b[3] - b[k]*s[3])
		}
		b[k] = s[k]*(1-b[3]) + b[k]*(1-s[3]) + both
	}
	b[3] = s[3] + b[3]*(1-s[3])
}

func (p *picture) mask(s path.Shape, top float64) []bool {
	m := p.inside(s, top)
	for _, c := range s.Clips {
		clip, ok := p.masks[c]
		if !ok {
			clip = make([]bool, len(m))
			for _, cs := range c.Shapes {
				for i, in := range p.mask(cs, top) {
					clip[i] = clip[i] || in
				}
			}
			p.masks[c] = clip
		}
		for i := range m {
			m[i] = m[i] && clip[i]
		}
	}
	return m
}

type crossing struct {
	x    float64
	wind int
}

func (p *picture) inside(s path.Shape, top float64) []bool {
	rows := make([][]crossing, p.h)
	s.Path.Flatten(0.05/p.scale, func(pts []path.Point, _ bool) {
		for i, a := range pts {
			b := pts[(i+1)%len(pts)]
			p.edge(rows, (top-a.Y)*p.scale, a.X*p.scale, (top-b.Y)*p.scale, b.X*p.scale)
		}
	})
	m := make([]bool, p.w*p.h)
	for y, row := range rows {
		slices.SortFunc(row, func(a, b crossing) int { return cmpFloat(a.x, b.x) })
		wind := 0
		for i, c := range row {
			wind += c.wind
			if i+1 == len(row) || wind == 0 || s.Rule == path.EvenOdd && i%2 == 1 {
				continue
			}
			for x := max(0, int(math.Ceil(c.x-0.5))); x < p.w && float64(x)+0.5 < row[i+1].x; x++ {
				m[y*p.w+x] = true
			}
		}
	}
	return m
}

func cmpFloat(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

func (p *picture) edge(rows [][]crossing, y0, x0, y1, x1 float64) {
	wind := 1
	if y0 > y1 {
		y0, x0, y1, x1, wind = y1, x1, y0, x0, -1
	}
	for y := max(0, int(math.Ceil(y0-0.5))); y < p.h && float64(y)+0.5 < y1; y++ {
		x := x0 + (x1-x0)*(float64(y)+0.5-y0)/(y1-y0)
		rows[y] = append(rows[y], crossing{x, wind})
	}
}

// fromImage composes an image over white.
func fromImage(img image.Image) *picture {
	b := img.Bounds()
	p := &picture{w: b.Dx(), h: b.Dy()}
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			c := color.NRGBA64Model.Convert(img.At(x, y)).(color.NRGBA64)
			a := float64(c.A) / 65535
			over := func(v uint16) float64 { return 1 - a*(1-float64(v)/65535) }
			p.rgb = append(p.rgb, [3]float64{over(c.R), over(c.G), over(c.B)})
		}
	}
	return p
}

// agreement is the share of painted pixels on which two pictures have the same
// colour. Pixels within one pixel of an edge in either are forgiven.
func agreement(a, b *picture) float64 {
	if a.w != b.w || a.h != b.h {
		return 0
	}
	painted, same := 0, 0
	white := [3]float64{1, 1, 1}
	for y := range a.h {
		for x := range a.w {
			i := y*a.w + x
			if near(a.rgb[i], white) && near(b.rgb[i], white) {
				continue
			}
			painted++
			if near(a.rgb[i], b.rgb[i]) || a.edgeAt(x, y) || b.edgeAt(x, y) {
				same++
			}
		}
	}
	if painted == 0 {
		return 1
	}
	return float64(same) / float64(painted)
}

func near(a, b [3]float64) bool {
	for k := range 3 {
		if math.Abs(a[k]-b[k]) > 0.1 {
			return false
		}
	}
	return true
}

// edgeAt reports that the colour changes between this pixel and a neighbour.
func (p *picture) edgeAt(x, y int) bool {
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			u, v := x+dx, y+dy
			if u >= 0 && v >= 0 && u < p.w && v < p.h && !near(p.rgb[v*p.w+u], p.rgb[y*p.w+x]) {
				return true
			}
		}
	}
	return false
}

var _ = svg.Options{}

func sortCrossings(row []crossing) {
	slices.SortFunc(row, func(a, b crossing) int { return cmpFloat(a.x, b.x) })
}

// area returns the area that shape i covers, mm2, by its flattened outline and
// fill rule on fine rows.
func area(s path.Shape) float64 {
	b := s.Path.Bounds()
	const rows = 4000
	pitch := b.H() / rows
	sum := 0.0
	p := &picture{w: 1, h: rows, scale: 1}
	for i := range rows {
		y := b.Min.Y + (float64(i)+0.5)*pitch
		sum += p.rowLength(s, y) * pitch
	}
	return sum
}

func (p *picture) rowLength(s path.Shape, y float64) float64 {
	var row []crossing
	s.Path.Flatten(1e-5, func(pts []path.Point, _ bool) {
		for i, a := range pts {
			b, wind := pts[(i+1)%len(pts)], 1
			if a.Y > b.Y {
				a, b, wind = b, a, -1
			}
			if a.Y <= y && y < b.Y {
				row = append(row, crossing{a.X + (b.X-a.X)*(y-a.Y)/(b.Y-a.Y), wind})
			}
		}
	})
	sortCrossings(row)
	sum, wind := 0.0, 0
	for i, c := range row {
		wind += c.wind
		if i+1 < len(row) && wind != 0 && (s.Rule == path.NonZero || i%2 == 0) {
			sum += row[i+1].x - c.x
		}
	}
	return sum
}
