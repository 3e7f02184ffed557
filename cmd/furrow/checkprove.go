package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/gcode"
	"furrow/emit/machine"
	"furrow/emit/markvec"
	"furrow/emit/pulse"
)

// matchMachine compares what the file says it was made for with the profile.
func (c *checked) matchMachine() error {
	h := c.moves.Header
	if err := c.matchKind(); err != nil || c.machine == nil {
		return err
	}
	if h.Hash != "" && (h.Profile != c.machine.ID || h.Hash != c.machine.Hash()) {
		return fault.Workf("%s: made for profile %s as it was at %s, not for %s at %s", c.name, h.Profile, h.Hash, c.machine.ID, c.machine.Hash()).
			Hintf("make the file anew with the profile as it is now")
	}
	return nil
}

func kindOf(format string) string {
	if format == formatMarkvec {
		return machine.KindGalvo
	}
	return machine.KindGantry
}

// auditLimit is how many problems of a file are told.
const auditLimit = 20

// audit reads G-code to its end and lists what is wrong with it, line by line.
func audit(name string, r io.ReaderAt, g machine.GCode) error {
	problems, err := gcode.Audit(section(r), g, auditLimit)
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
	if len(lines) == auditLimit {
		return append(lines, "and perhaps more")
	}
	return lines
}

func problemsOf(name string, lines []string) *fault.Failure {
	return fault.Workf("%s: %s", name, strings.Join(lines, "\n"))
}

// auditList lists what a mark-vector list should not hold, line by line, and
// what the machine, if it is known, cannot do.
func (c *checked) auditList() error {
	problems, err := markvec.Problems(section(c.file), auditLimit)
	if err != nil {
		return fault.Workf("%s: %w", c.name, err)
	}
	var lines []string
	for _, p := range problems {
		lines = append(lines, p.Error())
	}
	lines = andMore(lines)
	if c.machine != nil {
		for i, s := range c.moves.Settings {
			for _, w := range pulse.OutOfRange(s, c.machine.Profile) {
				lines = append(lines, fmt.Sprintf("setting %d: %s", i, w))
			}
		}
	}
	if len(lines) == 0 {
		return nil
	}
	return problemsOf(c.name, lines)
}

func section(r io.ReaderAt) io.Reader { return io.NewSectionReader(r, 0, math.MaxInt64) }

// prove plays the whole file against the limits of the machine and times it.
func (c *checked) prove() error {
	if c.format == formatGCode {
		if err := audit(c.name, c.file, gcodeSection(c.machine)); err != nil {
			return err
		}
	}
	if c.format == formatMarkvec {
		if err := c.auditList(); err != nil {
			return err
		}
	}
	if c.machine != nil {
		if err := c.inLimits(c.machine.Profile); err != nil {
			return err
		}
	}
	return c.time()
}

// time plays the whole file by the clock, as far as that can be done without a
// machine.
func (c *checked) time() (err error) {
	var p machine.Profile
	switch {
	case c.machine != nil:
		p = c.machine.Profile
	case c.format == formatGCode:
		p = timelessGantry
	}
	if c.clocked, err = clock.Run(c.moves, p); err != nil {
		return fault.Workf("%s: %w", c.name, err)
	}
	if c.clocked.Moves.Empty() {
		return fault.Workf("%s: not a single move in it", c.name).Hintf("make the file anew")
	}
	c.timed = c.machine != nil || c.format == formatMarkvec
	return nil
}

// firstMover is an error that knows the index of the move it is about.
type firstMover interface{ FirstMove() int }

// inLimits proves that the machine can do the moves. Each problem of G-code
// comes with its line.
func (c *checked) inLimits(p machine.Profile) error {
	err := emit.Check(c.moves, p)
	if err == nil || c.format != formatGCode {
		return ofFile(c.name, err)
	}
	parts := []error{err}
	if several, ok := err.(interface{ Unwrap() []error }); ok {
		parts = several.Unwrap()
	}
	for i, part := range parts {
		if m, ok := part.(firstMover); ok {
			parts[i] = fmt.Errorf("line %d: %w", gcode.LineOf(c.file, gcodeSection(c.machine), m.FirstMove()), part)
		}
	}
	return ofFile(c.name, errors.Join(parts...))
}

// ofFile adds the name of a file to what is wrong with it, if anything is.
func ofFile(name string, err error) error {
	if err == nil {
		return nil
	}
	return fault.Workf("%s: %w", name, err)
}

// proveOnBed proves that the travel lies on the bed with X0 Y0 at zero, where
// that is known.
func (c *checked) proveOnBed(zero *value.Point) error {
	if zero == nil {
		return nil
	}
	switch {
	case c.machine == nil:
		return fault.Usagef("--zero-at needs to know the bed").Hintf("name the machine with --machine")
	case c.machine.Gantry == nil:
		return fault.Usagef("--zero-at is for a gantry, and %s is a %s", c.machine.ID, c.machine.Kind)
	case c.machine.Gantry.Zero != machine.ZeroByHand:
		return fault.Usagef("--zero-at is for a zero that is set by hand, and that of %s is the bed's", c.machine.ID).
			Hintf("leave it out: that the travel lies on the bed is proved without it")
	}
	p, g := c.machine.Profile, *c.machine.Gantry
	g.Zero, g.OriginMM = machine.ZeroBed, [2]float64{zero.X, zero.Y}
	p.Gantry = &g
	if err := c.inLimits(p); err != nil {
		return fault.Workf("with X0 Y0 at %g,%g: %w", zero.X, zero.Y, err)
	}
	c.zero = zero
	return nil
}

// timelessGantry lets the clock add up lengths where no machine is known. Its
// times mean nothing and are not shown.
var timelessGantry = machine.Profile{Kind: machine.KindGantry, Gantry: &machine.Gantry{
	MaxSpeedMMPerS: [2]float64{1, 1}, AccelMMPerS2: [2]float64{1, 1}, RapidMMPerS: 1,
}}
