package main

import (
	"errors"
	"fmt"
	"math"
	"path/filepath"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/hatch"
	"furrow/path/route"
	"furrow/path/svg"
)

// build is a job on its way from artwork to moves. Each step fills in what the
// next one needs.
type build struct {
	job.Resolved
	bound    *rounds
	art      path.Artwork // placed
	parts    []hatch.Part
	warnings []warning
	hatched  hatch.Report
	routed   route.Report
	program  path.Program
	shifted  bool // moved onto the bed by the least that allows the run-up
	moves    emit.Moves
	clocked  clock.Report
	advice   []string
	stages   stages
}

// warning is something a person should know before the beam is on.
type warning struct {
	Message string `json:"message"`
	File    string `json:"file,omitempty"` // the artwork, where it is that
	Element string `json:"element,omitempty"`
	Line    int    `json:"line,omitempty"`
}

func (w warning) String() string {
	s := ""
	if w.File != "" {
		s = w.File + ": "
	}
	if w.Line > 0 {
		s += fmt.Sprintf("line %d: ", w.Line)
	}
	if w.Element != "" {
		s += "<" + w.Element + ">: "
	}
	return s + w.Message
}

func artworkWarning(file string, w svg.Warning) warning {
	return warning{Message: w.Message, File: file, Element: w.Element, Line: w.Line}
}

// newBuild reads the job (or bare artwork) and finds its machine, without which
// it can only be drawn.
func (r *request) newBuild(a *app, name string, drawing bool) (*build, error) {
	j, err := a.readJob(name)
	if err != nil {
		return nil, err
	}
	return r.buildOf(j, drawing)
}

// buildOf is newBuild of a job that has been read.
func (r *request) buildOf(j job.Job, drawing bool) (*build, error) {
	res, err := job.Resolve(j, r.Request, drawing)
	if err != nil {
		return nil, err
	}
	b := &build{Resolved: res, bound: r.bound, stages: stages{on: r.timings}}
	if b.NotTaken != "" {
		b.warn(warning{Message: b.NotTaken})
	}
	b.parts = hatchParts(b.Fills, b.Machine)
	return b, nil
}

// inputs lists the files a build reads.
func (b *build) inputs() []string {
	files := []string{b.Job.Name, b.Job.Artwork.File}
	if b.Machine != nil {
		files = append(files, b.Machine.File, b.Machine.CorrectionFile())
	}
	if b.Recipe != nil {
		files = append(files, b.Recipe.File)
	}
	return files
}

// makeProgram goes from artwork to strokes in sequence.
func (b *build) makeProgram(a *app) error {
	if err := b.stages.run("read", func() error { return b.read(a) }); err != nil {
		return err
	}
	if err := b.stages.run("angle", b.chooseAngles); err != nil {
		return err
	}
	var marks path.Marks
	err := b.stages.run("hatch", func() (err error) {
		marks, err = b.hatch()
		return err
	})
	if err != nil {
		return err
	}
	return b.stages.run("sequence", func() error { return b.sequence(a, marks) })
}

func (b *build) read(a *app) error {
	opts, err := readOptions(b.Job.Artwork.Selection, b.Job.Picks())
	if err != nil {
		return err
	}
	opts.Tolerance = b.strokeTolerance
	doc, err := a.readArtwork(b.Job, b.Asked.Artwork.Selection, opts)
	if err != nil {
		return err
	}
	for _, w := range doc.Warnings {
		b.warn(artworkWarning(b.Job.Artwork.File, w))
	}
	b.warnOfEmptyParts(doc.Artwork)
	b.warn(pageWarnings(b.Job.Artwork.File, doc.Artwork, b.hatchSettings().BareAbove)...)
	if value.Or(b.Job.Artwork.Invert, false) {
		doc.Artwork = hatch.InvertPage(doc.Artwork)
	}
	b.art, err = placed(b.Job.Artwork, doc.Artwork, b.Job.Blank, b.forGalvo())
	return err
}

func (b *build) warn(w ...warning) { b.warnings = append(b.warnings, w...) }

func (b *build) hatch() (path.Marks, error) {
	marks, rep, err := hatch.Fill(b.art, b.hatchSettings())
	if err != nil {
		return path.Marks{}, b.unhatched(err)
	}
	b.hatched = rep
	if len(marks.Lines) == 0 && rep.Spans == 0 {
		return path.Marks{}, b.nothingToMark()
	}
	b.warnOfFill()
	return marks, nil
}

// unhatched names the fill that is wrong as the job does: the first is that of the
// whole.
func (b *build) unhatched(err error) error {
	var part *hatch.PartError
	switch {
	case !errors.As(err, &part):
		return fault.Workf("%w", err)
	case part.Part == 0:
		return fault.Workf("%w", part.Err)
	}
	return fault.Workf("part %q: %w", b.Job.Parts[part.Part-1].Pick, part.Err)
}

// nothingToMark tells why, as far as it can be known: what was left out of the
// artwork first.
func (b *build) nothingToMark() error {
	dark := 0
	for _, s := range b.art.Shapes {
		if !s.Paint.Bare(b.hatchSettings().BareAbove) {
			dark++
		}
	}
	all := len(b.art.Shapes)
	switch {
	case dark > 0:
		return fault.Workf("nothing to mark: nothing is left of %s", words.Plural(dark, "dark shape")).
			Hintf("they are covered, outside the page, smaller than the spacing, or narrower than twice the inset")
	case all > 0:
		return fault.Workf("nothing to mark: the artwork paints nothing dark enough").
			Hintf("of its %s none is dark; --bare-above 1.1 marks light paint too", words.Plural(all, "shape"))
	case len(b.warnings) > 0:
		return fault.Workf("nothing to mark: the artwork holds no shape that is understood").Hintf("%s", b.warnings[0])
	}
	return fault.Workf("nothing to mark: the artwork paints nothing").
		Hintf("check that it holds filled shapes or strokes, and not only text or pictures")
}

