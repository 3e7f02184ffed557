// Package inspect says what an artwork holds before anything is hatched: its
// shapes by colour and layer with the area of each that shows, outlines that
// are open or drawn twice, and the places too thin for the mark.
//
//	r, err := inspect.Look(art, inspect.Options{MarkWidth: 0.1})
//	r.Groups[0].Area        // mm², topmost paint first decided
//	r.Bridges.Thin, r.Gaps.Thin  // what a mark of 0.1 mm will lose or close, thinnest first
//	r.Bridges.Least         // the thinnest bridge of all, thin or not
//
// A place has a width where the boundary of what shows stands straight across
// from itself: where a disc just fits between two points that are a diameter of
// it (the two-sided contacts of the medial axis at which its disc is locally
// smallest, or all along parallel sides). So a corner, however sharp, is no thin
// place, and a bridge is one, however short. Widths are good to a hundredth of the mark's,
// or, where curves have more than about a million corners, to a twelfth; less than 5 µm
// counts as touching.
package inspect

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"furrow/path"
	"furrow/path/hatch"
)

// Options say how closely to look.
type Options struct {
	MarkWidth float64 // of one line, mm; 0 means DefaultMarkWidth
	BareAbove float64 // as path.Paint.Bare takes it; 0 means hatch.DefaultBareAbove
}

// DefaultMarkWidth is for a machine whose mark is not measured, mm.
const DefaultMarkWidth = 0.1

// Report is what was found. Places are on the page, mm.
type Report struct {
	MarkWidth float64     // that was reckoned with, mm
	Groups    []Group     // by colour and layer, the largest area first
	Open      []Place     // filled subpaths that are not closed
	Doubled   []Place     // shapes that repeat an earlier one exactly
	Bridges   Widths      // of what is marked
	Gaps      Widths      // of what is not marked, between marks
	Within    float64     // by how much widths may be off, mm; 0 where none was measured
	Marked    float64     // area that is marked, mm²
	Rows      path.RowSet // by which the areas were measured: a picture of what is marked

	// Tangle says that edges cross too often for bridges and gaps to be measured; nil
	// where they are.
	Tangle *hatch.TangleError
}

// Widths is how wide the narrow places of one kind are.
type Widths struct {
	Thin  []Thin  // narrower than the mark, the thinnest first
	Least *Thin   // the narrowest of all, nil where there is none up to Reach
	Reach float64 // up to this width everything was looked at, mm; less than the mark's where the artwork is too dense
}

// Group is the shapes of one paint in one layer.
type Group struct {
	Paint  path.Paint
	Layer  string
	Shapes int
	Bare   bool
	Area   float64 // that shows, mm²; of a bare group 0, since it leaves the blank as it is
}

// Place is a shape and where it is.
type Place struct {
	Source path.Source
	At     path.Point
}

// Thin is a place too thin for the mark.
type Thin struct {
	At     path.Point
	Width  float64 // mm, where it is narrowest
	Length float64 // of the stretch on which it is narrower than the mark, mm, about
}

// maxGroups bounds the groups whose areas are told apart.
const maxGroups = 1000

// Look inspects an artwork. Empty artwork gives an empty report. Errors are
// those of path/hatch.
func Look(art path.Artwork, o Options) (r Report, err error) {
	if !(o.MarkWidth >= 0) {
		return Report{}, fmt.Errorf("mark width %g mm: it must be 0 or more", o.MarkWidth)
	}
	if o.MarkWidth == 0 {
		o.MarkWidth = DefaultMarkWidth
	}
	if o.BareAbove == 0 {
		o.BareAbove = hatch.DefaultBareAbove
	}
	r = Report{MarkWidth: o.MarkWidth, Open: open(art), Doubled: doubled(art)}
	if len(art.Shapes) == 0 {
		return r, nil
	}
	groups, art := grouped(art, o.BareAbove)
	if err := r.area(art, groups, o); err != nil {
		return Report{}, err
	}
	slices.SortStableFunc(groups, func(a, b Group) int { return cmp.Compare(b.Area, a.Area) })
	r.Groups = groups
	err = r.measure(art, o)
	return r, err
}

