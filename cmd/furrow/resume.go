package main

import (
	"bufio"
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"time"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/order"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/gcode"
	"furrow/emit/markvec"

	"github.com/spf13/pflag"
)

var resumeCommand = command{
	name:     "resume",
	synopsis: "OUT.nc|OUT.mvl -o REST [--after-line N | --after-part P | --after-percent X]",
	summary:  "write the rest of a file, from the row or stroke in which it was stopped",
	about: `The rest begins at the start of the row or stroke that was under way, so that all of it
is marked at full speed; how much is marked twice is told. With --exactly it begins at
the first mark that was not made.

After a stop by furrow send you need not say where: furrow takes the place the machine
had reached by the clock, within what its controller had acknowledged. Look where the
marks end all the same. The part must not have moved: set zero again where it was, and
watch the trace of furrow locate before the beam is on.`,
	example: "furrow resume spring/load-01.nc -o spring/rest.nc --after-part 3",
	setup: func(fs *pflag.FlagSet) runner {
		var c resumeFlags
		outputFlags(fs, &c.out, "the rest")
		fs.StringVar(&c.machine, "machine", "", machineUsage)
		fs.StringVar(&c.recipe, "recipe", "", "the recipe of the work, `ID`, which may forbid marking twice "+
			"(default: that of the order's folder)")
		fs.Var((*nth)(&c.line), "after-line", "line `N` of the file was done")
		fs.Var((*nth)(&c.part), "after-part", "part `P` was done, by the file's own notes")
		value.Limit(value.Flag(fs, &c.percent, "after-percent", "`PERCENT` of the file's time was done"),
			value.Limits{Least: 0, Most: 100, Unit: "percent"})
		fs.BoolVar(&c.exactly, "exactly", false, "begin at the first mark behind the place, and mark nothing twice")
		fs.BoolVar(&c.json, "json", false, "print the summary as JSON")
		quietFlag(fs)
		return c.run
	},
}

type resumeFlags struct {
	out             product.Output
	machine, recipe string
	line, part      int
	percent         *value.Number
	exactly, json   bool
	sent            *sentFile // where the place is that of furrow send
}

// restFigures is what resume --json prints.
type restFigures struct {
	Machine string     `json:"machine"`
	Begins  [2]float64 `json:"begins_mm"`
	MarkMM  float64    `json:"left_mm"`
	OfMM    float64    `json:"of_mm"`
	AgainMM float64    `json:"twice_mm"`
	MostMM  float64    `json:"twice_most_mm,omitempty"` // of a place by the clock: by all that was sent
	ByClock bool       `json:"place_by_the_clock,omitempty"`
	Ended   *bool      `json:"ended,omitempty"` // of such a place: false where more may have been sent than is known
	Seconds float64    `json:"seconds"`
	Least   float64    `json:"seconds_least,omitempty"` // by what is assumed of the machine
	Most    float64    `json:"seconds_most,omitempty"`
	Assumed []string   `json:"assumed,omitempty"`
	File    string     `json:"file"`
}

func (c *resumeFlags) run(a *app, args []string) error {
	name, err := oneFile(args, "written file")
	if err != nil {
		return err
	}
	if err := c.out.Check(name); err != nil {
		return err
	}
	a.logCutShort()
	k, err := a.openWritten(name, c.machine, proof.Prove)
	if err != nil {
		return err
	}
	defer k.close()
	if k.Machine == nil {
		return fault.Usagef("%s names no known profile", name).Hintf("add --machine")
	}
	if err := c.asSent(name, k.File); err != nil {
		return err
	}
	said, err := saidIn(name)
	if err != nil {
		return err
	}
	n, under, err := c.done(name, k.File, said)
	if err != nil {
		return err
	}
	if k.Moves.Notes, err = said.notes(name, k.File); err != nil {
		return err
	}
	rest, err := emit.After(k.Moves, n, k.Machine.Profile, c.exactly)
	switch {
	case errors.Is(err, emit.ErrDone):
		return fault.Workf("%s: nothing is left to mark behind that place", name)
	case err != nil:
		return fault.Workf("%s: %w", name, err)
	}
	rest.AgainMM += under
	if err := c.sent.reckon(name, k.File, n); err != nil {
		return err
	}
	if err := c.mayMarkTwice(name, rest); err != nil {
		return err
	}
	return c.write(a, name, k.File, rest, cmp.Or(said.restOf, filepath.Base(name)))
}

// saidIn reads what a file says of itself.
func saidIn(name string) (contents, error) {
	f, err := os.Open(name)
	if err != nil {
		return contents{}, fault.Unreadable(err)
	}
	defer f.Close()
	said, err := saidBy(f)
	if err != nil {
		return contents{}, fault.Usagef("%s: %w", name, err)
	}
	return said, nil
}

