package main

import (
	"bytes"
	"fmt"
	"io"

	"furrow/cmd/furrow/internal/better"
	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/warmth"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit"
	"furrow/emit/gcode"
	"furrow/emit/markvec"

	"github.com/spf13/pflag"
)

var hatchCommand = command{
	name:     "hatch",
	synopsis: "ART.svg|JOB.toml -o OUT --machine ID [flags]",
	summary:  "fill artwork or a job with lines, and write the file the controller runs",
	about: `The machine decides the format: G-code for a gantry, a mark-vector list for a
galvo. On a blank the artwork lies in its middle. Without one the page's lower-left
corner goes to X0 Y0 of a gantry, its middle to the middle of a galvo's field; --at
says otherwise. Values on the command line win over those of the job file.`,
	example: `furrow hatch tag.svg -o tag.nc --machine example-co2 --spacing 0.1mm --speed 150 --power 35
furrow hatch tag.svg -o tag.mvl --recipe example-fibre-steel --cross`,
	setup: func(fs *pflag.FlagSet) runner {
		var c hatchFlags
		outputFlags(fs, &c.out, "the controller's file")
		c.flags(fs)
		fs.StringVar(&c.preview, "preview", "", "also draw the file to `FILE`.png, .svg or .pdf")
		value.Add(fs, &c.explain, value.Entry{
			Name: "explain", Takes: "WHICH", Alone: explainGiven, Words: []string{explainGiven, explainAll},
			Usage: "print each value that was given and where it came from to standard error; all: what holds by " +
				"default too",
		})
		fs.BoolVar(&c.heat, "heat", false, "also find the hottest place of the blank, whose thickness and material "+
			"the job names")
		quietFlag(fs)
		fs.BoolVar(&c.json, "json", false, "print the summary as JSON")
		return c.run
	},
}

type hatchFlags struct {
	request
	out     product.Output
	preview string
	json    bool
	heat    bool
	explain *string
}

func (c *hatchFlags) run(a *app, args []string) error {
	name, err := oneFile(args, "artwork or job file")
	if err != nil {
		return err
	}
	t, err := c.begin(a, name, false)
	if err != nil {
		return fault.All(err, c.out.Named())
	}
	picture := product.Output{Path: c.preview, Force: c.out.Force}
	if err := c.checkOutputs(t, picture); err != nil {
		return err
	}
	b, err := t.makeWithAdvice()
	if err != nil {
		return err
	}
	err = t.stages.run("heat", func() (err error) {
		b.heat, err = t.warmthOf(b.Work, c.heat)
		return err
	})
	if err != nil {
		return err
	}
	lines, err := c.write(a, t, b, picture)
	if err != nil {
		return err
	}
	t.stages.print(a.stderr)
	return c.summarise(a, b, lines)
}

// warmthOf estimates how warm the blank gets, as far as the job tells, and on request
// where it gets hottest; so too where the work was made cooler, to be held against that
// of the plain work.
func (t *task) warmthOf(w work.Work, mapped bool) (*warmth.Estimate, error) {
	if mapped || t.cool.Spread != nil || t.cool.Paused != nil {
		return warmth.MappedWith(w, t.cool.MapOptions())
	}
	return warmth.Of(w), nil
}

// makeWithAdvice does the work, and looks for what would make it quicker. Where that
// fails the work is none the worse.
func (t *task) makeWithAdvice() (b made, err error) {
	if b.Work, err = t.make(false); err != nil {
		return made{}, err
	}
	b.cool = t.cool
	err = t.stages.run("span", func() (err error) {
		b.span, err = figures.SpanOf(b.Moves, b.Machine.Profile, b.Clock)
		return err
	})
	if err != nil {
		return made{}, err
	}
	if p := b.cool.Paused; p != nil && p.Pauses > 0 {
		return b, nil // another way to do it would need pauses of its own
	}
	err = t.stages.run("advice", func() (err error) {
		if b.advice, err = better.Advise(b.Work); err == nil {
			b.advice = append(b.advice, t.letteringSaves(b.Work)...)
		}
		return err
	})
	if err != nil {
		b.Warnings = append(b.Warnings, work.Warning{Message: "no advice on other ways to do it: " + err.Error()})
	}
	return b, nil
}

// write writes the controller's file and, if asked for, its picture: both or none. It
// returns how many lines the file has.
func (c *hatchFlags) write(a *app, t *task, b made, picture product.Output) (int, error) {
	lines := lineCounter{}
	parts := []product.Part{{Output: c.out, Fn: func(w io.Writer) error {
		lines.w = w
		return t.stages.run("write", func() error { return b.encode(&lines) })
	}}}
	if picture.Path != "" {
		parts = append(parts, product.Part{Output: picture, Fn: func(w io.Writer) error {
			return t.stages.run("preview", func() error { return drawWork(w, picture, b.Work) })
		}})
	}
	err := product.Together(a.stdout, parts...)
	return lines.n, err
}

func (c *hatchFlags) checkOutputs(t *task, picture product.Output) error {
	if err := c.out.Check(t.inputs()...); err != nil {
		return err
	}
	if err := fitsFormat(c.out, t.Machine); err != nil {
		return err
	}
	if picture.Path == "" {
		return nil
	}
	if picture.Path == c.out.Path {
		return fault.Usagef("the output and the preview are both %s", picture.Path)
	}
	if picture.ToStdout() {
		return fault.Usagef("the preview needs a file of its own")
	}
	if _, err := pictureFormat(picture); err != nil {
		return err
	}
	return picture.Check(t.inputs()...)
}

// summarise prints the summary on standard output, or beside it when the file
// itself goes there.
func (c *hatchFlags) summarise(a *app, b made, lines int) error {
	a.warn(b.Warnings)
	err := product.WriteBuffered(a.besides(c.out, c.json), func(w io.Writer) error {
		if c.json {
			return product.WriteJSON(w, b.figures())
		}
		b.summary(w, c.out.Path, lines)
		return nil
	})
	if err != nil || c.explain == nil {
		return err
	}
	return printOrigins(a.stderr, b.Work, *c.explain == explainAll)
}

// encode writes the moves in the machine's format.
func (b made) encode(w io.Writer) error {
	m := b.Moves
	m.Header.Blanks = []emit.Blank{b.Blank()}
	if m.IsList() {
		return markvec.Encoder{Comments: b.fileComments()}.Encode(w, m)
	}
	m.Header.Time = b.Clock.Total()
	return gcode.Encoder{Profile: *b.Machine.GCode, Comments: b.fileComments()}.Encode(w, m)
}

// fileComments are what the file says of itself for a person who opens it.
func (b made) fileComments() []string {
	lines := []string{
		"furrow " + version,
		fmt.Sprintf("%s, %s", b.Shown(), words.Size(b.Clock.Marks)),
		"clearance: " + b.room(),
	}
	return append(lines, b.Machine.Cautions()...)
}

// lineCounter counts the lines that pass through it.
type lineCounter struct {
	w io.Writer
	n int
}

func (c *lineCounter) Write(p []byte) (int, error) {
	c.n += bytes.Count(p, []byte{0x0a})
	return c.w.Write(p)
}
