package main

import (
	"fmt"
	"io"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit/clock"
	"furrow/emit/gcode"
	"furrow/emit/machine"
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
		name := fs.String("machine", "", machineUsage)
		quietFlag(fs)
		asJSON := fs.Bool("json", false, "print the figures as JSON")
		var zero *value.Point
		value.Flag(fs, &zero, "zero-at", "prove that the travel lies on the bed when X0 Y0 is set at `X,Y` from its lower-left corner")
		return func(a *app, args []string) error {
			file, err := oneFile(args, "file to check")
			if err != nil {
				return err
			}
			return a.check(file, *name, zero, *asJSON)
		}
	},
}

func (a *app) check(file, machineName string, zero *value.Point, asJSON bool) error {
	c, err := a.proveFile(file, machineName)
	if err != nil {
		return err
	}
	defer c.close()
	if err := c.proveOnBed(zero); err != nil {
		return err
	}
	return product.WriteBuffered(a.besides(product.Output{}, asJSON), func(w io.Writer) error {
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
	machine *settings.Machine // nil when none is known
	clocked clock.Report
	timed   bool
	zero    *value.Point // where X0 Y0 was proved to let the travel lie on the bed
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
func findAsked(name string) (*settings.Machine, error) {
	if name == "" {
		return nil, nil
	}
	m, err := settings.FindMachine(name)
	return &m, err
}

// matchKind refuses a profile of the other kind of machine.
func (c *checked) matchKind() error {
	if c.machine == nil || formatOf(c.machine.Profile) == c.format {
		return nil
	}
	return fault.Workf("%s: the file is for a %s, and %s is a %s", c.name, kindOf(c.format), c.machine.ID, c.machine.Kind)
}

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
	line("head", words.Place(r.Moves))
	if c.timed {
		line("time", timeWords(r.Parts))
	}
	if c.machine != nil {
		line("machine", c.machine.NameWords())
	}
	for i, s := range c.proved() {
		line(words.OnlyFirst("proved", i), s)
	}
	for i, s := range c.moves.DelayWarnings() {
		line(words.OnlyFirst("warning", i), s)
	}
	for i, s := range c.notProved() {
		line(words.OnlyFirst("not proved", i), s)
	}
}

// marksWords says where the marks are, if there are any.
func marksWords(r clock.Report) string {
	if r.Marks.Empty() {
		return "none: the beam stays off"
	}
	return words.Rect(r.Marks) + "; marked " + words.Metres(r.MarkMM)
}

// inchWords says how large the marks, or where there are none the moves, are in
// the file's unit and in millimetres, so that a wrong one is seen.
func inchWords(r clock.Report) string {
	b := r.Marks
	if b.Empty() {
		b = r.Moves
	}
	return fmt.Sprintf("%s x %s in, which is %s", words.Decimal(b.W()/path.MMPerInch, 3), words.Decimal(b.H()/path.MMPerInch, 3), words.Size(b))
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
	case c.machine.Gantry != nil && c.machine.Gantry.Zero == machine.ZeroByHand && c.zero == nil:
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