// notes are what the file says before its moves.
func (c contents) notes(name string, f proof.File) (all []emit.Note, err error) {
	if len(c.places) == 0 {
		return nil, nil
	}
	var lines []int
	for _, p := range c.places {
		lines = append(lines, p.line)
	}
	moves, err := movesAt(name, f, lines...)
	for i, n := range moves {
		all = append(all, emit.Note{Move: n, Text: c.places[i].note})
	}
	return all, err
}

// done counts the moves that were done, and tells how much of a mark was under way.
func (c *resumeFlags) done(name string, f proof.File, said contents) (n int, underMM float64, err error) {
	switch {
	case (c.line > 0) == (c.part > 0) && c.percent == nil, c.percent != nil && (c.line > 0 || c.part > 0):
		return 0, 0, fault.Usagef("where was it stopped?").
			Hintf("add one of --after-line N, --after-part P and --after-percent X")
	case c.percent != nil && c.exactly:
		return 0, 0, fault.Usagef("--exactly needs an exact place, and a percentage is none").
			Hintf("use --after-line with --exactly")
	case c.percent != nil:
		return doneBy(f, float64(*c.percent)/100)
	case c.part > 0:
		if c.line, err = endOfPart(name, said, c.part); err != nil {
			return 0, 0, err
		}
	}
	n, err = doneAt(name, f, c.line)
	return n, 0, err
}

// doneBy counts the moves that end within a share of the file's time, and tells how
// much of a mark is under way then.
func doneBy(f proof.File, share float64) (n int, underMM float64, err error) {
	if !f.Timed {
		return 0, 0, fault.Usagef("the file's time is not known without its machine").
			Hintf("add --machine, or use --after-line")
	}
	until := time.Duration(share * float64(f.Report.Total()))
	_, err = clock.Each(f.Moves, f.Machine.Profile, func(t clock.Timed) {
		switch {
		case t.End <= until:
			n++
		case t.Start < until && t.Kind == emit.Mark:
			underMM = t.From.Dist(t.To) * float64(until-t.Start) / float64(t.End-t.Start)
		}
	})
	return n, underMM, err
}

// doneAt counts the moves up to the end of a line.
func doneAt(name string, f proof.File, line int) (int, error) {
	n, err := movesAt(name, f, line)
	if err != nil {
		return 0, err
	}
	return n[0], nil
}

// movesAt counts the moves up to the end of each of some rising lines of a file.
func movesAt(name string, f proof.File, at ...int) (n []int, err error) {
	in, err := os.Open(name)
	if err != nil {
		return nil, fault.Unreadable(err)
	}
	defer in.Close()
	lines, err := countLines(in)
	if err != nil {
		return nil, fault.Usagef("%s: %w", name, err)
	}
	if last := at[len(at)-1]; last > lines {
		return nil, fault.Usagef("%s has %s, and no line %d", name, words.Plural(lines, "line"), last)
	}
	if f.Moves.IsList() {
		n, err = markvec.MovesWithin(in, f.Moves, at...)
	} else {
		n, err = gcode.MovesWithin(in, f.Machine.Controller(), at...)
	}
	if err != nil {
		return nil, fault.Usagef("%s: %w", name, err)
	}
	return n, nil
}

// countLines counts the lines of a file; the last one may lack its end.
func countLines(f *os.File) (lines int, err error) {
	b := bufio.NewReaderSize(io.NewSectionReader(f, 0, math.MaxInt64), 1<<16)
	for whole := true; ; {
		text, err := b.ReadSlice('\n')
		if whole && len(text) > 0 {
			lines++
		}
		switch {
		case errors.Is(err, io.EOF):
			return lines, nil
		case err != nil && !errors.Is(err, bufio.ErrBufferFull):
			return lines, err
		}
		whole = err == nil
	}
}

// endOfPart returns the last line of a part: the one before the note of the next.
func endOfPart(name string, said contents, part int) (int, error) {
	i := slices.IndexFunc(said.places, func(p place) bool { return slices.Contains(p.parts, part) })
	switch {
	case i < 0:
		f := fault.Usagef("%s names no part %d", name, part).
			Hintf("use --after-line; parts.csv of the order says at which line each part begins")
		switch all := said.parts(); {
		case len(all) > 0:
			f.Hint = "it holds " + counted("part", all)
		case len(said.places) > 0:
			f.Hint = "it names pockets alone; parts.csv of the order says at which line each begins, for --after-line"
		}
		return 0, f
	case i+1 < len(said.places):
		return said.places[i+1].line, nil
	}
	f, err := os.Open(name)
	if err != nil {
		return 0, fault.Unreadable(err)
	}
	defer f.Close()
	return countLines(f)
}

