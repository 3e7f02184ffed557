package path

// Bare reports that nothing of a shape, laid over white alone, is dark enough to be
// marked, as Paint.Bare has it: of a gradient no place, however pale its mean.
func (s *Shape) Bare(above float64) bool {
	k := 1.0
	for g := s.In; g != nil; g = g.In {
		if g.Blend != Normal {
			return false // over nothing it may be anything
		}
		k *= g.Opacity
	}
	if s.Gradient == nil {
		return s.Paint.Fade(k).Bare(above)
	}
	return s.Gradient.darkest()*k <= 1-above
}

// darkest returns by how much the darkest channel of a gradient, laid over white, is
// less than 1 at most.
func (g *Gradient) darkest() (most float64) {
	for i := range g.Stops {
		a := g.Stops[i].Paint
		b := a
		if i+1 < len(g.Stops) {
			b = g.Stops[i+1].Paint
		}
		most = max(most, darkestBetween(a.Opacity, b.Opacity, 1-a.R, 1-b.R),
			darkestBetween(a.Opacity, b.Opacity, 1-a.G, 1-b.G), darkestBetween(a.Opacity, b.Opacity, 1-a.B, 1-b.B))
	}
	return most
}

// darkestBetween returns the most of opacity times darkness, each of which runs
// straight from its first value to its second: at an end, or at the summit of the
// parabola.
func darkestBetween(opacity, opacity2, dark, dark2 float64) float64 {
	most := max(opacity*dark, opacity2*dark2)
	do, dd := opacity2-opacity, dark2-dark
	if do*dd >= 0 {
		return most
	}
	if t := -(float64(opacity*dd) + float64(dark*do)) / (2 * do * dd); t > 0 && t < 1 {
		most = max(most, (opacity+float64(t*do))*(dark+float64(t*dd)))
	}
	return most
}
