package proof

import (
	"errors"
	"fmt"
	"io"
	"math"
	"time"

	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/gcode"
	"furrow/emit/machine"
	"furrow/emit/markvec"
)

// AuditLimit is how many problems of a file are told.
const AuditLimit = 20

// matchMachine compares what the file says it was made for with the profile.
func (c *File) matchMachine() error {
	h := c.Moves.Header
	if err := c.matchKind(); err != nil || c.Machine == nil || h.Profile == "" {
		return err
	}
	switch m := c.Machine; {
	case h.Profile != m.ID:
		return c.refuse(Problem{
			Rule: ruleMachine, Message: fmt.Sprintf("made for another machine: %s, not %s", h.Profile, m.ID),
			Remedy: fmt.Sprintf("run it on %s, or check it with --machine %s", h.Profile, h.Profile),
		})
	case h.Hash != m.Hash():
		return c.refuse(Problem{
			Rule: ruleProfile,
			Message: fmt.Sprintf("the profile of %s has changed since, in what alters the marks or their safety "+
				"(%s then, %s now)", m.ID, h.Hash, m.Hash()),
			Remedy: "write the file again with the profile as it is now",
		})
	}
	return nil
}

func formatWords(format string) string {
	if format == figures.Markvec {
		return "a mark-vector list"
	}
	return "G-code"
}

// audit reads the file to its end and lists what is wrong with it, line by line, and
// what the machine, if it is known, cannot do.
func (c *File) audit() error {
	var problems []Problem
	if c.Format == figures.GCode {
		found, err := gcode.Audit(section(c.file), gcodeSection(c.Machine), AuditLimit)
		if err != nil {
			return c.refuse(problemOf(ruleReadable, err))
		}
		for _, p := range found {
			problems = append(problems, problemOf("", p))
		}
		return c.refuse(problems...)
	}
	var p *machine.Profile
	if c.Machine != nil {
		p = &c.Machine.Profile
	}
	found, err := markvec.Audit(section(c.file), p, AuditLimit)
	if err != nil {
		return c.refuse(problemOf(ruleReadable, err))
	}
	for _, p := range found {
		if p.Rule != markvec.RuleCorrected || c.Moves.Header.Corrected || !c.toPlay {
			problems = append(problems, problemOf("", p))
		}
	}
	return c.refuse(problems...)
}

func section(r io.ReaderAt) io.Reader { return io.NewSectionReader(r, 0, math.MaxInt64) }

// prove plays the whole file against the limits of the machine and times it.
func (c *File) prove() error {
	if err := c.audit(); err != nil {
		return err
	}
	if c.Machine != nil {
		if err := c.inLimits(c.Machine.Profile); err != nil {
			return err
		}
	}
	if err := c.time(); err != nil {
		return err
	}
	if err := c.onBlank(); err != nil {
		return err
	}
	return c.atFullSpeed()
}

// time plays the whole file by the clock, as far as that can be done without a
// machine.
func (c *File) time() (err error) {
	if c.Report, err = clock.Run(c.Moves, c.timedBy()); err != nil {
		return c.refuse(problemOf(ruleReadable, err))
	}
	if c.Report.Moves.Empty() {
		return c.refuse(Problem{Rule: ruleMoves, Message: "it holds no move", Remedy: "write the file again"})
	}
	c.Timed = c.Machine != nil || c.Format == figures.Markvec
	if c.Machine != nil {
		c.Span, err = figures.SpanOf(c.Moves, c.Machine.Profile, c.Report)
	}
	return err
}

// timedBy returns the profile that the clock takes.
func (c *File) timedBy() machine.Profile {
	switch {
	case c.Machine != nil:
		return c.Machine.Profile
	case c.Format == figures.GCode:
		return TimelessGantry
	}
	return machine.Profile{}
}

// TimeThen returns how long the file took when it was made, where it says so and the
// profile gives another time now: the acceleration, the jerk or the link have changed.
func (c *File) TimeThen() (then time.Duration, differs bool) {
	then = c.Moves.Header.Time
	return then, c.Timed && c.Machine != nil && then > 0 && then != c.Report.Total().Round(time.Millisecond)
}

// atFullSpeed refuses a file whose rows no longer reach their speed: it was made for
// another acceleration. A file whose time is that of the profile was made for this one.
func (c *File) atFullSpeed() error {
	if _, differs := c.TimeThen(); !differs || !c.Machine.IsGantry() || c.Machine.Gantry.OvertravelMM > 0 {
		return nil
	}
	n, move, err := clock.SlowRows(c.Moves, c.Machine.Profile)
	if err != nil {
		return c.refuse(problemOf(ruleReadable, err))
	}
	if n == 0 {
		return nil
	}
	return c.refuse(Problem{
		Line: gcode.LineOf(c.file, gcodeSection(c.Machine), move), More: n - 1, Rule: ruleFullSpeed,
		Message: "a span of a row is no longer marked at its full speed: " +
			"the profile's acceleration, or what its controller keeps up with, was another when the file was made",
		Remedy: "write the file again with the profile as it is now",
	})
}

// firstMover is an error that knows the index of the move it is about.
type firstMover interface{ FirstMove() int }

// inLimits proves that the machine can do the moves. Each problem of G-code
// comes with its line.
func (c *File) inLimits(p machine.Profile) error {
	err := emit.Check(c.Moves, p)
	if err == nil {
		return nil
	}
	parts := []error{err}
	if several, ok := err.(interface{ Unwrap() []error }); ok {
		parts = several.Unwrap()
	}
	problems := make([]Problem, len(parts))
	for i, part := range parts {
		problems[i] = problemOf(ruleOf(part), part)
		if m, ok := part.(firstMover); ok && c.Format == figures.GCode {
			problems[i].Line = gcode.LineOf(c.file, gcodeSection(c.Machine), m.FirstMove())
		}
		if bed, ok := part.(*emit.BedError); ok && p.Gantry.Zero != c.Machine.Gantry.Zero {
			problems[i].Remedy = moveZero(bed, p.Gantry.OriginMM)
		}
	}
	return c.refuse(problems...)
}

// moveZero is the remedy for a file whose zero is tried: the zero can be set elsewhere,
// and the page of a file that is made cannot.
func moveZero(e *emit.BedError, zero [2]float64) string {
	if !e.Fits {
		return e.Hint()
	}
	hint := fmt.Sprintf("it fits with --zero-at %s,%s", words.Decimal(zero[0]+e.Shift.X, 3),
		words.Decimal(zero[1]+e.Shift.Y, 3))
	if !e.Clear {
		hint += ", and the clamps out of its way"
	}
	return hint
}

// ProveOnBed proves that the travel lies on the bed of a gantry with X0 Y0 at zero.
func (c *File) ProveOnBed(zero value.Point) error {
	p, g := c.Machine.Profile, *c.Machine.Gantry
	g.Zero, g.OriginMM = machine.ZeroBed, [2]float64{zero.X, zero.Y}
	p.Gantry = &g
	err := c.inLimits(p)
	var r *Refusal
	if errors.As(err, &r) {
		r.where = fmt.Sprintf("with X0 Y0 at %g,%g: ", zero.X, zero.Y)
	}
	if err == nil {
		c.zero = &zero
	}
	return err
}

// TimelessGantry lets the clock add up lengths where no machine is known. Its
// times mean nothing and are not shown.
var TimelessGantry = machine.Profile{Kind: machine.KindGantry, Gantry: &machine.Gantry{
	MaxSpeedMMPerS: [2]float64{1, 1}, AccelMMPerS2: [2]float64{1, 1}, RapidMMPerS: 1,
}}
