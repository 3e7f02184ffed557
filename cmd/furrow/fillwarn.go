package main

import (
	"fmt"
	"math"
	"slices"

	"furrow/cmd/furrow/internal/words"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/hatch"
)

// warnOfFill says where the fill is not what the artwork's look would make one
// expect: thin parts, pale tints, rows closer than the file can tell apart.
func (b *build) warnOfFill() {
	if r := b.hatched; r.Thin > 0 {
		b.warn(warning{Message: fmt.Sprintf("%s narrower than twice the inset, marked with one line along the middle, %s in all",
			words.Plural(r.Thin, "part"), words.Metres(r.ThinMM))})
	}
	b.warnOfTraced()
	b.warnOfNarrow()
	b.warnOfPale()
	for _, f := range b.parts {
		if f.Contours && (f.Cross != 0 || f.PassTurn != 0 || slices.ContainsFunc(f.Angles, func(a float64) bool { return a != 0 })) {
			b.warn(warning{Message: "a contour-parallel fill has no rows: angle, cross and pass-turn are not used"})
		}
		if step := b.gridMM(); f.Outline.When != hatch.Only && f.Setting.SpacingMM < step {
			b.warn(warning{Message: fmt.Sprintf("rows %s mm apart are closer than the file's grid of %s mm, and fall on each other",
				words.Decimal(f.Setting.SpacingMM, 6), words.Decimal(step, 6))})
		}
	}
}

// warnOfEmptyParts says which parts of the job have no shape of their own.
func (b *build) warnOfEmptyParts(art path.Artwork) {
	for i, p := range b.Job.Parts {
		if !slices.ContainsFunc(art.Shapes, func(s path.Shape) bool { return s.Part == i+1 }) {
			b.warn(warning{Message: fmt.Sprintf("part %d (%s) marks nothing: what it picks is left out, or picked again by a later part", i+1, p.Pick)})
		}
	}
}

// warnOfPale says which tints and faint shadows are marked although pale.
func (b *build) warnOfPale() {
	const advice = "; --bare-above 0.75 leaves such paint bare"
	pale := b.hatched.Pale
	area := 0.0
	for _, p := range pale {
		area += p.Area
	}
	if len(pale) > toldOneByOne {
		b.warn(warning{Message: fmt.Sprintf("%s pale, and marked all the same: %s mm2 in all%s", words.Plural(len(pale), "shape"), words.Decimal(area, 2), advice)})
		return
	}
	for _, p := range pale {
		b.warn(shapeWarning(b.Job.Artwork.File, b.art.Shapes[p.Shape], fmt.Sprintf("pale, and marked all the same: %s mm2%s", words.Decimal(p.Area, 2), advice)))
	}
}

// warnOfTraced says which strokes are too thin to be filled.
func (b *build) warnOfTraced() {
	var shapes []path.Shape
	for _, i := range b.hatched.Traced {
		shapes = append(shapes, b.art.Shapes[i])
	}
	b.warn(shapeWarnings(b.Job.Artwork.File, shapes, "thinner than a marked line, and traced once along the middle")...)
}

// warnOfNarrow says which shapes are so narrow that rows may miss them. An inset
// looks after them itself.
func (b *build) warnOfNarrow() {
	above := b.hatchSettings().BareAbove
	var narrow []path.Shape
	for _, s := range b.art.Shapes {
		f := b.parts[s.Part]
		if f.Inset > 0 || f.Outline.When == hatch.Only || s.Width > 0 || s.Paint.Bare(above) {
			continue
		}
		if w := meanWidth(s.Path, f.Setting.SpacingMM/10); w > 0 && w < f.Setting.SpacingMM {
			narrow = append(narrow, s)
		}
	}
	b.warn(shapeWarnings(b.Job.Artwork.File, narrow, "narrower than the spacing, and marked in pieces or not at all; --mark-width keeps such parts")...)
}

// meanWidth returns the width of a long shape: twice its area over its perimeter.
func meanWidth(p path.Path, tolerance float64) float64 {
	area, perimeter := 0.0, 0.0
	p.Flatten(tolerance, func(pts []path.Point, _ bool) {
		ring := 0.0
		for i, q := range pts {
			next := pts[(i+1)%len(pts)]
			ring += q.Cross(next) / 2
			perimeter += q.Dist(next)
		}
		area += math.Abs(ring)
	})
	return 2 * area / perimeter
}

// gridMM is the step of coordinates in the file, mm; 0 without a machine.
func (b *build) gridMM() float64 {
	switch {
	case b.Machine == nil:
		return 0
	case b.Machine.IsGalvo():
		return 1.0 / machine.GalvoStepsPerMM
	}
	return b.Machine.GCode.Grid().StepMM()
}
