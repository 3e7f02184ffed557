package svg

import (
	"math"
	"strings"

	"furrow/path"
)

// A filter is drawn as far as it lays the element over copies of itself: moved and in
// other colours, as a hard shadow or a change of colours is (Filter Effects 1). What is
// blurred has no edge to mark: over such a shadow the element is drawn alone, and what
// is nothing but blurred is drawn with sharp edges.

// filterLayer is the element as a filter paints it once.
type filterLayer struct {
	recolour recolour // nil leaves the colours
	opacity  float64
	by       path.Point // moved, user units
	blur     float64    // standard deviation, user units
	flood    bool       // the whole region instead of the element, in what recolour makes of black
}

// own reports the element as it is.
func (l *filterLayer) own() bool {
	return l.recolour == nil && l.opacity == 1 && l.by == path.Point{} && l.blur == 0 && !l.flood
}

// filterImage is layers, the lowest first.
type filterImage []filterLayer

// filtered is what a filter makes of an element; problem names what cannot be drawn.
type filtered struct {
	image   filterImage
	region  *path.Clip // nil is everywhere
	problem string
}

var sourceGraphic = filterImage{{opacity: 1}}

// filter draws an element through its filter; draw is without.
func (w *walker) filter(n *node, st *state, draw func()) {
	value := st.style.filter
	if value == "" || strings.EqualFold(value, "none") || w.mode != painted {
		draw()
		return
	}
	f, ok := w.filterOf(n, st, value)
	switch {
	case !ok:
		w.warnDrawn(n, st, path.BadValue, "filter is ignored: %q", clip(value))
		draw()
	case f.problem != "":
		w.warnDrawn(n, st, path.Effect, "%s is not supported; drawn without its filter", f.problem)
		draw()
	default:
		w.layers(n, st, f, draw)
	}
}

// filterOf reads a list of filter functions and references; ok is false for what is no
// such list or names a filter that is not in the file.
func (w *walker) filterOf(n *node, st *state, value string) (f filtered, ok bool) {
	f.image = sourceGraphic
	for range maxFilterList {
		name, inner, rest, cut := cutFunction(value)
		if !cut {
			return f, strings.TrimSpace(value) == ""
		}
		if name != "url" {
			f.image, ok = w.filterFunction(st, f.image, name, inner)
		} else {
			t := w.tree.ids[localID(strings.Trim(inner, `"'`))]
			if ok = t != nil && t.name == "filter"; ok && f.problem == "" {
				f = w.filterElement(n, st, t, f)
			}
		}
		if !ok {
			return f, false
		}
		value = rest
	}
	return f, strings.TrimSpace(value) == ""
}

// cutFunction cuts "name(inner)" off a list.
func cutFunction(list string) (name, inner, rest string, ok bool) {
	name, behind, ok := strings.Cut(strings.TrimSpace(list), "(")
	end := closing(behind)
	if !ok || end < 0 {
		return "", "", list, false
	}
	return strings.ToLower(name), strings.TrimSpace(behind[:end]), behind[end+1:], true
}

// layers draws those of a filter.
func (w *walker) layers(n *node, st *state, f filtered, draw func()) {
	if f.region != nil {
		st.clips = appendClip(st.clips, f.region)
	}
	whole := -1 // the topmost layer that is the element itself
	for i := range f.image {
		if f.image[i].own() {
			whole = i
		}
	}
	for i := range f.image {
		l := &f.image[i]
		switch {
		case i == whole:
			draw()
		case l.flood:
			w.flood(n, st, l, f.region)
		case w.soft(st, l):
			w.softLayer(n, st, l, whole >= 0, i == len(f.image)-1, draw)
		default:
			w.copied(n, st, l, draw)
		}
	}
}

// leastBlur is the standard deviation below which a blur is none, mm: no mark is as fine.
const leastBlur = 0.01

func (w *walker) soft(st *state, l *filterLayer) bool {
	return l.blur*math.Sqrt(math.Abs(st.m.Det())) >= leastBlur
}

// softLayer leaves a blurred layer out, beside the element itself or a layer above it,
// or draws it with sharp edges.
func (w *walker) softLayer(n *node, st *state, l *filterLayer, beside, last bool, draw func()) {
	at := w.paintedBox(n, st)
	if !at.Empty() {
		at = at.Move(st.m.ApplyVector(l.by)).Grow(2 * l.blur * math.Sqrt(math.Abs(st.m.Det())))
	}
	if beside || !last {
		w.warnAt(n, at, path.Effect, "a soft shadow or glow is left out")
		return
	}
	w.warnAt(n, at, path.Effect, "it is blurred, and drawn with sharp edges")
	if l.recolour == nil && l.by == (path.Point{}) && l.opacity == 1 {
		draw()
		return
	}
	w.copied(n, st, l, draw)
}

// flood covers the filter's region.
func (w *walker) flood(n *node, st *state, l *filterLayer, region *path.Clip) {
	p := l.recolour(path.Paint{Opacity: 1}).Fade(l.opacity)
	if region != nil && p.Opacity >= invisible {
		w.emit(n, st, path.Shape{Path: region.Shapes[0].Path, Paint: p})
	}
}

// copied draws the element moved and recoloured.
func (w *walker) copied(n *node, st *state, l *filterLayer, draw func()) {
	outer := *st
	outer.group = &path.PaintGroup{In: st.group, Opacity: l.opacity} // Filter Effects 1, 5: isolated
	keptClips, keptGroup := st.clips, st.group
	st.clips, st.group = nil, outer.group
	w.within = append(w.within, n)
	content := w.capture(painted, draw)
	w.within = w.within[:len(w.within)-1]
	st.clips, st.group = keptClips, keptGroup
	if l.recolour != nil {
		content = recoloured(content, l.recolour)
	}
	w.lays(n, &outer, content, []path.Point{st.m.ApplyVector(l.by)})
}

// recoloured returns shapes in other colours. Those of groups that blend are changed
// before they do, where a filter would come after it.
func recoloured(shapes []path.Shape, f recolour) []path.Shape {
	out := make([]path.Shape, len(shapes))
	for i, s := range shapes {
		s.Paint = f(s.Paint)
		if s.Gradient != nil {
			g := *s.Gradient
			g.Stops = make([]path.Stop, len(s.Gradient.Stops))
			for k, stop := range s.Gradient.Stops {
				g.Stops[k] = path.Stop{Offset: stop.Offset, Paint: f(stop.Paint)}
			}
			s.Gradient = &g
		}
		out[i] = s
	}
	return out
}
