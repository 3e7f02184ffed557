// Package inspect says what an artwork holds before anything is hatched: its
// shapes by colour and layer with the area of each that shows, outlines that
// are open or drawn twice, and the places too thin for the mark.
//
//	r, err := inspect.Look(art, inspect.Options{MarkWidth: 0.1})
//	r.Groups[0].Area   // mm², topmost paint first decided
//	r.Bridges, r.Gaps  // what a mark of 0.1 mm will close or lose, thinnest first
//
// Thin places are found on a grid of what shows (rows of path/hatch a tenth of
// the mark's width apart, or wider for large artwork): whatever a disc of the
// mark's width cannot reach from inside is thin, unless it is no longer than two
// widths, as the tips of corners are. Widths are good to about two pitches of
// that grid, which Report.Pitch gives; a bridge shorter than two widths is missed.
package inspect

import (
	"cmp"
	"fmt"
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
	Groups  []Group // by colour and layer, the largest area first
	Open    []Place // filled subpaths that are not closed
	Doubled []Place // shapes that repeat an earlier one exactly
	Bridges []Thin  // marked places narrower than the mark, the thinnest first
	Gaps    []Thin  // unmarked places between marks narrower than the mark
	Pitch   float64 // of the grid on which thin places were found, mm
	Marked  float64 // area that is marked, mm²
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
	At    path.Point
	Width float64 // mm, at its widest
}

// maxGroups bounds the groups whose areas are told apart.
const maxGroups = 1000

// Look inspects an artwork. Empty artwork gives an empty report. Errors are
// those of path/hatch.
func Look(art path.Artwork, o Options) (Report, error) {
	if !(o.MarkWidth >= 0) {
		return Report{}, fmt.Errorf("mark width %g mm: it must be 0 or more", o.MarkWidth)
	}
	if o.MarkWidth == 0 {
		o.MarkWidth = DefaultMarkWidth
	}
	if o.BareAbove == 0 {
		o.BareAbove = hatch.DefaultBareAbove
	}
	r := Report{Open: open(art), Doubled: doubled(art)}
	if len(art.Shapes) == 0 {
		return r, nil
	}
	groups, art := grouped(art, o.BareAbove)
	g := newGrid(art.Bounds(), o.MarkWidth)
	r.Pitch = g.pitch
	marks, err := rows(art, len(groups), g.pitch, o.BareAbove)
	if err != nil {
		return Report{}, err
	}
	for i := range marks.Rows {
		set := &marks.Rows[i]
		area := set.Length() * set.Spacing
		groups[set.Setting].Area += area
		r.Marked += area
		g.add(set)
	}
	slices.SortStableFunc(groups, func(a, b Group) int { return cmp.Compare(b.Area, a.Area) })
	r.Groups = groups
	r.Bridges, r.Gaps = g.thin(o.MarkWidth)
	return r, nil
}

// groupKey is what a group has in common.
type groupKey struct {
	paint path.Paint
	layer string
}

// grouped gives the shapes of each group a part of their own.
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
				groups = append(groups, Group{Paint: s.Paint, Layer: s.Source.Layer, Bare: s.Paint.Bare(bareAbove)})
			}
			index[k] = n
		}
		groups[n].Shapes++
		s.Part = n
	}
	art.Shapes = shapes
	return groups, art
}

// rows hatches with one part a group; the Setting of a row set is that of its
// group.
func rows(art path.Artwork, parts int, pitch, bareAbove float64) (path.Marks, error) {
	s := hatch.Settings{BareAbove: bareAbove, Tolerance: pitch / 10, Parts: make([]hatch.Part, parts)}
	for i := range s.Parts {
		s.Parts[i].Setting = path.Setting{SpacingMM: pitch, Name: fmt.Sprint(i)}
	}
	marks, _, err := hatch.Fill(art, s)
	for i := range marks.Rows { // settings may have been renumbered
		var n int
		if _, err := fmt.Sscan(marks.Settings[marks.Rows[i].Setting].Name, &n); err != nil {
			return path.Marks{}, err
		}
		marks.Rows[i].Setting = n
	}
	return marks, err
}
