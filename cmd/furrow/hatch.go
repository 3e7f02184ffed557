package main

import (
	"bytes"
	"fmt"
	"io"

	"furrow/emit/gcode"
	"furrow/emit/markvec"

	"github.com/spf13/pflag"
)

var hatchCommand = command{
	name:     "hatch",
	synopsis: "ART.svg|JOB.toml -o OUT --machine ID [flags]",
	summary:  "artwork or a job file to the file the controller runs, with a summary",
	about: `The machine decides the format: G-code for a gantry, a mark-vector list for a
galvo. The page's lower-left corner goes to X0 Y0 of a gantry, its middle to the
middle of a galvo's field, unless --at says otherwise. Values on the command
line win over those of the job file.`,
	setup: func(fs *pflag.FlagSet) runner {
		var c hatchFlags
		c.out.flags(fs, "the controller's file")
		c.flags(fs)
		fs.StringVar(&c.preview, "preview", "", "also draw the file to `FILE`.png, .svg or .pdf")
		fs.BoolVar(&c.explain, "explain", false, "print each value and where it came from to standard error")
		quietFlag(fs)
		optionalVar(fs, &c.grid, "field-grid", "no artwork: mark `N` by N crosses to measure a galvo's field by, and write their places to a .csv beside")
		fs.BoolVar(&c.json, "json", false, "print the summary as JSON")
		return c.run
	},
}

type hatchFlags struct {
	request
	out     output
	preview string
	grid    *count
	json    bool
	explain bool
}

func (c *hatchFlags) run(a *app, args []string) error {
	if c.grid != nil {
		return c.fieldGrid(a, args)
	}
	name, err := oneFile(args, "artwork or job file")
	if err != nil {
		return err
	}
	b, err := c.newBuild(a, name, false)
	if err != nil {
		return err
	}
	picture := output{path: c.preview, force: c.out.force}
	if err := c.checkOutputs(b, picture); err != nil {
		return err
	}
	if err := b.makeProgram(a); err != nil {
		return err
	}
	if err := b.makeMoves(); err != nil {
		return err
	}
	b.stages.run("advice", func() error { // it has no error to return
		b.advise(a)
		return nil
	})
	lines, err := c.write(a, b, picture)
	if err != nil {
		return err
	}
	b.stages.print(a.stderr)
	return c.summarise(a, b, lines)
}

// write writes the controller's file and, if asked for, its picture. It returns how
// many lines the file has.
func (c *hatchFlags) write(a *app, b *build, picture output) (int, error) {
	lines := lineCounter{}
	err := b.stages.run("write", func() error {
		return c.out.write(a, func(w io.Writer) error {
			lines.w = w
			return b.encode(&lines)
		})
	})
	if err != nil || picture.path == "" {
		return lines.n, err
	}
	return lines.n, b.stages.run("preview", func() error { return b.draw(a, picture) })
}

func (c *hatchFlags) checkOutputs(b *build, picture output) error {
	if err := c.out.check(b.inputs()...); err != nil {
		return err
	}
	if err := c.out.fitsFormat(b.machine); err != nil {
		return err
	}
	if picture.path == "" {
		return nil
	}
	if picture.path == c.out.path {
		return usagef("the output and the preview are both %s", picture.path)
	}
	if picture.toStdout() {
		return usagef("the preview needs a file of its own")
	}
	if _, err := pictureFormat(picture); err != nil {
		return err
	}
	return picture.check(b.inputs()...)
}

// summarise prints the summary on standard output, or beside it when the file
// itself goes there.
func (c *hatchFlags) summarise(a *app, b *build, lines int) error {
	a.warn(b.warnings)
	err := writeBuffered(c.out.besides(a, c.json), func(w io.Writer) error {
		if c.json {
			return writeJSON(w, b.figures())
		}
		b.summary(w, c.out.path, lines)
		return nil
	})
	if err != nil || !c.explain {
		return err
	}
	return b.printOrigins(a.stderr)
}

// encode writes the moves in the machine's format.
func (b *build) encode(w io.Writer) error {
	if b.moves.ForGalvo() {
		return markvec.Encoder{Comments: b.fileComments()}.Encode(w, b.moves)
	}
	return gcode.Encoder{Profile: *b.machine.GCode, Comments: b.fileComments()}.Encode(w, b.moves)
}

// fileComments are what the file says of itself for a person who opens it.
func (b *build) fileComments() []string {
	lines := []string{
		"furrow " + version,
		fmt.Sprintf("%s, %s", b.shown(), size(b.clocked.Marks)),
		"room: " + b.room(),
	}
	return append(lines, b.machine.cautions()...)
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
