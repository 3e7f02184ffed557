package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/gcode"
	"furrow/path"

	"github.com/spf13/pflag"
)

var checkCommand = command{
	name:     "check",
	synopsis: "OUT.nc|OUT.mvl [--machine ID]",
	summary:  "read a written file as a controller would, and prove what it must keep to",
	about: `Any doubt is a failure, with the line it is on. Without --machine the profile
that the file names is used, if it is known; what could not be proved is said.`,
	setup: func(fs *pflag.FlagSet) runner {
		name := fs.String("machine", "", "machine profile: an `ID` that furrow machines lists, or FILE.toml")
		quietFlag(fs)
		asJSON := fs.Bool("json", false, "print the figures as JSON")
		var zero *point
		optionalVar(fs, &zero, "zero-at", "prove that the travel lies on the bed when X0 Y0 is set at `X,Y` from its lower-left corner")
		return func(a *app, args []string) error {
			file, err := oneFile(args, "file to check")
			if err != nil {
				return err
			}
			return a.check(file, *name, zero, *asJSON)
		}
	},
}

func (a *app) check(file, machineName string, zero *point, asJSON bool) error {
	c, err := a.proveFile(file, machineName)
	if err != nil {
		return err
	}
	defer c.close()
	if err := c.proveOnBed(zero); err != nil {
		return err
	}
	return writeBuffered(output{}.besides(a, asJSON), func(w io.Writer) error {
		if asJSON {
			return writeJSON(w, checkFigures{c.figures(), c.moves.DelayWarnings()})
		}
		c.print(w)
		return nil
	})
}

// checkFigures is what check --json prints.
type checkFigures struct {
	figures
	Warnings []string `json:"warnings,omitempty"`
}

// checked is what check found out about a file.
type checked struct {
	written
	machine *machine // nil when none is known
	clocked clock.Report
	timed   bool
	zero    *point // where X0 Y0 was proved to let the travel lie on the bed
}

// proveFile reads a file and proves what can be proved. The caller closes what
// it returns without an error.
func (a *app) proveFile(file, machineName string) (checked, error) {
	asked, err := findAsked(machineName)
	if err != nil {
		return checked{}, err
	}
	w, m, err := a.readWritten(file, asked, gcode.Read)
	if err != nil {
		return checked{}, err
	}
	c := checked{written: w, machine: m}
	err = c.matchMachine()
	if err == nil {
		err = c.prove()
	}
	if err != nil {
		w.close()
	}
	return c, err
}

// findAsked returns the machine of a name, or nil where there is none.
func findAsked(name string) (*machine, error) {
	if name == "" {
		return nil, nil
	}
	m, err := findMachine(name)
	return &m, err
}

// matchKind refuses a profile of the other kind of machine.
func (c *checked) matchKind() error {
	if c.machine == nil || formatOf(c.machine.Profile) == c.format {
		return nil
	}
	return workf("%s: the file is for a %s, and %s is a %s", c.name, kindOf(c.format), c.machine.ID, c.machine.Kind)
}

// matchMachine compares what the file says it was made for with the profile.
func (c *checked) matchMachine() error {
	h := c.moves.Header
	if err := c.matchKind(); err != nil || c.machine == nil {
		return err
	}
	if h.Hash != "" && (h.Profile != c.machine.ID || h.Hash != c.machine.Hash()) {
		return workf("%s: made for profile %s as it was at %s, not for %s at %s", c.name, h.Profile, h.Hash, c.machine.ID, c.machine.Hash()).
			hintf("make the file anew with the profile as it is now")
	}
	return nil
}

func kindOf(format string) string {
	if format == formatMarkvec {
		return emit.KindGalvo
	}
	return emit.KindGantry
}

// auditLimit is how many problems of a file are told.
const auditLimit = 20

// audit reads G-code to its end and lists what is wrong with it, line by line.
func audit(name string, r io.ReaderAt, g emit.GCode) error {
	problems, err := gcode.Audit(section(r), g, auditLimit)
	if err != nil {
		return workf("%s: %w", name, err)
	}
	if len(problems) == 0 {
		return nil
	}
	var lines []string
	for _, p := range problems {
		lines = append(lines, p.Error())
	}
	if len(problems) == auditLimit {
		lines = append(lines, "and perhaps more")
	}
	f := workf("%s: %s", name, strings.Join(lines, "\n"))
	f.hint = problems[0].Hint
	return f
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
	var p emit.Profile
	switch {
	case c.machine != nil:
		p = c.machine.Profile
	case c.format == formatGCode:
		p = timelessGantry
	}
	if c.clocked, err = clock.Run(c.moves, p); err != nil {
		return workf("%s: %w", c.name, err)
	}
	if c.clocked.Moves.Empty() {
		return workf("%s: not a single move in it", c.name).hintf("make the file anew")
	}
	c.timed = c.machine != nil || c.format == formatMarkvec
	return nil
}

// firstMover is an error that knows the index of the move it is about.
type firstMover interface{ FirstMove() int }

// inLimits proves that the machine can do the moves. Each problem of G-code
// comes with its line.
func (c *checked) inLimits(p emit.Profile) error {
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
	return workf("%s: %w", name, err)
}

