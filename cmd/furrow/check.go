package main

import (
	"errors"
	"fmt"
	"io"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit"
	"furrow/emit/clock"
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
	example: "furrow check tag.nc",
	setup: func(fs *pflag.FlagSet) runner {
		name := fs.String("machine", "", machineUsage)
		quietFlag(fs)
		asJSON := fs.Bool("json", false, "print the figures as JSON")
		var zero *value.Point
		value.Flag(fs, &zero, "zero-at",
			"prove that the travel lies on the bed when X0 Y0 is set at `X,Y` from its lower-left corner")
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
	c, err := a.openWritten(file, machineName, proof.Prove)
	if err == nil {
		defer c.close()
	}
	if err == nil && zero != nil {
		if err = zeroApplies(c.Machine); err == nil {
			err = c.ProveOnBed(*zero)
		}
	}
	if err != nil {
		return a.refused(err, asJSON)
	}
	return product.WriteBuffered(a.besides(product.Output{}, asJSON), func(w io.Writer) error {
		if asJSON {
			return product.WriteJSON(w, checkFigures{Figures: c.Figures(), Proved: c.Proved(),
				NotProved: notProved(c.File), Warnings: checkWarnings(c.File)})
		}
		printChecked(w, c.File)
		return nil
	})
}

// zeroApplies refuses --zero-at where it means nothing.
func zeroApplies(m *settings.Machine) error {
	switch {
	case m == nil:
		return fault.Usagef("--zero-at needs to know the bed").Hintf("name the machine with --machine")
	case !m.IsGantry():
		return fault.Usagef("--zero-at is for a gantry, and %s is a %s", m.ID, m.Kind)
	case m.Gantry.Zero != machine.ZeroByHand:
		return fault.Usagef("--zero-at is for a zero that is set by hand, and that of %s is the bed's", m.ID).
			Hintf("leave it out: that the travel lies on the bed is proved without it")
	}
	return nil
}

// checkFigures is what check --json prints of a file that passed.
type checkFigures struct {
	figures.Figures
	Proved    []string `json:"proved"`
	NotProved []string `json:"not_proved"`
	Warnings  []string `json:"warnings,omitempty"`
}

// checkRefused is what check --json prints of one that failed.
type checkRefused struct {
	Format    string          `json:"format"`
	Machine   string          `json:"machine"`
	Proved    []string        `json:"proved"`
	NotProved []string        `json:"not_proved"`
	Problems  []proof.Problem `json:"problems"`
}

// refused passes a refusal on, and prints it as data where that is asked for.
func (a *app) refused(err error, asJSON bool) error {
	var r *proof.Refusal
	if !asJSON || !errors.As(err, &r) {
		return err
	}
	data := checkRefused{
		Format: r.Format, Proved: []string{}, NotProved: []string{"anything: the file is refused"},
		Problems: r.Problems,
	}
	if r.Machine != nil {
		data.Machine = r.Machine.ID
	}
	return errors.Join(product.WriteBuffered(a.stdout, func(w io.Writer) error {
		return product.WriteJSON(w, data)
	}), err)
}

func notProved(c proof.File) (all []string) {
	for _, g := range c.NotProved() {
		all = append(all, gapWords(g))
	}
	return all
}

// checkWarnings lists what is odd and no failure.
func checkWarnings(c proof.File) []string {
	w := c.Moves.DelayWarnings()
	if then, differs := c.TimeThen(); differs {
		w = append(w, fmt.Sprintf(
			"times differ: %s when the file was made, %s by the profile as it is now (acceleration, jerk or link)",
			words.Time(then), words.Time(c.Report.Total())))
	}
	return w
}

// findAsked returns the machine of a name, or nil where there is none.
func findAsked(name string) (*settings.Machine, error) {
	if name == "" {
		return nil, nil
	}
	m, err := settings.FindMachine(name)
	return &m, err
}

func printChecked(w io.Writer, c proof.File) {
	line := func(head, text string) { fmt.Fprintf(w, "%-12s %s\n", head, text) }
	line(formatTitle(c.Format), c.Name)
	r := c.Report
	if c.Moves.Header.Inch {
		line("units", "inches (G20): "+inchWords(r))
	}
	line("marks", marksWords(r))
	line(moverOf(c.Moves), words.Place(r.Moves))
	if c.Timed {
		line("time", figures.TimeWords(r.Parts, c.Span))
	}
	if c.Machine != nil {
		line("machine", c.Machine.NameWords())
	}
	for i, s := range c.Proved() {
		line(words.OnlyFirst("proved", i), s)
	}
	for i, s := range checkWarnings(c) {
		line(words.OnlyFirst("warning", i), s)
	}
	for i, s := range notProved(c) {
		line(words.OnlyFirst("not proved", i), s)
	}
}

// moverOf names what moves: a gantry's head, a galvo's beam.
func moverOf(m emit.Moves) string {
	if m.ForGalvo() {
		return "beam"
	}
	return "head"
}

// marksWords says where the marks are, if there are any.
func marksWords(r clock.Report) string {
	if r.Marks.Empty() {
		return "none: the beam stays off"
	}
	return fmt.Sprintf("%s by the middle of the beam, %s; marked %s", words.Size(r.Marks), words.Place(r.Marks),
		words.Metres(r.MarkMM))
}

// inchWords says how large the marks, or where there are none the moves, are in
// the file's unit and in millimetres, so that a wrong one is seen.
func inchWords(r clock.Report) string {
	b := r.Marks
	if b.Empty() {
		b = r.Moves
	}
	return fmt.Sprintf("%s x %s in, which is %s", words.Decimal(b.W()/path.MMPerInch, 3),
		words.Decimal(b.H()/path.MMPerInch, 3), words.Size(b))
}

func formatTitle(format string) string {
	if format == figures.Markvec {
		return "mark-vector"
	}
	return "RS-274"
}

// gapWords says what was not proved, and the flag that would let it be.
func gapWords(g proof.Gap) string {
	switch g.Needs {
	case proof.NeedsMachine:
		return g.What + "; add --machine"
	case proof.NeedsZero:
		return g.What + "; add --zero-at"
	}
	return g.What
}
