package main

import (
	"fmt"
	"io"

	"furrow/emit"
	"furrow/path"
	"furrow/raster/density"
	"furrow/raster/page"

	"github.com/spf13/pflag"
)

var previewCommand = command{
	name:     "preview",
	synopsis: "ART.svg|JOB.toml|OUT.nc|OUT.mvl -o P.png [flags]",
	summary:  "draw what will be marked, or what a written file does",
	about: `The picture shows the density of the marks in lines/mm, to scale on the page, bed
or field. A written file is shown as it is, not as it was meant.`,
	setup: func(fs *pflag.FlagSet) runner {
		var c previewFlags
		c.out.flags(fs, "the picture")
		c.flags(fs)
		return c.run
	},
}

type previewFlags struct {
	request
	out output
}

func (c *previewFlags) run(a *app, args []string) error {
	name, err := oneFile(args, "artwork, job or written file")
	if err != nil {
		return err
	}
	if isWritten(name) {
		return c.drawWritten(a, name)
	}
	b, err := c.newBuild(name, true)
	if err != nil {
		return err
	}
	if err := c.out.check(b.inputs()...); err != nil {
		return err
	}
	if err := b.makeProgram(a); err != nil {
		return err
	}
	if b.machine != nil {
		if err := b.makeMoves(); err != nil {
			return err
		}
	}
	for _, w := range b.warnings {
		fmt.Fprintf(a.stderr, "furrow: warning: %s\n", w)
	}
	return b.draw(a, c.out)
}

func (c *previewFlags) drawWritten(a *app, name string) error {
	if err := c.out.check(name); err != nil {
		return err
	}
	k, err := a.proveFile(name, c.machine)
	if err != nil {
		return err
	}
	defer k.close()
	moves := k.moves
	if k.machine != nil {
		moves = emit.AsMarked(moves, k.machine.Profile)
	}
	prog, err := moves.Program()
	if err != nil {
		return err
	}
	o := density.Options{Caption: page.Caption{Name: name, Facts: k.captionFacts()}}
	if k.machine != nil {
		o.MarkWidthMM = k.machine.Laser.SpotMM[1]
		o.Bed, o.BedName = field(k.machine.Profile)
	}
	return drawProgram(a, c.out, prog, o)
}

func (c *checked) captionFacts() []string {
	facts := []string{size(c.clocked.Marks)}
	if c.machine != nil {
		facts = append([]string{c.machine.Name}, facts...)
	}
	if c.timed {
		facts = append(facts, duration(c.clocked.Total()))
	}
	return facts
}

// draw pictures the strokes of the build, where there is a machine as its file
// will mark them.
func (b *build) draw(a *app, out output) error {
	prog, o := b.program, density.Options{
		Blank:   b.art.Page,
		Caption: page.Caption{Name: b.shown(), Facts: b.captionFacts()},
	}
	if b.machine != nil {
		var err error
		if prog, err = emit.AsMarked(b.moves, b.machine.Profile).Program(); err != nil {
			return err
		}
		o.MarkWidthMM = b.machine.Laser.SpotMM[1]
		o.Bed, o.BedName = field(b.machine.Profile)
	}
	return drawProgram(a, out, prog, o)
}

func (b *build) captionFacts() []string {
	facts := []string{size(b.program.Bounds())}
	if f := b.fills[0]; f.Setting.SpacingMM > 0 {
		facts = append(facts, decimal(f.Setting.SpacingMM, 4)+" mm at "+angleWords(f))
	}
	if b.machine != nil {
		facts = append([]string{b.machine.Name}, append(facts, duration(b.clocked.Total()))...)
	}
	return facts
}

func drawProgram(a *app, out output, prog path.Program, o density.Options) error {
	p, err := density.Picture(prog, o)
	if err != nil {
		return workf("%w", err)
	}
	return out.write(a, func(w io.Writer) error { return p.EncodePNG(w) })
}

// field returns what a galvo reaches, about its middle; a gantry with its zero
// set by hand has no bed in the file's coordinates.
func field(p emit.Profile) (path.Rect, string) {
	switch {
	case p.Galvo != nil:
		w, h := p.Galvo.FieldMM[0]/2, p.Galvo.FieldMM[1]/2
		return path.Rect{Min: path.Point{X: -w, Y: -h}, Max: path.Point{X: w, Y: h}}, "field"
	case p.Gantry.Zero == emit.ZeroBed:
		o, b := p.Gantry.OriginMM, p.Gantry.BedMM
		return path.Rect{Min: path.Point{X: -o[0], Y: -o[1]}, Max: path.Point{X: b[0] - o[0], Y: b[1] - o[1]}}, "bed"
	}
	return path.Rect{}, ""
}
