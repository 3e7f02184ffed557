package main

import (
	"fmt"
	"path/filepath"
	"slices"

	"furrow/emit"
	"furrow/path"
	"furrow/path/hatch"
	"furrow/raster/density"
	"furrow/raster/page"

	"github.com/spf13/pflag"
)

var previewCommand = command{
	name:     "preview",
	synopsis: "ART.svg|JOB.toml|OUT.nc|OUT.mvl -o P.png|P.svg|P.pdf [flags]",
	summary:  "draw what will be marked, or what a written file does",
	about: `A written file is shown as it is, not as it was meant. --show decides what to see:
density   lines/mm laid over each place
dose      J/cm2 laid down; directions and passes add up
finish    the part as it will look
sequence  when each place is marked
travel    where the beam moves while it is off, and the reach of the head
rows      the marks themselves at their width, for a close look with --window
A picture prints at true size.`,
	setup: func(fs *pflag.FlagSet) runner {
		var c previewFlags
		c.out.flags(fs, "the picture")
		c.picture.flags(fs)
		c.request.flags(fs)
		return c.run
	},
}

type previewFlags struct {
	request
	out     output
	picture pictureFlags
}

func (c *previewFlags) run(a *app, args []string) error {
	name, err := oneFile(args, "artwork, job or written file")
	if err != nil {
		return err
	}
	if isWritten(name) {
		return c.drawWritten(a, name)
	}
	b, err := c.newBuild(a, name, true)
	if err != nil {
		return err
	}
	if err := c.picture.check(c.out, b.inputs()...); err != nil {
		return err
	}
	if err := b.makeProgram(a); err != nil {
		return err
	}
	if err := b.makeMovesToSee(); err != nil {
		return err
	}
	s, err := b.subject()
	if err != nil {
		return err
	}
	if c.picture.shows(density.ShowFinish) && c.picture.blank == nil {
		b.warnOfColour()
	}
	a.warn(b.warnings)
	err = b.stages.run("draw", func() error { return c.picture.draw(a, c.out, s) })
	b.stages.print(a.stderr)
	return err
}

// makeMovesToSee makes the moves if there is a machine. What is wrong with them is
// told and does not keep them from being looked at.
func (b *build) makeMovesToSee() error {
	if b.machine == nil {
		return nil
	}
	if err := b.stages.run("plan", b.plan); err != nil {
		return err
	}
	if err := b.prove(); err != nil {
		b.warn(warning{Message: refused(err).Error()})
	}
	return b.stages.run("time", b.time)
}

func (c *previewFlags) drawWritten(a *app, name string) error {
	if err := c.picture.check(c.out, name); err != nil {
		return err
	}
	k, err := a.lookAt(name, c.machine)
	if err != nil {
		return err
	}
	defer k.close()
	s, err := k.subject()
	if err != nil {
		return err
	}
	if err := c.addSettings(&s); err != nil {
		return err
	}
	return c.picture.draw(a, c.out, s)
}

// addSettings adds to a written file's picture what only the recipe knows.
func (c *previewFlags) addSettings(s *subject) error {
	width := c.fill.MarkWidth
	if c.recipe != "" {
		r, err := findRecipe(c.recipe)
		if err != nil {
			return err
		}
		s.tone = toneOf(&r)
		width = first(width, given(lengthMM(r.MarkWidthMM)))
	}
	if width != nil {
		s.opts.MarkWidthMM = float64(*width)
	}
	return nil
}

// subject is what there is to see of a job or file.
type subject struct {
	program path.Program
	moves   emit.Moves    // none without a machine
	profile *emit.Profile // nil when no machine is known
	timed   bool          // the moves can be timed
	blank   *colour       // of the blank, if known
	tone    *tone         // of the marks on it, if known
	opts    density.Options
}

// subject returns a written file's.
func (c *checked) subject() (subject, error) {
	s := subject{moves: c.moves, timed: c.timed}
	s.opts.Caption.Name = filepath.Base(c.name)
	s.setMachine(c.machine)
	err := s.readMoves()
	s.opts.Caption.Facts = c.captionFacts(rowsFacts(density.MeasureRows(s.program)))
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

func (c *checked) captionFacts(rows []string) []string {
	facts := append([]string{size(c.clocked.Marks)}, rows...)
	if c.machine != nil {
		facts = append([]string{c.machine.Name}, facts...)
	}
	if c.timed {
		facts = append(facts, duration(c.clocked.Total()))
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
		facts = append(facts, s+" at "+angleWords(hatch.Part{Angles: slices.Compact(angles[s])}))
	}
	return facts
}

// subject returns a build's, where there is a machine as its file will mark it.
func (b *build) subject() (subject, error) {
	s := subject{program: b.program, moves: b.moves, timed: b.machine != nil}
	b.addBlank(&s)
	s.opts.Caption = page.Caption{Name: b.shown(), Facts: b.captionFacts()}
	s.setMachine(b.machine)
	if b.machine != nil && b.machine.Gantry != nil {
		s.keepOut(b.job.KeepOut)
	}
	if w := b.fills[0].MarkWidth; w > 0 {
		s.opts.MarkWidthMM = w
	}
	if b.machine == nil {
		return s, nil
	}
	return s, s.readMoves()
}

func (b *build) captionFacts() []string {
	facts := []string{size(b.program.Bounds())}
	if f := b.fills[0]; f.Setting.SpacingMM > 0 {
		facts = append(facts, decimal(f.Setting.SpacingMM, 4)+" mm at "+angleWords(f))
	}
	if b.machine != nil {
		facts = append([]string{b.machine.Name}, append(facts, duration(b.clocked.Total()))...)
	}
	return facts
}

// draw writes the picture that hatch makes beside its file.
func (b *build) draw(a *app, out output) error {
	s, err := b.subject()
	if err != nil {
		return err
	}
	return new(pictureFlags).draw(a, out, s)
}

// setMachine adds what the picture shows of a machine, if one is known.
func (s *subject) setMachine(m *machine) {
	if m == nil {
		return
	}
	s.profile = &m.Profile
	s.opts.MarkWidthMM = m.Laser.SpotMM[1]
	s.opts.Bed, s.opts.BedName = field(m.Profile)
	if m.Galvo != nil {
		s.opts.ReachName = "reach of the beam"
	} else {
		s.opts.Zero = "X0 Y0"
	}
	if m.Gantry != nil {
		s.keepOut(m.Gantry.KeepOutMM)
	}
}

// keepOut adds clamps: left, bottom, right and top of each.
func (s *subject) keepOut(clamps [][4]float64) {
	for _, k := range clamps {
		s.opts.Keep = append(s.opts.Keep, path.Rect{Min: path.Point{X: k[0], Y: k[1]}, Max: path.Point{X: k[2], Y: k[3]}})
	}
}

// field returns what a galvo reaches, about its middle; a gantry with its zero
// set by hand has no bed in the file's coordinates.
func field(p emit.Profile) (path.Rect, string) {
	switch {
	case p.Galvo != nil:
		w, h := p.Galvo.FieldMM[0]/2, p.Galvo.FieldMM[1]/2
		return path.Rect{Min: path.Point{X: -w, Y: -h}, Max: path.Point{X: w, Y: h}}, "field"
	case p.Gantry.Zero == emit.ZeroBed:
		return p.Gantry.Bed(), "bed"
	}
	return path.Rect{}, ""
}
