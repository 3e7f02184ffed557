package page

import "furrow/path"

// onPlot returns where a point lies, px.
func (c *chart) onPlot(p path.Point) path.Point {
	return path.Point{
		X: c.plot.Min.X + c.x.at(p.X)*c.plot.W(),
		Y: c.plot.Max.Y - c.y.at(p.Y)*c.plot.H(),
	}
}

// layCurve draws the curve of a number and its places.
func (c *chart) layCurve(i int, curve Curve) {
	var line []path.Point
	for _, p := range curve.Points {
		line = append(line, c.onPlot(p))
	}
	c.polyline(line, c.curveWidth(), c.Theme.Ink, c.curveDashes(i)...)
	for _, p := range curve.Places {
		if p.Label != "" {
			c.drawPlace(c.onPlot(p.At), p.Pattern)
		}
	}
}

func (c *chart) curveWidth() float64 { return c.line * 3 }

// curveDashes tells curves apart without colour.
func (c *chart) curveDashes(i int) []float64 {
	all := [...][]float64{nil, {0.55, 0.3}, {0.15, 0.3}, {0.8, 0.3, 0.15, 0.3}, {1.4, 0.4}}
	var px []float64
	for _, d := range all[i%len(all)] {
		px = append(px, d*c.text)
	}
	return px
}

// drawPlace draws a circle that a triangle in the same place stands inside of.
func (c *chart) drawPlace(at path.Point, p Pattern) {
	if p == Circle {
		c.drawCircle(at, c.text*0.6, c.line*1.5, c.Theme.Ink, false)
		return
	}
	c.drawTriangle(at, c.text*0.36)
}

// layKey explains the curves from x, y on, in columns as wide as they need, and
// returns the y below.
func (c *chart) layKey(x, y float64) float64 {
	sample, high := c.text*2.4, c.text*leading*1.1
	mid := func(i int) float64 { return y + float64(i)*high + c.text*0.65 }
	var names []string
	for i, curve := range c.Curves {
		c.polyline([]path.Point{{X: x, Y: mid(i)}, {X: x + sample, Y: mid(i)}}, c.curveWidth(), c.Theme.Ink,
			c.curveDashes(i)...)
		names = append(names, curve.Name)
	}
	end := c.layColumn(x+sample+c.text*0.5, y, high, names)
	for column := range c.columns() {
		at, words := end+c.text*2.6, make([]string, len(c.Curves))
		for i, curve := range c.Curves {
			if column < len(curve.Places) && curve.Places[column].Label != "" {
				words[i] = curve.Places[column].Label
				c.drawPlace(path.Point{X: at, Y: mid(i)}, curve.Places[column].Pattern)
			}
		}
		end = c.layColumn(at+c.text, y, high, words)
	}
	return y + float64(len(c.Curves))*high
}

// columns returns how many places a curve has at most.
func (c *chart) columns() (n int) {
	for _, curve := range c.Curves {
		n = max(n, len(curve.Places))
	}
	return n
}

// layColumn prints words below each other and returns where the widest ends.
func (c *chart) layColumn(x, y, high float64, words []string) (end float64) {
	room := float64(c.w) - c.text*1.8 - x
	for i, word := range words {
		if word == "" {
			continue
		}
		word = c.shorten(word, room)
		c.print(x, y+float64(i)*high, word, left, c.Theme.Ink)
		end = max(end, x+c.width(word))
	}
	return end
}