// mayMarkTwice refuses to go over marks again where the recipe forbids it.
func (c *resumeFlags) mayMarkTwice(name string, r emit.Rest) error {
	if r.AgainMM == 0 && !c.sent.unsure() {
		return nil
	}
	recipe, err := c.recipeOf(name)
	if err != nil || recipe == nil || value.Or(recipe.Rework, true) {
		return err
	}
	return fault.Workf("%s would be marked twice, which recipe %s forbids", c.sent.most(r.AgainMM), recipe.ID).
		Hintf("look where the marks end, find the line of that place, and use --after-line N --exactly")
}

// recipeOf is the recipe that is named, or that the order's folder keeps.
func (c *resumeFlags) recipeOf(name string) (*settings.Recipe, error) {
	if c.recipe != "" {
		r, err := settings.FindRecipe(c.recipe)
		return &r, err
	}
	dir := filepath.Dir(name)
	if _, err := os.Stat(filepath.Join(dir, order.RecordName)); errors.Is(err, fs.ErrNotExist) {
		return nil, nil // not in an order's folder
	}
	old, err := order.Open(dir)
	if err != nil {
		return nil, err
	}
	kept, ok := old.Input(order.Recipe)
	if !ok {
		return nil, nil
	}
	r, err := settings.FindRecipe(old.Inside(kept))
	return &r, err
}

// write writes the rest of a whole file, and says what it is.
func (c *resumeFlags) write(a *app, name string, f proof.File, rest emit.Rest, whole string) error {
	comments := append([]string{
		"furrow " + version,
		fmt.Sprintf("the rest of %s, begins at X%s Y%s", whole, words.Decimal(rest.Begins.X, 3),
			words.Decimal(rest.Begins.Y, 3)),
	}, f.Machine.Cautions()...)
	if err := emit.Check(rest.Moves, f.Machine.Profile); err != nil {
		return fault.Workf("%s: %w", name, err)
	}
	r, err := clock.Run(rest.Moves, f.Machine.Profile)
	if err != nil {
		return err
	}
	rest.Moves.Header.Time = r.Total()
	err = c.out.Write(a.stdout, func(w io.Writer) error {
		if rest.Moves.IsList() {
			return markvec.Encoder{Comments: comments}.Encode(w, rest.Moves)
		}
		return gcode.Encoder{Profile: f.Machine.Controller(), Comments: comments}.Encode(w, rest.Moves)
	})
	if err != nil {
		return err
	}
	span, err := figures.SpanOf(rest.Moves, f.Machine.Profile, r)
	if err != nil {
		return err
	}
	return c.tell(a, name, f, rest, r, span)
}

// tell says what the rest is.
func (c *resumeFlags) tell(a *app, name string, f proof.File, rest emit.Rest, r clock.Report, span figures.Span) error {
	w := a.besides(c.out, c.json)
	if c.json {
		told := restFigures{Machine: f.Machine.ID, Begins: [2]float64{rest.Begins.X, rest.Begins.Y},
			MarkMM: r.MarkMM, OfMM: f.Report.MarkMM, AgainMM: rest.AgainMM, Seconds: r.Total().Seconds(),
			File: c.out.Path}
		c.sent.figures(&told)
		if span.Known() {
			told.Least, told.Most, told.Assumed = span.Low.Seconds(), span.High.Seconds(), span.Assumed
		}
		return product.WriteJSON(w, told)
	}
	line := func(head, text string) { fmt.Fprintf(w, "%-12s %s\n", head, text) }
	c.sent.tell(line)
	line("begins", fmt.Sprintf("X%s Y%s", words.Decimal(rest.Begins.X, 3), words.Decimal(rest.Begins.Y, 3)))
	line("left", fmt.Sprintf("%s of %s, in %s", words.Metres(r.MarkMM), words.Metres(f.Report.MarkMM),
		words.Time(r.Total())+span.Words()))
	line("twice", c.sent.twice(rest.AgainMM))
	c.sent.look(line, rest, r.MarkMM >= f.Report.MarkMM)
	line("zero", "set it again where it was; a part that has moved is spoiled by the rest")
	line("written", c.out.Path)
	dir := orderFolder(name)
	if dir != "" && !c.out.ToStdout() && filepath.Dir(c.out.Path) != filepath.Clean(dir) {
		line("log", "the order's log takes a run of it where it lies in "+dir)
	}
	line("caution", settings.Caution)
	return nil
}
