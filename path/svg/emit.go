package svg

import (
	"slices"

	"furrow/path"
)

// shape emits fill, stroke and markers of one outline, in user units.
func (w *walker) shape(n *node, st *state, p path.Path) {
	if !slices.ContainsFunc(p.Verbs, func(v path.Verb) bool { return v != path.MoveTo }) {
		return
	}
	if w.mode != painted {
		if w.mode == measured || !st.style.hidden {
			w.emit(n, st, path.Shape{Path: p.Transform(st.m), Rule: st.style.clipRule})
		}
		return
	}
	for _, what := range st.style.paintOrder {
		switch {
		case what == 'f' && !st.style.hidden && n.name != "line":
			w.fill(n, st, p)
		case what == 's' && !st.style.hidden:
			w.stroke(n, st, p)
		case what == 'm':
			w.markers(n, st, p)
		}
	}
}

func (w *walker) fill(n *node, st *state, p path.Path) {
	if i, ok := w.ink(n, st, st.style.fill, st.style.fillOpacity); ok {
		w.lay(n, st, path.Shape{Path: p.Transform(st.m), Rule: st.style.fillRule}, i)
	}
}

// emit adds one shape whose geometry is in mm.
func (w *walker) emit(n *node, st *state, s path.Shape) {
	if w.points += len(s.Path.Points) + len(s.Centre.Points); w.points > maxPoints {
		w.limit(n, "the drawing has more than %d points", maxPoints)
		return
	}
	b := s.Path.Bounds()
	if b.Empty() {
		return
	}
	if w.mode == measured {
		w.art.Shapes = append(w.art.Shapes, s)
		return
	}
	if !(b.Min.X > -maxMM && b.Min.Y > -maxMM && b.Max.X < maxMM && b.Max.Y < maxMM) {
		w.warn(n, path.Placing, "left out: it reaches further than 1 km")
		return
	}
	group, ok := w.pick.Wanted(st.picked, s.Paint)
	if !ok {
		return
	}
	s.Group, s.Invert = group, st.picked.Invert
	if s.In == nil {
		s.In = st.group
	}
	s.Clips = slices.Concat(needed(st.clips, b), needed(s.Clips, b))
	n = w.host(n)
	s.Source = path.Source{Element: n.name, ID: n.attr("id"), Layer: st.layer, Line: n.line}
	w.art.Shapes = append(w.art.Shapes, s)
}

// needed drops the frames that b lies within.
func needed(clips []*path.Clip, b path.Rect) []*path.Clip {
	for i, c := range clips {
		if !containsRect(c, b) {
			continue
		}
		kept := append([]*path.Clip(nil), clips[:i]...)
		for _, d := range clips[i+1:] {
			if !containsRect(d, b) {
				kept = append(kept, d)
			}
		}
		return kept
	}
	return clips
}

// containsRect reports that c is one upright rectangle round all of b.
func containsRect(c *path.Clip, b path.Rect) bool {
	if len(c.Shapes) != 1 || len(c.Shapes[0].Clips) > 0 {
		return false
	}
	p := c.Shapes[0].Path
	if len(p.Verbs) != 5 || p.Verbs[4] != path.Close || len(p.Points) != 4 {
		return false
	}
	r := p.Bounds()
	for i, q := range p.Points {
		next := p.Points[(i+1)%4]
		if q.X != next.X && q.Y != next.Y || q == p.Points[(i+2)%4] {
			return false
		}
	}
	return r.Min.X <= b.Min.X && r.Min.Y <= b.Min.Y && r.Max.X >= b.Max.X && r.Max.Y >= b.Max.Y
}
