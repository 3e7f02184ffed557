package main

import (
	"fmt"

	"furrow/emit"
	"furrow/path/hatch"
)

// warnOfFill says where the fill is not what the artwork's look would make one
// expect: thin parts, pale tints, rows closer than the file can tell apart.
func (b *build) warnOfFill() {
	if r := b.hatched; r.Thin > 0 {
		b.warn(warning{Message: fmt.Sprintf("%s narrower than twice the inset, marked with one line along the middle, %s in all",
			plural(r.Thin, "part"), metres(r.ThinMM))})
	}
	b.warnOfPale()
	for _, f := range b.fills {
		if step := b.gridMM(); f.Outline.When != hatch.Only && f.Setting.SpacingMM < step {
			b.warn(warning{Message: fmt.Sprintf("rows %s mm apart are closer than the file's grid of %s mm, and fall on each other",
				decimal(f.Setting.SpacingMM, 6), decimal(step, 6))})
		}
	}
}

// toldOneByOne is how many pale shapes are named before they are summed up.
const toldOneByOne = 5

// warnOfPale says which tints and faint shadows are marked although pale.
func (b *build) warnOfPale() {
	const advice = "; --bare-above 0.75 leaves such paint bare"
	pale := b.hatched.Pale
	area := 0.0
	for _, p := range pale {
		area += p.Area
	}
	if len(pale) > toldOneByOne {
		b.warn(warning{Message: fmt.Sprintf("%s pale, and marked all the same: %s mm2 in all%s", plural(len(pale), "shape"), decimal(area, 2), advice)})
		return
	}
	for _, p := range pale {
		src := b.art.Shapes[p.Shape].Source
		b.warn(warning{File: b.job.Artwork.File, Line: src.Line, Element: sourceName(src.Element, src.ID),
			Message: fmt.Sprintf("pale, and marked all the same: %s mm2%s", decimal(p.Area, 2), advice)})
	}
}

func sourceName(element, id string) string {
	if id == "" {
		return element
	}
	return element + "#" + id
}

// gridMM is the step of coordinates in the file, mm; 0 without a machine.
func (b *build) gridMM() float64 {
	switch {
	case b.machine == nil:
		return 0
	case b.machine.Kind == emit.KindGalvo:
		return 1.0 / emit.GalvoStepsPerMM
	case b.machine.GCode != nil && b.machine.GCode.Inch:
		return 25.4e-5
	}
	return 0.001
}
