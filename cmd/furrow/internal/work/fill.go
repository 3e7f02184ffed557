package work

import (
	"errors"
	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit/sequence"
	"furrow/path"
	"furrow/path/hatch"
	"furrow/path/route"
	"slices"
)

// Strokes are what is to be marked, in sequence. They lie where the job places them
// and know of no run-ups yet.
type Strokes struct {
	Art      path.Artwork // placed
	Hatched  hatch.Report
	Marks    *path.Marks // as hatched, wherever the strokes have been moved since; nil where they are too many to keep
	Routed   sequence.Report
	Program  path.Program
	Parts    []Part // that the file tells apart; none where it is one
	Warnings []Warning
}

// WithSettings returns the same strokes with each setting as change has it.
func (s Strokes) WithSettings(change func(path.Setting) path.Setting) Strokes {
	s.Program.Settings = changed(s.Program.Settings, change)
	if s.Marks != nil {
		marks := *s.Marks
		marks.Settings = changed(marks.Settings, change)
		s.Marks = &marks
	}
	return s
}

func changed(all []path.Setting, change func(path.Setting) path.Setting) []path.Setting {
	all = slices.Clone(all)
	for i := range all {
		all[i] = change(all[i])
	}
	return all
}

// Moved returns the same strokes elsewhere: nothing is hatched or put in sequence anew.
func (s Strokes) Moved(m path.Matrix) Strokes {
	s.Art, s.Program = s.Art.Transform(m), s.Program.Transform(m)
	return s
}

// Fill makes artwork into strokes in sequence. What the machine has no room for is an
// UnfitError, with the strokes as they come.
func Fill(in Input) (Strokes, error) { return in.fill(Strokes{}) }

// fill is Fill with what was hatched before, if that is kept.
func (in Input) fill(before Strokes) (Strokes, error) {
	s := Strokes{Warnings: slices.Clone(in.Drawing.Warnings)}
	var marks path.Marks
	err := in.Observe.Run("hatch", func() (err error) {
		if s.Art, err = Place(in); err != nil {
			return err
		}
		if before.Marks != nil {
			marks, s.Hatched = *before.Marks, before.Hatched
			return nil
		}
		marks, s.Hatched, err = in.hatch(s)
		return err
	})
	if err != nil {
		return Strokes{}, err
	}
	s.Marks = kept(marks, s.Hatched.Spans)
	s.Warnings = append(s.Warnings, in.fillWarnings(s)...)
	err = in.Observe.Run("sequence", func() (err error) {
		s.Program, s.Routed, err = in.sequence(s, marks)
		return err
	})
	if s.Routed.Interrupted {
		s.Warnings = append(s.Warnings,
			Warning{Message: "interrupted: the sequence is the best found so far, every mark is in it"})
	}
	if err == nil {
		err = in.onRound(&s)
	}
	return s, err
}

// mostKept is how many spans are kept to be put in another sequence, of 16 bytes each;
// more are hatched anew.
const mostKept = 1_000_000

func kept(marks path.Marks, spans int) *path.Marks {
	if spans > mostKept {
		return nil
	}
	return &marks
}

func (in Input) hatch(s Strokes) (path.Marks, hatch.Report, error) {
	marks, rep, err := hatch.Fill(s.Art, in.hatchSettings())
	switch {
	case err != nil:
		return path.Marks{}, hatch.Report{}, in.unhatched(err)
	case len(marks.Lines) == 0 && rep.Spans == 0:
		return path.Marks{}, hatch.Report{}, in.nothingToMark(s)
	}
	return marks, rep, nil
}

// Hatch marks placed artwork as other groups say than those of the input, whose
// tolerance and paints hold.
func Hatch(in Input, art path.Artwork, as []hatch.Group) (path.Marks, error) {
	settings := in.hatchSettings()
	settings.Groups = in.withCodes(as)
	marks, _, err := hatch.Fill(art, settings)
	if err != nil {
		return path.Marks{}, in.unhatched(err)
	}
	return marks, nil
}

// unhatched names the fill that is wrong as the job does: the first is that of the
// whole.
func (in Input) unhatched(err error) error {
	var group *hatch.GroupError
	switch {
	case !errors.As(err, &group):
		return fault.Workf("%w", err)
	case group.Group == 0:
		return fault.Workf("%w", group.Err)
	case group.Group >= len(in.Groups):
		return fault.Workf("code %d: %w", group.Group-len(in.Groups)+1, group.Err)
	}
	return fault.Workf("group %q: %w", in.Job.Groups[group.Group-1].Pick, group.Err)
}

