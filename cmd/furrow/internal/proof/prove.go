package proof

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/gcode"
	"furrow/emit/machine"
	"furrow/emit/markvec"
)

// matchMachine compares what the file says it was made for with the profile.
func (c *File) matchMachine() error {
	h := c.Moves.Header
	if err := c.matchKind(); err != nil || c.Machine == nil {
		return err
	}
	if h.Hash != "" && (h.Profile != c.Machine.ID || h.Hash != c.Machine.Hash()) {
		return fault.Workf("%s: made for profile %s as it was at %s, not for %s at %s", c.Name, h.Profile, h.Hash,
			c.Machine.ID, c.Machine.Hash()).
			Hintf("make the file anew with the profile as it is now")
	}
	return nil
}

func kindOf(format string) string {
	if format == figures.Markvec {
		return machine.KindGalvo
	}
	return machine.KindGantry
}

// AuditLimit is how many problems of a file are told.
const AuditLimit = 20

// audit reads G-code to its end and lists what is wrong with it, line by line.
func audit(name string, r io.ReaderAt, g machine.GCode) error {
	problems, err := gcode.Audit(section(r), g, AuditLimit)
	if err != nil {
		return fault.Workf("%s: %w", name, err)
	}
	if len(problems) == 0 {
		return nil
	}
	var lines []string
	for _, p := range problems {
		lines = append(lines, p.Error())
	}
	return problemsOf(name, andMore(lines)).Hintf("%s", problems[0].Hint)
}

// andMore says that a list of problems may have been cut off.
func andMore(lines []string) []string {
	if len(lines) == AuditLimit {
		return append(lines, "and perhaps more")
	}
	return lines
}

func problemsOf(name string, lines []string) *fault.Failure {
	return fault.Workf("%s: %s", name, strings.Join(lines, "\n"))
}

// auditList lists what a mark-vector list should not hold, line by line, and
// what the machine, if it is known, cannot do.
func (c *File) auditList() error {
	var p *machine.Profile
	if c.Machine != nil {
		p = &c.Machine.Profile
	}
	problems, err := markvec.Audit(section(c.file), p, AuditLimit)
	if err != nil {
		return fault.Workf("%s: %w", c.Name, err)
	}
	if len(problems) == 0 {
		return nil
	}
	var lines []string
	for _, p := range problems {
		lines = append(lines, p.Error())
	}
	return problemsOf(c.Name, andMore(lines))
}

func section(r io.ReaderAt) io.Reader { return io.NewSectionReader(r, 0, math.MaxInt64) }

// prove plays the whole file against the limits of the machine and times it.
func (c *File) prove() error {
	if c.Format == figures.GCode {
		if err := audit(c.Name, c.file, gcodeSection(c.Machine)); err != nil {
			return err
		}
	}
	if c.Format == figures.Markvec {
		if err := c.auditList(); err != nil {
			return err
		}
	}
	if c.Machine != nil {
		if err := c.inLimits(c.Machine.Profile); err != nil {
			return err
		}
	}
	return c.time()
}

// time plays the whole file by the clock, as far as that can be done without a
// machine.
func (c *File) time() (err error) {
	var p machine.Profile
	switch {
	case c.Machine != nil:
		p = c.Machine.Profile
	case c.Format == figures.GCode:
		p = TimelessGantry
	}
	if c.Report, err = clock.Run(c.Moves, p); err != nil {
		return fault.Workf("%s: %w", c.Name, err)
	}
	if c.Report.Moves.Empty() {
		return fault.Workf("%s: not a single move in it", c.Name).Hintf("make the file anew")
	}
	c.Timed = c.Machine != nil || c.Format == figures.Markvec
	return nil
}

// firstMover is an error that knows the index of the move it is about.
type firstMover interface{ FirstMove() int }

// inLimits proves that the machine can do the moves. Each problem of G-code
// comes with its line.
func (c *File) inLimits(p machine.Profile) error {
	err := emit.Check(c.Moves, p)
	if err == nil || c.Format != figures.GCode {
		return ofFile(c.Name, err)
	}
	parts := []error{err}
	if several, ok := err.(interface{ Unwrap() []error }); ok {
		parts = several.Unwrap()
	}
	for i, part := range parts {
		if m, ok := part.(firstMover); ok {
			parts[i] = fmt.Errorf("line %d: %w", gcode.LineOf(c.file, gcodeSection(c.Machine), m.FirstMove()), part)
		}
	}
	return ofFile(c.Name, errors.Join(parts...))
}

// ofFile adds the name of a file to what is wrong with it, if anything is.
func ofFile(name string, err error) error {
	if err == nil {
		return nil
	}
	return fault.Workf("%s: %w", name, err)
}

// ProveOnBed proves that the travel lies on the bed of a gantry with X0 Y0 at zero.
func (c *File) ProveOnBed(zero value.Point) error {
	p, g := c.Machine.Profile, *c.Machine.Gantry
	g.Zero, g.OriginMM = machine.ZeroBed, [2]float64{zero.X, zero.Y}
	p.Gantry = &g
	if err := c.inLimits(p); err != nil {
		return fault.Workf("with X0 Y0 at %g,%g: %w", zero.X, zero.Y, err)
	}
	c.zero = &zero
	return nil
}

// TimelessGantry lets the clock add up lengths where no machine is known. Its
// times mean nothing and are not shown.
var TimelessGantry = machine.Profile{Kind: machine.KindGantry, Gantry: &machine.Gantry{
	MaxSpeedMMPerS: [2]float64{1, 1}, AccelMMPerS2: [2]float64{1, 1}, RapidMMPerS: 1,
}}
