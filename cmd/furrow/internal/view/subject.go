package view

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/warmth"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit"
	"furrow/emit/heat"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/hatch"
	"furrow/raster/density"
	"furrow/raster/page"
)

// Subject is what there is to see of a job or file.
type Subject struct {
	Program path.Program
	moves   emit.Moves       // none without a machine
	profile *machine.Profile // nil when no machine is known
	timed   bool             // the moves can be timed
	blank   *value.Colour    // of the blank, if known
	Tone    *Tone            // of the marks on it, if known
	heat    func(frames int) (*warmth.Estimate, error)
	Opts    density.Options // the caption's facts without the size of the marks, which depends on their width
}

// OfFile returns a written file's.
func OfFile(c proof.File) (Subject, error) {
	s := Subject{moves: c.Moves, timed: c.Timed}
	s.Opts.Caption.Name = filepath.Base(c.Name)
	s.setMachine(c.Machine)
	all := c.Moves.Header.Blanks
	s.Opts.Round = len(all) > 0 && all[0].Round
	switch {
	case len(all) == 1 && all[0].Turn == 0:
		s.Opts.Blank, s.Opts.BlankName = all[0].Rect, "blank"
	default:
		for _, b := range all {
			s.Opts.Pockets = append(s.Opts.Pockets, density.Pocket{Rect: b.Rect, Turn: b.Turn})
		}
	}
	err := s.readMoves()
	rows := density.MeasureRows(s.Program)
	switch {
	case s.traces():
		s.Opts.Show = density.ShowTravel
	case len(rows) == 0: // lines alone are too thin to have a density that shows
		s.Opts.Show = density.ShowRows
	case s.profile != nil && s.doses() >= manyDoses:
		s.Opts.Show = density.ShowDose
	}
	s.Opts.Caption.Facts = captionFacts(c, rowsFacts(rows))
	return s, err
}

// traces reports that nothing is marked, as by a trace to set up by.
func (s *Subject) traces() bool { return len(s.Program.Strokes) == 0 }

// manyDoses is of how many doses a file is that is looked at for them, as a card of patches
// or a photo is: letters and fills of one piece of work have fewer.
const manyDoses = 4

// doses counts the settings whose power over speed differs.
func (s *Subject) doses() int {
	seen := map[float64]bool{}
	for i, st := range s.Program.Strokes {
		speed := s.Program.Settings[st.Setting].SpeedMMPerS
		seen[math.Round(1e6*s.Program.PowerOf(i)/max(speed, 1e-9))] = true
	}
	return len(seen)
}

// readMoves takes the strokes as they will be marked, if a machine is known, or
// as they are commanded.
func (s *Subject) readMoves() (err error) {
	moves := s.moves
	if s.profile != nil {
		moves = emit.AsMarked(moves, *s.profile)
	}
	s.Program, err = moves.Program()
	return err
}

func captionFacts(c proof.File, rows []string) []string {
	facts := slices.Clone(rows)
	if c.Machine != nil {
		facts = append([]string{c.Machine.Name}, facts...)
	}
	if c.Timed {
		facts = append(facts, words.Time(c.Report.Total()))
	}
	return facts
}

// Guesses says what a picture without a profile cannot know, with marks of a
// width, mm, or of 0 where that is not known either.
func Guesses(c proof.File, widthMM float64) (facts []string) {
	if c.Machine != nil {
		return nil
	}
	if widthMM == 0 {
		facts = append(facts, fmt.Sprintf("no machine profile: mark width of %g mm is a guess",
			density.DefaultMarkWidthMM))
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
		facts = append(facts, s+" at "+work.AngleWords(hatch.Group{Angles: slices.Compact(angles[s])}))
	}
	return facts
}

// OfWork returns that of work, where there is a machine as its file will mark it.
func OfWork(b work.Work) (Subject, error) {
	s := Subject{Program: b.Program, moves: b.Moves, timed: b.Machine != nil}
	s.addBlank(b)
	s.heat = func(frames int) (*warmth.Estimate, error) { return warmth.MappedWith(b, heat.Options{Frames: frames}) }
	s.Opts.Caption = page.Caption{Name: b.Shown(), Facts: workFacts(b)}
	s.setMachine(b.Machine)
	if b.Machine != nil && b.Machine.IsGantry() {
		s.Opts.Keep = append(s.Opts.Keep, machine.Clamps(b.Job.KeepOut)...)
	}
	if w := b.Groups[0].MarkWidth; w > 0 {
		s.Opts.MarkWidthMM = w
	}
	if b.Machine == nil {
		return s, nil
	}
	return s, s.readMoves()
}

func workFacts(b work.Work) []string {
	facts := fillFacts(b)
	if b.Machine != nil {
		facts = append([]string{b.Machine.Name}, append(facts, words.Time(b.Clock.Total()))...)
	}
	return facts
}

// fillFacts words the rows of each group, by what picks it where they differ.
func fillFacts(b work.Work) (facts []string) {
	var all []words.Shared
	for i, p := range b.Groups {
		name := "the rest"
		if i > 0 && i <= len(b.Job.Groups) {
			name = b.Job.Groups[i-1].Pick
		}
		if p.Setting.SpacingMM > 0 {
			all = words.Share(all, name, words.Decimal(p.Setting.SpacingMM, 4)+" mm at "+work.AngleWords(p))
		}
	}
	for _, f := range all {
		if len(all) > 1 {
			f.Text = strings.Join(f.Names, ", ") + ": " + f.Text
		}
		facts = append(facts, f.Text)
	}
	return facts
}

// captioned adds the size of what is marked to the caption, behind the machine.
func (s *Subject) captioned(c page.Caption, widthMM float64) page.Caption {
	if widthMM == 0 {
		widthMM = density.DefaultMarkWidthMM
	}
	at := 0
	if s.profile != nil {
		at = 1
	}
	marked := "nothing marked"
	if !s.traces() {
		marked = words.Size(density.Marked(s.Program, widthMM)) + " marked"
	}
	c.Facts = slices.Insert(slices.Clone(c.Facts), at, marked)
	return c
}

// setMachine adds what the picture shows of a machine, if one is known.
func (s *Subject) setMachine(m *settings.Machine) {
	if m == nil {
		return
	}
	s.profile = &m.Profile
	s.Opts.MarkWidthMM = m.Laser.SpotMM[1]
	s.Opts.Bed, s.Opts.BedName = field(m.Profile)
	if m.IsGalvo() {
		s.Opts.ReachName = "reach of the beam"
	} else {
		s.Opts.Zero = "X0 Y0"
	}
	if m.IsGantry() {
		s.Opts.Keep = append(s.Opts.Keep, m.Gantry.KeepOut()...)
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

// inField reports that the work, with its blank, takes little of the field that holds
// it: a picture then shows where it lies in an inset.
func (s *Subject) inField() bool {
	all := s.Program.Bounds()
	if s.Opts.Blank.W() > 0 {
		all = all.Union(s.Opts.Blank)
	}
	const part = 0.8
	f := s.Opts.Bed
	return !s.traces() && s.profile != nil && s.profile.IsGalvo() && f.Union(all) == f && max(all.W()/f.W(), all.H()/f.H()) < part
}

// IsSmall reports that the work is a small part of what is drawn round it.
func (s *Subject) IsSmall() bool {
	work := s.Program.Bounds()
	all := work
	if s.traces() || s.inField() {
		return false
	}
	for _, r := range []path.Rect{s.Opts.Bed, s.Opts.Blank} {
		if r.W() > 0 {
			all = all.Union(r)
		}
	}
	const part = 20
	return part*max(work.W(), work.H()) < max(all.W(), all.H())
}