// nothingToMark tells why, as far as it can be known: what was left out of the
// artwork first.
func (in Input) nothingToMark(of Strokes) *fault.Failure {
	dark := 0
	for _, s := range of.Art.Shapes {
		if !s.Bare(in.hatchSettings().BareAbove) {
			dark++
		}
	}
	all := len(of.Art.Shapes)
	switch {
	case dark > 0:
		return fault.Workf("nothing to mark: nothing is left of %s", words.Plural(dark, "dark shape")).
			Hintf("they are covered, outside the page, smaller than the spacing, or narrower than twice the inset")
	case all > 0:
		return fault.Workf("nothing to mark: the artwork paints nothing dark enough").
			Hintf("of its %s none is dark; --bare-above 1.1 marks light paint too", words.Plural(all, "shape"))
	case len(of.Warnings) > 0:
		return fault.Workf("nothing to mark: the artwork holds no shape that is understood").Hintf("%s", of.Warnings[0])
	}
	return fault.Workf("nothing to mark: the artwork paints nothing").
		Hintf("check that it holds filled shapes or strokes, and not only text or pictures")
}

func (in Input) hatchSettings() hatch.Settings {
	return hatch.Settings{
		Groups:    in.withCodes(in.Groups),
		Tolerance: in.CurveTolerance(),
		BareAbove: float64(value.Or(in.Job.Artwork.BareAbove, hatch.DefaultBareAbove)),
	}
}

// withCodes adds to the groups of the fills those of the codes: plain rows on a grid of
// their own, as often as the fill goes over its area, and not inset.
func (in Input) withCodes(fills []hatch.Group) []hatch.Group {
	all := slices.Clone(fills)
	for i, c := range in.Drawing.Codes {
		from := fills[c.Fill]
		code := hatch.Group{
			Setting: from.Setting, Angles: []float64{c.Angle}, Passes: Fillings(from), OneWay: from.OneWay,
			Skip: from.Skip, MarkWidth: from.MarkWidth, Grid: i + 1,
		}
		code.Setting.SpacingMM = c.SpacingMM
		if in.Turned {
			code.Angles[0] += 90
		}
		all = append(all, code)
	}
	return all
}

var efforts = map[string]route.Effort{"quick": route.Quick, "normal": route.Normal, "best": route.Best,
	"none": route.None}

// Sequence puts marks that were laid out anew, as rows across many parts are, in the
// quickest sequence. Whether they fit is judged later, and how short it is nobody asks.
func Sequence(in Input, marks path.Marks) (path.Program, error) {
	in.Aside, in.Bound = true, nil
	prog, _, err := in.sequence(Strokes{}, marks)
	return prog, err
}

// sequence puts the marks in the quickest sequence, cut into cells that are marked far
// apart where the input asks for it, of which no time is told.
func (in Input) sequence(s Strokes, marks path.Marks) (path.Program, sequence.Report, error) {
	prog, r, err := in.quickest(s, marks)
	if in.Cells > 1 && err == nil {
		return route.Scatter(prog, in.Cells), sequence.Report{}, nil
	}
	return prog, r, err
}

// quickest puts the marks in the quickest sequence. Without a machine it is that of the
// shortest way.
func (in Input) quickest(s Strokes, marks path.Marks) (path.Program, sequence.Report, error) {
	ctx, progress, end := in.Observe.search()
	defer end()
	effort := efforts[value.Or(in.Job.Effort, "")]
	bound := 0
	if in.Bound != nil {
		bound = in.Bound.For(s.Hatched.Spans + len(marks.Lines))
	}
	if in.Machine == nil {
		opt := route.Options{Effort: effort, Bound: bound, Progress: progress}
		prog, r, err := route.Sequence(ctx, marks, route.Length{}, opt)
		return prog, sequence.Report{Report: r}, err
	}
	opt := sequence.Options{Effort: effort, Quantity: in.Times, Bound: bound, Progress: progress}
	if !in.Lenient && !in.Aside {
		opt.Check = func(plain path.Program) error { return in.fits(s, plain) }
	}
	prog, r, err := sequence.Of(ctx, marks, in.Machine.Profile, opt)
	var unfit *UnfitError
	if err != nil && !errors.As(err, &unfit) {
		err = unplanned(err)
	}
	return prog, r, err
}

// fits refuses what the machine cannot do in plain rows, before a better sequence is
// looked for.
func (in Input) fits(s Strokes, plain path.Program) error {
	in.Observe = Observer{}
	s.Program = plain
	w := Work{Input: in, Strokes: in.IntoField(s)}
	return w.planProved()
}
