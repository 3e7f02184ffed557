package hatch

import "furrow/path"

func (j *job) trace() *tracer {
	if j.tracer == nil {
		j.tracer = newTracer(j.w.f)
	}
	return j.tracer
}

// strokes traces the strokes of a group that are thinner than the mark: once a
// pass, or with the outlines where those are all.
func (j *job) strokes(group int32) {
	fill := &j.s.Groups[group]
	var lines []path.Line
	for i, l := range j.w.f.layers {
		if l.fill == group && l.thin {
			before := len(lines)
			j.art.Shapes[i].Centre.Flatten(j.s.tolerance(), func(pts []path.Point, closed bool) {
				lines = append(lines, j.trace().trace(pts, closed, int32(i), fill.lineWidth())...)
			})
			if len(lines) > before {
				j.done.Traced = append(j.done.Traced, i)
			}
		}
	}
	if fill.Outline.When == Only {
		j.addLines(lines, fill.Outline.Setting, 0)
	} else {
		j.everyPass(fill, lines)
	}
}

// everyPass adds lines to each pass of the fill.
func (j *job) everyPass(fill *Group, lines []path.Line) {
	for pass := range fill.passes() {
		j.addLines(lines, fill.Setting, j.phase(pass, 0, 0))
	}
}

// outlines traces the edges of what is marked of a group, holes before the edge
// round them.
func (j *job) outlines(group int32) error {
	o := &j.s.Groups[group].Outline
	if o.When == NoOutline {
		return nil
	}
	rings, err := j.region(group)
	if err == nil {
		rings, err = offset(rings, o.Offset, j.s.tolerance())
	}
	var lines []path.Line
	for _, ring := range rings {
		lines = append(lines, newLine(ring, true))
	}
	nest(lines)
	for i := range lines {
		lines[i] = begin(lines[i], o.Overlap)
	}
	phase := 0
	if o.When == After {
		phase = j.lastPhase()
	}
	j.addLines(lines, o.Setting, phase)
	return err
}

func (j *job) addLines(lines []path.Line, s path.Setting, phase int) {
	if len(lines) == 0 {
		return
	}
	setting, first := j.setting(s), len(j.marks.Lines)
	for _, l := range lines {
		l.Setting, l.Phase = setting, phase
		if l.Before >= 0 {
			l.Before += first
		}
		j.marks.Lines = append(j.marks.Lines, l)
	}
}
