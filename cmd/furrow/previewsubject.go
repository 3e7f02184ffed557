package main

import (
	"fmt"
	"path/filepath"
	"slices"

	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/hatch"
	"furrow/raster/density"
	"furrow/raster/page"
)

// subject is what there is to see of a job or file.
type subject struct {
	program path.Program
	moves   emit.Moves       // none without a machine
	profile *machine.Profile // nil when no machine is known
	timed   bool             // the moves can be timed
	blank   *value.Colour    // of the blank, if known
	tone    *tone            // of the marks on it, if known
	opts    density.Options
}

// subject returns a written file's.
func subjectOf(c proof.File) (subject, error) {
	s := subject{moves: c.Moves, timed: c.Timed}
	s.opts.Caption.Name = filepath.Base(c.Name)
	s.setMachine(c.Machine)
	err := s.readMoves()
	s.opts.Caption.Facts = captionFacts(c, rowsFacts(density.MeasureRows(s.program)))
	return s, err
}

// readMoves takes the strokes as they will be marked, if a machine is known, or
// as they are commanded.
func (s *subject) readMoves() (err error) {
	moves := s.moves
	if s.profile != nil {
		moves = emit.AsMarked(moves, *s.profile)
	}
	s.program, err = moves.Program()
	return err
}

func captionFacts(c proof.File, rows []string) []string {
	facts := append([]string{words.Size(c.Report.Marks)}, rows...)
	if c.Machine != nil {
		facts = append([]string{c.Machine.Name}, facts...)
	}
	if c.Timed {
		facts = append(facts, words.Duration(c.Report.Total()))
	}
	return facts
}

// guesses says what a picture without a profile cannot know, with marks of a
// width, mm, or of 0 where that is not known either.
func guesses(c proof.File, widthMM float64) (facts []string) {
	if c.Machine != nil {
		return nil
	}
	if widthMM == 0 {
		facts = append(facts, fmt.Sprintf("no machine profile: mark width of %g mm is a guess", density.DefaultMarkWidthMM))
	}
	if c.Format == figures.GCode {
		facts = append(facts, "latency of the beam is left out")
	}
	if c.Moves.Header.Corrected {
		facts = append(facts, "places are as corrected for a lens")
	}
	return facts
}

// rowsFacts words the rows that were found in a file: each spacing with its
// angles.
func rowsFacts(all []density.Rows) (facts []string) {
	angles := map[string][]float64{}
	var spacings []string
	for _, r := range all {
		spacing := fmt.Sprintf("%.3g mm", r.SpacingMM)
		if angles[spacing] == nil {
			spacings = append(spacings, spacing)
		}
		angles[spacing] = append(angles[spacing], r.Degrees)
	}
	for _, s := range spacings {
		slices.Sort(angles[s])
		facts = append(facts, s+" at "+work.AngleWords(hatch.Part{Angles: slices.Compact(angles[s])}))
	}
	return facts
}

// subjectOfWork returns that of work, where there is a machine as its file will mark it.
func subjectOfWork(b work.Work) (subject, error) {
	s := subject{program: b.Program, moves: b.Moves, timed: b.Machine != nil}
	s.addBlank(b)
	s.opts.Caption = page.Caption{Name: shownName(b.Resolved), Facts: workFacts(b)}
	s.setMachine(b.Machine)
	if b.Machine != nil && b.Machine.IsGantry() {
		s.opts.Keep = append(s.opts.Keep, machine.Clamps(b.Job.KeepOut)...)
	}
	if w := b.Parts[0].MarkWidth; w > 0 {
		s.opts.MarkWidthMM = w
	}
	if b.Machine == nil {
		return s, nil
	}
	return s, s.readMoves()
}

func workFacts(b work.Work) []string {
	facts := []string{words.Size(b.Program.Bounds())}
	if f := b.Parts[0]; f.Setting.SpacingMM > 0 {
		facts = append(facts, words.Decimal(f.Setting.SpacingMM, 4)+" mm at "+work.AngleWords(f))
	}
	if b.Machine != nil {
		facts = append([]string{b.Machine.Name}, append(facts, words.Duration(b.Clock.Total()))...)
	}
	return facts
}

// drawWork writes the picture that hatch makes beside its file.
func drawWork(a *app, out product.Output, b work.Work) error {
	s, err := subjectOfWork(b)
	if err != nil {
		return err
	}
	return new(pictureFlags).draw(a, out, s)
}

// setMachine adds what the picture shows of a machine, if one is known.
func (s *subject) setMachine(m *settings.Machine) {
	if m == nil {
		return
	}
	s.profile = &m.Profile
	s.opts.MarkWidthMM = m.Laser.SpotMM[1]
	s.opts.Bed, s.opts.BedName = field(m.Profile)
	if m.IsGalvo() {
		s.opts.ReachName = "reach of the beam"
	} else {
		s.opts.Zero = "X0 Y0"
	}
	if m.IsGantry() {
		s.opts.Keep = append(s.opts.Keep, m.Gantry.KeepOut()...)
	}
}

// field returns what a galvo reaches, about its middle; a gantry with its zero
// set by hand has no bed in the file's coordinates.
func field(p machine.Profile) (path.Rect, string) {
	switch {
	case p.IsGalvo():
		w, h := p.Galvo.FieldMM[0]/2, p.Galvo.FieldMM[1]/2
		return path.Rect{Min: path.Point{X: -w, Y: -h}, Max: path.Point{X: w, Y: h}}, "field"
	case p.Gantry.Zero == machine.ZeroBed:
		return p.Gantry.Bed(), "bed"
	}
	return path.Rect{}, ""
}

// isSmall reports that the work is a small part of what is drawn round it.
func (s *subject) isSmall() bool {
	work := s.program.Bounds()
	all := work
	for _, r := range []path.Rect{s.opts.Bed, s.opts.Blank} {
		if r.W() > 0 {
			all = all.Union(r)
		}
	}
	const part = 20
	return part*max(work.W(), work.H()) < max(all.W(), all.H())
}
