package swatch

import (
	"fmt"
	"slices"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/path"
)

// Made is a card as moves, proved against the machine's limits and timed.
type Made struct {
	Card
	work.Work
	Marked []Patch // in the sequence in which they are marked, where they lie on the machine
	Energy map[string]float64
}

// Make makes the moves of a card: the lettering, and then its patches.
func (c Card) Make() (Made, error) {
	if len(c.Patches) == 0 {
		return Made{}, c.nothing()
	}
	in := c.input(c.Spec.Letters, "quick")
	in.Drawing.Art = path.Artwork{Page: path.Rect{Max: c.Size}}
	place, err := in.Placing()
	if err != nil {
		return Made{}, err
	}
	b := builder{card: c, place: place}
	if err := b.lettering(in); err != nil {
		return Made{}, err
	}
	marked := c.sequence()
	for i, p := range marked {
		if marked[i], err = b.patch(p); err != nil {
			return Made{}, err
		}
	}
	s := b.strokes
	s.Art = in.Drawing.Art.Transform(place)
	w, err := work.Plan(in, in.IntoField(s))
	if err != nil {
		return Made{}, err
	}
	for i := range marked { // onto the bed, or into the field
		marked[i].Box = marked[i].Box.Move(w.Art.Page.Min.Sub(s.Art.Page.Min))
	}
	return Made{Card: c, Work: w, Marked: marked, Energy: b.energy}, nil
}

func (c Card) nothing() error { return nothing(c.Spec, c.Out[0]) }

func (g *grid) nothing() error { return nothing(g.Spec, g.out[0]) }

func nothing(s Spec, first Left) error {
	return fault.Workf("the machine can mark none of the patches: %s: %s", first.Name, first.Why).
		Hintf("choose values that it has: furrow machines show %s", s.Machine.ID)
}

// sequence returns the patches as they are marked. Those before which a person sets the
// height stay together.
func (c Card) sequence() []Patch {
	columns := map[float64]bool{}
	for _, p := range c.Patches {
		columns[p.Box.Min.X] = true
	}
	dose := func(p Patch) float64 { return p.Facts(c.Spec.Machine).DoseJPerCM2 }
	all := turns(c.Patches, dose, len(columns))
	slices.SortStableFunc(all, func(a, b Patch) int { return a.stop - b.stop })
	for i := range all {
		all[i].Hold = all[i].stop > 0 && (i == 0 || all[i-1].stop != all[i].stop)
	}
	return all
}

// input is what a piece of the card is made from.
func (c Card) input(f job.Fill, effort string) work.Input {
	j := job.Job{Furrow: 1, Machine: c.Spec.Machine.ID, Effort: &effort}
	j.Artwork.File = c.Spec.Kind
	j.Blank.Material = c.Spec.Material
	if c.Spec.Blank != (path.Point{}) {
		j.Blank = j.Blank.Over((*value.Point)(&c.Spec.Blank), nil)
	}
	j.Artwork.At = (*value.Point)(c.Spec.At)
	r := job.Resolved{Job: j, Machine: c.Spec.Machine, Fills: []job.ResolvedFill{{Spec: f}}}
	in := work.NewInput(r, work.Drawing{})
	in.Aside = true
	return in
}

// builder puts the pieces of a card into one program.
type builder struct {
	card    Card
	place   path.Matrix
	strokes work.Strokes
	sweeps  int32
	energy  map[string]float64
}

// lettering adds the labels and lines of the card.
func (b *builder) lettering(in work.Input) error {
	marks := path.Marks{Settings: []path.Setting{in.Groups[0].Outline.Setting}}
	add := func(pts []path.Point) {
		line := path.Line{Points: make([]path.Point, len(pts)), Before: -1}
		for i, p := range pts {
			line.Points[i] = b.place.Apply(p)
		}
		marks.Lines = append(marks.Lines, line)
	}
	for _, l := range b.card.Labels {
		s, err := l.shape()
		if err != nil {
			return err
		}
		s.Centre.Flatten(lettersError, func(pts []path.Point, _ bool) { add(pts) })
	}
	for _, l := range b.card.Lines {
		add(l)
	}
	if len(marks.Lines) == 0 {
		return nil
	}
	prog, err := work.Sequence(in, marks)
	if err != nil {
		return err
	}
	b.add(work.Part{Note: b.card.title()}, prog)
	return nil
}

