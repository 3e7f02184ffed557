package proof

import (
	"fmt"
	"io"

	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/gcode"
)

// File is a controller's file that was read, and what was found out about it.
type File struct {
	Name    string
	Format  string            // figures.GCode or figures.Markvec
	Machine *settings.Machine // nil when none is known
	Moves   emit.Moves
	Report  clock.Report
	Span    figures.Span // of the time, by what is assumed of the machine
	Timed   bool         // the report's times are those of a machine, or of the list itself

	file   io.ReaderAt
	toPlay bool         // what plays it corrects its places where the list does not
	zero   *value.Point // where X0 Y0 was proved to let the travel lie on the bed
}

// Prove reads a file with the profile asked for, or with the one it names where
// none is, and proves what can be proved.
func Prove(name string, r io.ReaderAt, asked *settings.Machine) (File, error) {
	c, err := readWritten(name, r, asked, gcode.Read)
	if err != nil {
		return File{}, err
	}
	if err := c.matchMachine(); err != nil {
		return File{}, err
	}
	return c, c.prove()
}

// ProveToPlay is Prove for a list that is corrected when it is played, where its places are
// not.
func ProveToPlay(name string, r io.ReaderAt, asked *settings.Machine) (File, error) {
	c, err := readWritten(name, r, asked, gcode.Read)
	if err != nil {
		return File{}, err
	}
	c.toPlay = true
	if err := c.matchMachine(); err != nil {
		return File{}, err
	}
	return c, c.prove()
}

// Look reads a file that is only to be looked at: without a proof, and as
// far as it is certain what it does.
func Look(name string, r io.ReaderAt, asked *settings.Machine) (File, error) {
	c, err := readWritten(name, r, asked, gcode.Look)
	if err != nil {
		return File{}, err
	}
	if err := c.matchKind(); err != nil {
		return File{}, err
	}
	return c, c.time()
}

// matchKind refuses a profile of the other kind of machine.
func (c *File) matchKind() error {
	if c.Machine == nil || figures.FormatOf(c.Machine.Profile) == c.Format {
		return nil
	}
	return c.refuse(Problem{Rule: ruleMachine,
		Message: fmt.Sprintf("the file is %s, and %s, a %s, takes %s", formatWords(c.Format), c.Machine.ID,
			c.Machine.Kind,
			formatWords(figures.FormatOf(c.Machine.Profile)))})
}

// Figures returns those of the file, without times where no machine is known.
func (c *File) Figures() figures.Figures {
	name := c.Moves.Header.Profile
	if c.Machine != nil {
		name = c.Machine.ID
	}
	f := figures.Of(c.Format, name, c.Report)
	f.Add(c.Span)
	f.On(c.Moves.Header.Blanks...)
	if !c.Timed {
		f.Seconds, f.Time = 0, map[string]float64{}
	}
	return f
}
