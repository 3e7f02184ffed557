package svg

import (
	"slices"
	"strings"

	"furrow/path"
)

// grouped opens a group for an element whose opacity, blending, isolation or mask
// holds for all that it paints together.
func (w *walker) grouped(n *node, st *state) {
	s := &st.style
	masked := s.mask != "" && s.mask != "none" && w.mode == painted
	if w.mode == painted && (s.opacity < 1 || s.blend != path.Normal || s.isolated) {
		st.group = &path.PaintGroup{In: st.group, Opacity: s.opacity, Blend: s.blend}
	}
	if masked {
		w.masked(n, st, w.boundingBox(n, st), s.mask)
	}
}

// masked limits what an element with bounding box b paints by the mask that ref
// refers to (CSS Masking 1, 6).
func (w *walker) masked(n *node, st *state, b path.Rect, ref string) {
	id, rest, ok := parseURL(ref)
	if ok && rest != "" {
		w.warnAt(n, boxIn(st.m, b), path.Effect, "of a mask only the reference in it is followed: %q", clip(ref))
	}
	t := w.tree.ids[id]
	if !ok || t == nil || t.name != "mask" {
		w.warnAt(n, boxIn(st.m, b), path.Reference,
			"mask refers to %q, which is no mask of the file; ignored", clip(ref))
		return
	}
	if slices.Contains(w.within, t) {
		w.warn(n, path.Reference, "a mask inside itself is ignored")
		return
	}
	w.within = append(w.within, t)
	shapes, alpha := w.maskShapes(st, b, t)
	w.within = w.within[:len(w.within)-1]
	if everythingShows(shapes, alpha) {
		st.clips = appendClip(st.clips, &path.Clip{Shapes: shapes})
		return
	}
	if st.group == nil || st.group.Mask != nil || st.style.opacity == 1 && st.style.blend == path.Normal &&
		!st.style.isolated {
		st.group = &path.PaintGroup{In: st.group, Opacity: 1}
	}
	st.group.Mask = &path.Mask{Shapes: shapes, Alpha: alpha}
}

// maskShapes returns what a mask paints.
func (w *walker) maskShapes(st *state, b path.Rect, t *node) (shapes []path.Shape, alpha bool) {
	s := w.servant(t)
	inBox := s.attr("maskUnits") != "userSpaceOnUse"
	contentInBox := s.attr("maskContentUnits") == "objectBoundingBox"
	at := box{
		x: s.length("x", horizontal, inBox, "-10%"), y: s.length("y", vertical, inBox, "-10%"),
		w: s.length("width", horizontal, inBox, "120%"), h: s.length("height", vertical, inBox, "120%"),
	}
	if inBox {
		at = box{x: b.Min.X + at.x*b.W(), y: b.Min.Y + at.y*b.H(), w: at.w * b.W(), h: at.h * b.H()}
	}
	if !(at.w > 0 && at.h > 0) {
		return shapes, alpha
	}
	inner := &state{m: st.m, style: s.style, opacity: 1, clips: []*path.Clip{frameClip(at, st.m)}}
	if contentInBox {
		inner.m = inner.m.Mul(boxMatrix(b))
	}
	if s.style.clipPath != "" && s.style.clipPath != "none" {
		inner.clips = w.clipped(t, inner)
	}
	if s.style.mask != "" && s.style.mask != "none" {
		w.masked(t, inner, b, s.style.mask)
	}
	shapes = w.capture(painted, func() { w.children(t, inner) })
	kind := s.style.maskType
	return foldGroups(shapes), strings.EqualFold(kind, "alpha")
}

// everythingShows reports that a mask lets through all or nothing, as a clip does:
// what it paints is white, or counts by opacity, and opaque.
func everythingShows(shapes []path.Shape, alpha bool) bool {
	for i := range shapes {
		p := shapes[i].Paint
		if shapes[i].Gradient != nil || shapes[i].In != nil || p.Opacity < 1 || !alpha && min(p.R, p.G, p.B) < 1 {
			return false
		}
	}
	return true
}

// foldGroups takes off the groups that make no difference: that of one shape only,
// whose opacity it then has itself, and that which is opaque and has nothing inside
// that blends; and the shapes that fade to nothing by it.
func foldGroups(shapes []path.Shape) []path.Shape {
	uses := map[*path.PaintGroup]*groupUse{}
	for i := range shapes {
		blends := false
		for g := shapes[i].In; g != nil; g = g.In {
			u := uses[g]
			if u == nil {
				u = &groupUse{}
				uses[g] = u
			}
			u.shapes++
			u.blends = u.blends || blends
			blends = blends || g.Blend != path.Normal
		}
	}
	for i := range shapes {
		s := &shapes[i]
		for s.In != nil && s.In.Plain() {
			u := uses[s.In]
			if u.blends || u.shapes > 1 && s.In.Opacity < 1 {
				break
			}
			if k := s.In.Opacity; k < 1 {
				s.Paint = s.Paint.Fade(k)
				if s.Gradient != nil {
					s.Gradient = s.Gradient.Fade(k)
				}
			}
			s.In = s.In.In
		}
		for g := s.In; g != nil; g = g.In { // opaque ones further out
			for g.In != nil && g.In.Plain() && g.In.Opacity >= 1 && !uses[g.In].blends {
				g.In = g.In.In
			}
		}
	}
	return slices.DeleteFunc(shapes, func(s path.Shape) bool {
		return s.Gradient == nil && s.Paint.Opacity < invisible
	})
}

// groupUse is how a group is used: by how many shapes, and whether some group in it
// blends with what lies there.
type groupUse struct {
	shapes int
	blends bool
}