// title is what the file says before the lettering.
func (c Card) title() string {
	if c.Of > 1 {
		return fmt.Sprintf("%s %d of %d: lettering", c.Spec.Kind, c.Number, c.Of)
	}
	return c.Spec.Kind + ": lettering"
}

// patch adds a patch, and returns it where it lies.
func (b *builder) patch(p Patch) (Patch, error) {
	in := b.card.input(p.Fill, "none")
	if p.Strokes != nil {
		return b.strokesOf(p, in), nil
	}
	art := path.Artwork{Shapes: p.Shapes, Page: p.Box}.Transform(b.place)
	marks, err := work.Hatch(in, art, in.Groups)
	if err != nil {
		return p, fmt.Errorf("patch %s: %w", p.Name, err)
	}
	if len(marks.Lines) == 0 && length(marks) == 0 {
		return p, fault.Workf("patch %s has no room for a row", p.Name).Hintf("make the patches larger with --patch")
	}
	prog, err := work.Sequence(in, marks)
	if err != nil {
		return p, fmt.Errorf("patch %s: %w", p.Name, err)
	}
	b.addPatch(p, prog)
	p.Box, p.Shapes = art.Page, art.Shapes
	return p, nil
}

// strokesOf adds a patch whose strokes are marked as they stand, one after the other.
func (b *builder) strokesOf(p Patch, in work.Input) Patch {
	prog := path.Program{Settings: []path.Setting{in.Groups[0].Outline.Setting}}
	for _, l := range p.Strokes {
		var pts []path.Point
		for _, q := range l {
			pts = append(pts, b.place.Apply(q))
		}
		prog.Append(path.Stroke{Kind: path.LineStroke}, pts...)
	}
	b.addPatch(p, prog)
	p.Box = path.Artwork{Page: p.Box}.Transform(b.place).Page
	return p
}

func (b *builder) addPatch(p Patch, prog path.Program) {
	first := len(b.strokes.Program.Strokes)
	b.add(work.Part{Note: "patch " + p.Name, Hold: p.Hold, Profile: p.Profile}, prog)
	if b.energy == nil {
		b.energy = map[string]float64{}
	}
	b.energy[p.Name] = b.joules(first, p)
}

func length(m path.Marks) (mm float64) {
	for i := range m.Rows {
		mm += m.Rows[i].Length()
	}
	return mm
}

// joules is what the beam lays down from a stroke on: its power for as long as it marks.
func (b *builder) joules(first int, p Patch) float64 {
	prog, mm := &b.strokes.Program, 0.0
	for i := first; i < len(prog.Strokes); i++ {
		pts := prog.PointsOf(i)
		for k := 1; k < len(pts); k++ {
			mm += pts[k].Dist(pts[k-1])
		}
	}
	return p.Facts(b.card.Spec.Machine).MeanPowerW * mm / float64(value.Or(p.Fill.Speed, 1))
}

// add appends a program as a part of its own. Sweeps of two parts are never one.
func (b *builder) add(part work.Part, prog path.Program) {
	all := &b.strokes.Program
	part.First = len(all.Strokes)
	b.strokes.Parts = append(b.strokes.Parts, part)
	base, most := uint16(len(all.Settings)), b.sweeps
	all.Settings = append(all.Settings, prog.Settings...)
	for i, s := range prog.Strokes {
		s.Setting += base
		if s.Sweep > 0 {
			s.Sweep += b.sweeps
			most = max(most, s.Sweep)
		}
		all.Append(s, prog.PointsOf(i)...)
	}
	b.sweeps = most
}
