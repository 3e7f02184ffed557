package hatch

import (
	"fmt"
	"slices"

	"furrow/path"
)

// lay sets what a layer paints.
func (l *layer) lay(s *path.Shape, above float64) {
	l.paint, l.ramp = newColour(s.Paint), s.Gradient
	opaque := s.Paint.Opacity >= 1
	if l.ramp == nil {
		l.bare, l.pale = s.Paint.Bare(above), s.Paint.Bare(paleAbove)
	} else {
		kind := kindOf(l.ramp, above)
		l.bare, opaque = kind == showsBare, kind != unclear
		l.pale = slices.ContainsFunc(l.ramp.Stops, func(s path.Stop) bool { return s.Paint.Bare(paleAbove) })
	}
	l.solid = l.group == page && opaque
	l.pale = !l.bare && (l.pale || !l.solid)
}

// reaches reports that a gradient paints everywhere: a radial one does where the circle
// that it starts from lies inside the one that it ends at.
func reaches(g *path.Gradient) bool { return !g.Radial || g.Focus.Len() < 1-g.Start }

// kindOf tells of a gradient that is opaque whether it is bare or dark all over.
// Between two stops each channel runs straight, so that one which is low at both is
// low between them.
func kindOf(g *path.Gradient, above float64) paint {
	if !reaches(g) || len(g.Stops) == 0 {
		return unclear
	}
	bare, dark := true, true
	last := g.Stops[0].Paint
	if g.Spread == path.Repeat {
		last = g.Stops[len(g.Stops)-1].Paint
	}
	for _, s := range g.Stops {
		p := s.Paint
		if p.Opacity < 1 {
			return unclear
		}
		bare = bare && p.Bare(above)
		dark = dark && min(max(p.R, last.R), max(p.G, last.G), max(p.B, last.B)) < above
		last = p
	}
	switch {
	case bare:
		return showsBare
	case dark:
		return showsMark
	}
	return unclear
}

// groupNest knows the groups and masks met before, and masks still to be painted.
type groupNest struct {
	groups map[groupKey]int32
	masks  map[*path.Mask]int32
	todo   []*path.Mask
}

// groupKey is a group of the page, or of the mask with a root.
type groupKey struct {
	g    *path.PaintGroup
	root int32
}

func newGroupNest() groupNest {
	return groupNest{groups: map[groupKey]int32{}, masks: map[*path.Mask]int32{}}
}

// group returns the number of a group; nil is the root. A group inside itself, or
// a mask within itself, is taken off there.
func (f *flattener) group(g *path.PaintGroup, root int32) int32 {
	if g == nil {
		return root
	}
	key := groupKey{g, root}
	if id, ok := f.nest.groups[key]; ok {
		return id
	}
	f.nest.groups[key] = root
	made := group{in: f.group(g.In, root), opacity: min(max(g.Opacity, 0), 1), blend: g.Blend, mask: f.mask(g.Mask)}
	f.groups = append(f.groups, made)
	id := int32(len(f.groups) - 1)
	f.nest.groups[key] = id
	return id
}

// mask returns the root of what a mask paints, which comes behind all shapes.
func (f *flattener) mask(m *path.Mask) int32 {
	if m == nil {
		return none
	}
	id, ok := f.nest.masks[m]
	if !ok {
		f.groups = append(f.groups, group{in: none, opacity: 1, mask: none, alpha: m.Alpha})
		id = int32(len(f.groups) - 1)
		f.nest.masks[m] = id
		f.nest.todo = append(f.nest.todo, m)
	}
	return id
}

// paintMasks adds the layers of all masks, those inside masks behind the masks that
// they are of, so that no mask can wait for itself.
func (f *flattener) paintMasks(set *Settings) error {
	for i := 0; i < len(f.nest.todo); i++ {
		m := f.nest.todo[i]
		root := f.nest.masks[m]
		f.groups[root].first = int32(len(f.layers))
		for k := range m.Shapes {
			f.shape(&m.Shapes[k], set, root)
			if f.err != nil {
				return fmt.Errorf("a mask's shape %d (%s): %w", k, m.Shapes[k].Source.Element, f.err)
			}
		}
	}
	return nil
}
