package work

import (
	"fmt"
	"math"
	"slices"

	"furrow/cmd/furrow/internal/words"
	"furrow/path"
	"furrow/path/hatch"
)

// fillWarnings say where the fill is not what the artwork's look would make one
// expect: thin parts, pale tints, rows closer than the file can tell apart.
func (in Input) fillWarnings(s Strokes) []Warning {
	var all []Warning
	if r := s.Hatched; r.Thin > 0 {
		all = append(all, Warning{Message: fmt.Sprintf(
			"%s too narrow for the inset, marked as one centre line (%s in all)",
			words.Plural(r.Thin, "place"), words.Metres(r.ThinMM))})
	}
	if d := s.Hatched.Dust; d.Spans > 0 {
		all = append(all, Warning{Message: fmt.Sprintf(
			"%s left out (%s mm in all): too short to show; --shortest 0mm marks them",
			words.Plural(d.Spans, "span"), words.Decimal(d.MM, 3))})
	}
	all = append(all, in.tracedWarnings(s)...)
	all = append(all, in.narrowWarnings(s)...)
	all = append(all, in.paleWarnings(s)...)
	for _, f := range in.Groups {
		all = append(all, in.rowWarnings(f)...)
	}
	return all
}

// rowWarnings say what of a fill's rows is not used, or lost in the file.
func (in Input) rowWarnings(f hatch.Group) (all []Warning) {
	turned := slices.ContainsFunc(f.Angles, func(a float64) bool { return a != 0 })
	if f.Contours && (f.Cross != 0 || f.PassTurn != 0 || turned) {
		all = append(all, Warning{Message: "a contour-parallel fill has no rows: angle, cross and pass-turn are not " +
			"used"})
	}
	if step := gridMM(in.Machine); f.Outline.When != hatch.Only && f.Setting.SpacingMM < step {
		all = append(all, Warning{Message: fmt.Sprintf(
			"rows %s mm apart are closer than the file's grid of %s mm, and fall on each other",
			words.Decimal(f.Setting.SpacingMM, 6), words.Decimal(step, 6))})
	}
	return all
}

// paleWarnings say which tints and faint shadows are marked although pale.
func (in Input) paleWarnings(s Strokes) (all []Warning) {
	const advice = "; --bare-above 0.75 leaves it bare"
	pale := s.Hatched.Pale
	area := 0.0
	for _, p := range pale {
		area += p.Area
	}
	if len(pale) > toldOneByOne {
		return []Warning{{Message: fmt.Sprintf("pale paint will be marked on %s: %s mm2 in all%s",
			words.Plural(len(pale), "shape"), words.Number(area, 2), advice)}}
	}
	for _, p := range pale {
		text := fmt.Sprintf("pale paint will be marked: %s mm2%s", words.Number(p.Area, 2), advice)
		all = append(all, shapeWarning(in.Job.Artwork.File, s.Art.Shapes[p.Shape], text))
	}
	return all
}

// tracedWarnings say which strokes are too thin to be filled.
func (in Input) tracedWarnings(s Strokes) []Warning {
	var shapes []path.Shape
	for _, i := range s.Hatched.Traced {
		if s.Art.Shapes[i].Width > path.MinSpacing { // thinner ones are meant as lines
			shapes = append(shapes, s.Art.Shapes[i])
		}
	}
	return shapeWarnings(in.Job.Artwork.File, shapes, "thinner than a marked line, and traced once along the middle")
}

// narrowWarnings say which shapes are so narrow that rows may miss them. An inset
// looks after them itself.
func (in Input) narrowWarnings(s Strokes) []Warning {
	settings := in.hatchSettings()
	above := settings.BareAbove
	var narrow []path.Shape
	for _, shape := range s.Art.Shapes {
		f := settings.Groups[shape.Group]
		if f.Inset > 0 || f.Outline.When == hatch.Only || shape.Width > 0 || shape.Bare(above) {
			continue
		}
		if w := meanWidth(shape.Path, f.Setting.SpacingMM/10); w > 0 && w < f.Setting.SpacingMM {
			narrow = append(narrow, shape)
		}
	}
	return shapeWarnings(in.Job.Artwork.File, narrow,
		"narrower than the spacing, and marked in pieces or not at all; --mark-width keeps such parts")
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