// How closely curves are followed: to a part of the mark's width, and less closely
// where the curves have very many corners.
const (
	finestPart   = 200
	coarsestPart = 25
	manyCorners  = 1_000_000
)

// tolerance returns how far from its curves the boundary may lie.
func tolerance(art path.Artwork, mark float64) float64 {
	corners := 0.0
	for i := range art.Shapes {
		art.Shapes[i].Path.Flatten(mark/coarsestPart, func(pts []path.Point, _ bool) { corners += float64(len(pts)) })
	}
	finest, coarsest := mark/finestPart, mark/coarsestPart
	// A curve has as many corners as the root of the tolerance goes into it.
	return min(max(finest, coarsest*corners*corners/(manyCorners*manyCorners)), coarsest)
}

// measure finds the narrow places.
func (r *Report) measure(art path.Artwork, o Options) error {
	tolerance := tolerance(art, o.MarkWidth)
	rings, err := hatch.Boundary(art, hatch.Settings{BareAbove: o.BareAbove, Tolerance: tolerance})
	switch {
	case errors.As(err, &r.Tangle):
		return nil
	case err != nil:
		return err
	}
	box := path.EmptyRect()
	for _, ring := range rings {
		box = box.Union(path.BoundsOf(ring))
	}
	marked := ruler{newEdges(rings, false), box, tolerance}
	r.Bridges = marked.measure(o.MarkWidth)
	bare := ruler{newEdges(rings, true), box, tolerance}
	r.Gaps = bare.measure(o.MarkWidth)
	r.Within = 2 * tolerance // each side may lie as far from its curve
	return nil
}

// Coarse reports that curves were followed less closely than they are where there are fewer.
func (r *Report) Coarse() bool { return r.Within > 2*r.MarkWidth/finestPart }

// groupKey is what a group has in common.
type groupKey struct {
	paint path.Paint
	layer string
}

// grouped gives the shapes of each group a fill of their own.
func grouped(art path.Artwork, bareAbove float64) ([]Group, path.Artwork) {
	index := map[groupKey]int{}
	var groups []Group
	shapes := slices.Clone(art.Shapes)
	for i := range shapes {
		s := &shapes[i]
		k := groupKey{s.Paint, s.Source.Layer}
		n, ok := index[k]
		if !ok {
			if n = len(groups); n == maxGroups {
				n--
			} else {
				groups = append(groups, Group{Paint: s.Paint, Layer: s.Source.Layer, Bare: true})
			}
			index[k] = n
		}
		groups[n].Shapes++
		groups[n].Bare = groups[n].Bare && s.Bare(bareAbove)
		s.Group = n
	}
	art.Shapes = shapes
	return groups, art
}

// mostRows is how many rows measure the areas, unless the mark's width is less
// than their distance.
const mostRows = 2000

// mostCrossings bounds how often these rows cross edges, and with it time and memory: a
// few seconds and 300 MB. A page of drawing has a hundredth of it.
const mostCrossings = 16_000_000

// climb returns how far all edges go up and down in all, mm.
func climb(art path.Artwork, tolerance float64) (mm float64) {
	for i := range art.Shapes {
		art.Shapes[i].Path.Flatten(tolerance, func(pts []path.Point, _ bool) {
			for k := range pts[1:] {
				mm += math.Abs(pts[k+1].Y - pts[k].Y)
			}
		})
	}
	return mm
}

// area measures what is marked, of each group and in all.
func (r *Report) area(art path.Artwork, groups []Group, o Options) error {
	pitch := max(min(o.MarkWidth, art.Bounds().H()/mostRows), path.MinSpacing)
	pitch = max(pitch, climb(art, pitch/10)/mostCrossings)
	rows, areas, err := hatch.Shown(art, pitch, hatch.Settings{BareAbove: o.BareAbove, Tolerance: pitch / 10})
	r.Rows = rows
	for i, a := range areas {
		groups[art.Shapes[i].Group].Area += a
		r.Marked += a
	}
	return err
}