func (b *build) hatchSettings() hatch.Settings {
	return hatch.Settings{
		Parts:     b.parts,
		Tolerance: b.curveTolerance(),
		BareAbove: float64(value.Or(b.Job.Artwork.BareAbove, hatch.DefaultBareAbove)),
	}
}

// gantryTolerance is the default of --tolerance for G-code, mm: outlines in
// short pieces choke the link, and the grid is five times coarser than a
// list's.
const gantryTolerance = 0.01

// curveTolerance returns how far straight pieces may be from a curve. Half of
// what is asked for is left to arcs that take their place.
func (b *build) curveTolerance() float64 {
	def := value.Length(hatch.DefaultTolerance)
	if b.Machine != nil && b.Machine.IsGantry() {
		def = gantryTolerance
	}
	tol := float64(value.Or(b.Job.Tolerance, def))
	if b.Machine != nil && b.Machine.GCode != nil && b.Machine.GCode.Arcs {
		return tol / 2
	}
	return tol
}

// strokeTolerance returns how far the outline of a stroke may be from the true
// one on a page of the artwork, which will be placed in another size.
func (b *build) strokeTolerance(page path.Rect) float64 {
	tol := min(svg.DefaultTolerance, b.curveTolerance())
	for _, f := range b.parts {
		if f.Setting.SpacingMM > 0 {
			tol = min(tol, f.Setting.SpacingMM/10)
		}
	}
	scale, err := scaleOf(b.Job.Artwork, page, turnOf(b.Job.Artwork), b.Job.Blank)
	if err != nil || page.Empty() || page.W() == 0 || page.H() == 0 {
		return tol / 10 // its size is not known yet
	}
	return tol / scale
}

// makeMoves plans the program for the machine, proves it against the machine's
// limits and times it.
func (b *build) makeMoves() error {
	if err := emit.InField(b.Machine.Profile, b.program.Bounds()); err != nil {
		return refused(err)
	}
	if err := b.stages.run("plan", b.plan); err != nil {
		return err
	}
	if err := b.prove(); err != nil {
		return b.perMinute(refused(err))
	}
	return b.stages.run("time", b.time)
}

// perMinute says of a speed that no move of the machine can have what it would be
// in mm/min.
func (b *build) perMinute(f *fault.Failure) error {
	most := settings.Fastest(b.Machine.Profile)
	for _, s := range b.program.Settings {
		if hint := perMinuteHint(s.SpeedMMPerS, most); s.SpeedMMPerS > most && hint != "" {
			return f.Hintf("%s", hint)
		}
	}
	return f
}

// prove plays the moves against the machine's limits and the job's clamps.
func (b *build) prove() error {
	return b.stages.run("check", func() error {
		return emit.Check(b.moves, b.Machine.Profile, machine.Clamps(b.Job.KeepOut)...)
	})
}

func (b *build) time() (err error) {
	b.clocked, err = clock.Run(b.moves, b.Machine.Profile)
	if err == nil && b.clocked.Mark == 0 { // all is smaller than the file's grid
		return b.nothingToMark()
	}
	b.warnOfBlank()
	b.warnOfMotion()
	b.warnOfLaser()
	return err
}

// warnOfMotion says what the machine may do to the marks.
func (b *build) warnOfMotion() {
	for _, w := range emit.RowWarnings(b.program, b.Machine.Profile) {
		message := w.Message
		if w.Cause == emit.Stagger {
			message += "; use --one-way, or measure it: furrow help stagger"
		}
		b.warn(warning{Message: message})
	}
	if limit, effect, _ := b.clocked.Warning(); limit != "" {
		b.warn(warning{Message: limit + " " + effect})
	}
}

func (b *build) plan() (err error) {
	if err = b.moveOntoBed(); err != nil {
		return err
	}
	if b.moves, err = emit.Plan(b.program, b.Machine.Profile); err != nil {
		return fault.Workf("%w", err)
	}
	return nil
}

// moveOntoBed moves the work so that the head's run-up lies on the bed too, where
// neither a person nor the job says where it goes.
func (b *build) moveOntoBed() error {
	g := b.Machine.Gantry
	if g == nil || g.Zero != machine.ZeroBed || b.Job.Artwork.At != nil {
		return nil
	}
	reach, err := emit.Reach(b.program, b.Machine.Profile)
	by := emit.LeastShift(reach, g.Bed())
	if err != nil || by == (path.Point{}) {
		return err
	}
	m := path.Translate(roundOutwards(by.X), roundOutwards(by.Y))
	b.shifted = true
	b.art, b.program = b.art.Transform(m), b.program.Transform(m)
	return nil
}

// roundOutwards rounds a shift to the next tenth of a millimetre, which a person
// can read off, away from 0.
func roundOutwards(mm float64) float64 {
	return math.Copysign(math.Ceil(math.Abs(mm)*10-1e-6)/10, mm)
}

// shown is the name of the artwork for people.
func (b *build) shown() string { return filepath.Base(b.Job.Artwork.File) }

func (b *build) forGalvo() bool { return b.Machine != nil && b.Machine.IsGalvo() }
