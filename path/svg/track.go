package svg

import (
	"math"
	"slices"
	"sort"

	"furrow/path"
)

// track is the path that the letters of a textPath stand on (SVG 2, 11.8).
type track struct {
	points []path.Point
	upTo   []float64 // length of the path up to each point
	gap    []bool    // no line leads to the point
	start  float64   // startOffset
}

// track returns that of a textPath, or nil with a warning where it has none.
func (w *walker) track(n *node, s *style) *track {
	p, unit := w.trackPath(n, s)
	k := newTrack(p, n.attr("side") == "right")
	if len(k.points) < 2 {
		return nil // SVG 2, 11.8: as not rendered
	}
	if n.attr("method") == "stretch" {
		w.warn(n, path.Lettering, "letters are to be bent along their path, and stand straight on it")
	}
	length := k.upTo[len(k.upTo)-1]
	if l, ok := parseLength(n.attr("startOffset")); ok {
		k.start = l.px(w.metrics(s), viewport{length, length}, horizontal)
		if l.unit != "%" && unit > 0 {
			k.start *= length / unit
		}
	}
	return k
}

// trackPath returns the path, in the units of the text, and its pathLength.
func (w *walker) trackPath(n *node, s *style) (p path.Path, unit float64) {
	if d := n.attr("path"); d != "" {
		p, err := parsePathData(d)
		if err != nil {
			w.warn(n, path.PathData, "%v", err)
		}
		return p, unit
	}
	t := w.target(n)
	if t == nil || elements[t.name] != shapeElement {
		w.warn(n, path.Lettering, "its text is left out: it stands on no path of the file")
		return p, unit
	}
	ts := w.cascade(t, w.ancestorStyle(t))
	unit, _ = scanNumber(t.attr("pathLength"))
	return w.outline(t, &ts).Transform(w.transform(t, &ts)), unit
}

// newTrack flattens a path; backwards is from its end to its start, for text on its
// right.
func newTrack(p path.Path, backwards bool) *track {
	k := &track{}
	b := p.Bounds()
	p.Flatten(math.Hypot(b.W(), b.H())*1e-5+1e-9, func(pts []path.Point, closed bool) {
		for i, q := range pts {
			k.add(q, i == 0)
		}
		if closed {
			k.add(pts[0], false)
		}
	})
	if backwards {
		slices.Reverse(k.points)
		slices.Reverse(k.gap) // which then tells of the line that leads on
		k.gap = append([]bool{true}, k.gap...)[:len(k.gap)]
	}
	length := 0.0
	for i, q := range k.points {
		if !k.gap[i] {
			length += q.Dist(k.points[i-1])
		}
		k.upTo = append(k.upTo, length)
	}
	return k
}

func (k *track) add(p path.Point, gap bool) {
	k.points, k.gap = append(k.points, p), append(k.gap, gap)
}

func (k *track) end() path.Point { return k.points[len(k.points)-1] }

// at returns the place and direction at a length along the path; ok is false beyond
// its ends.
func (k *track) at(length float64) (p, along path.Point, ok bool) {
	if length < 0 || length > k.upTo[len(k.upTo)-1] {
		return p, along, false
	}
	i := sort.SearchFloat64s(k.upTo, length)
	for i = max(i, 1); i < len(k.points)-1 && (k.gap[i] || k.upTo[i] == k.upTo[i-1]); {
		i++
	}
	a, b, d := k.points[i-1], k.points[i], k.upTo[i]-k.upTo[i-1]
	if !(d > 0) {
		return p, along, false
	}
	return a.Lerp(b, (length-k.upTo[i-1])/d), b.Sub(a).Mul(1 / d), true
}

// carry puts signs on the path: each with its middle on it, turned along it.
func (k *track) carry(signs []sign) {
	for i := range signs {
		s := &signs[i]
		half := s.advance / 2
		p, along, ok := k.at(s.at.X + half)
		if s.hidden = !ok; !ok {
			continue
		}
		below := path.Point{X: -along.Y, Y: along.X}
		s.at = p.Sub(along.Mul(half)).Add(below.Mul(s.at.Y))
		s.turn += math.Atan2(along.Y, along.X) * 180 / math.Pi
	}
}