// proveOnBed proves that the travel lies on the bed with X0 Y0 at zero, where
// that is known.
func (c *checked) proveOnBed(zero *point) error {
	if zero == nil {
		return nil
	}
	if c.machine == nil || c.machine.Gantry == nil || c.machine.Gantry.Zero != emit.ZeroByHand {
		return usagef("--zero-at is for a gantry whose zero is set by hand").hintf("name it with --machine")
	}
	p, g := c.machine.Profile, *c.machine.Gantry
	g.Zero, g.OriginMM = emit.ZeroBed, [2]float64{zero.X, zero.Y}
	p.Gantry = &g
	if err := c.inLimits(p); err != nil {
		return workf("with X0 Y0 at %g,%g: %w", zero.X, zero.Y, err)
	}
	c.zero = zero
	return nil
}

// timelessGantry lets the clock add up lengths where no machine is known. Its
// times mean nothing and are not shown.
var timelessGantry = emit.Profile{Kind: emit.KindGantry, Gantry: &emit.Gantry{
	MaxSpeedMMPerS: [2]float64{1, 1}, AccelMMPerS2: [2]float64{1, 1}, RapidMMPerS: 1,
}}

func (c *checked) figures() figures {
	name := c.moves.Header.Profile
	if c.machine != nil {
		name = c.machine.ID
	}
	f := newFigures(c.format, name, c.clocked)
	if !c.timed {
		f.Seconds, f.Time = 0, map[string]float64{}
	}
	return f
}

func (c *checked) print(w io.Writer) {
	line := func(head, text string) { fmt.Fprintf(w, "%-12s %s\n", head, text) }
	line(formatTitle(c.format), c.name)
	r := c.clocked
	if c.moves.Header.Inch {
		line("units", "inches (G20): "+inchWords(r))
	}
	line("marks", marksWords(r))
	line("head", fmt.Sprintf("X %s to %s, Y %s to %s", decimal(r.Moves.Min.X, 3), decimal(r.Moves.Max.X, 3),
		decimal(r.Moves.Min.Y, 3), decimal(r.Moves.Max.Y, 3)))
	if c.timed {
		line("time", timeWords(r.Parts))
	}
	if c.machine != nil {
		line("machine", c.machine.nameWords())
	}
	for i, s := range c.proved() {
		line(onlyFirst("proved", i), s)
	}
	for i, s := range c.moves.DelayWarnings() {
		line(onlyFirst("warning", i), s)
	}
	for i, s := range c.notProved() {
		line(onlyFirst("not proved", i), s)
	}
}

// marksWords says where the marks are, if there are any.
func marksWords(r clock.Report) string {
	if r.Marks.Empty() {
		return "none: the beam stays off"
	}
	return fmt.Sprintf("%s, X %s to %s, Y %s to %s; marked %s", size(r.Marks),
		decimal(r.Marks.Min.X, 3), decimal(r.Marks.Max.X, 3), decimal(r.Marks.Min.Y, 3), decimal(r.Marks.Max.Y, 3), metres(r.MarkMM))
}

// inchWords says how large the marks, or where there are none the moves, are in
// the file's unit and in millimetres, so that a wrong one is seen.
func inchWords(r clock.Report) string {
	b := r.Marks
	if b.Empty() {
		b = r.Moves
	}
	return fmt.Sprintf("%s x %s in, which is %s", decimal(b.W()/path.MMPerInch, 3), decimal(b.H()/path.MMPerInch, 3), size(b))
}

func onlyFirst(head string, i int) string {
	if i > 0 {
		return ""
	}
	return head
}

func formatTitle(format string) string {
	if format == formatMarkvec {
		return "mark-vector"
	}
	return "RS-274"
}

func (c *checked) proved() []string {
	s := []string{"every line follows the grammar; units, feed and modes are set before the first move",
		"the beam is off in every travel move, between strokes and at the end; nothing follows the end"}
	if c.format == formatMarkvec {
		s = []string{"every line follows the grammar; counts and check sum match; all vectors lie in the field",
			"every vector has a length, every setting is used",
			"the beam is on in marks and dots only; nothing follows the end"}
	}
	if c.machine == nil {
		return s
	}
	s = append(s, "speeds, power and size are within "+c.machine.ID)
	if c.zero != nil {
		s = append(s, fmt.Sprintf("the travel lies on the bed with X0 Y0 at %g,%g", c.zero.X, c.zero.Y))
	}
	if c.moves.Header.Hash != "" {
		s = append(s, "made for "+c.machine.ID+" as its profile is now")
	}
	return s
}

func (c *checked) notProved() []string {
	var s []string
	switch {
	case c.machine == nil && c.format == formatGCode:
		s = append(s, "time, speeds, power and bed: no machine profile; add --machine")
	case c.machine == nil:
		s = append(s, "speeds and power: no machine profile; add --machine")
	case c.machine.Gantry != nil && c.machine.Gantry.Zero == emit.ZeroByHand && c.zero == nil:
		s = append(s, "that the travel lies on the bed: zero is set by hand; add --zero-at")
	}
	if c.machine == nil && c.moves.Header.Corrected {
		s = append(s, "where the marks fall: the places are corrected for a lens; add --machine")
	}
	if c.machine != nil && c.moves.Header.Hash == "" {
		s = append(s, "that it was made for this profile: the file names none")
	}
	return append(s, "that the settings suit the material: prove them on scrap")
}
