package main

import (
	"reflect"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/view"

	"github.com/spf13/pflag"
)

var previewCommand = command{
	name:     "preview",
	synopsis: "ART.svg|JOB.toml|OUT.nc|OUT.mvl -o P.png|P.svg|P.pdf [flags]",
	summary:  "draw what will be marked, or what a written file does",
	about: `A written file is shown as it is, not as it was meant. --show decides what to see:
density   lines/mm laid over each place
dose      J/cm2 laid down; directions and passes add up
finish    the part as it will look
sequence  when each place is marked
travel    where the beam moves while it is off, and the reach of the head
rows      the marks themselves at their width, for a close look with --window
heat      how much warmer than the room each place of the blank gets
Without it a job whose blank and tone are known shows the finish, a file of lines alone
the rows, one of four doses and more, as a card of patches, the dose, and any other work
the density. A picture prints at true size.`,
	example: `furrow preview tag.nc -o tag.png --show sequence
furrow preview tag.toml -o close.png --show rows --window 10,10,5,5`,
	setup: func(fs *pflag.FlagSet) runner {
		var c previewFlags
		outputFlags(fs, &c.out, "the picture")
		c.picture.flags(fs)
		c.request.flags(fs)
		return c.run
	},
}

type previewFlags struct {
	request
	out     product.Output
	picture pictureFlags
}

func (c *previewFlags) run(a *app, args []string) error {
	name, err := oneFile(args, "artwork, job or written file")
	if err != nil {
		return err
	}
	if a.isWrittenInput(name) {
		return c.drawWritten(a, name)
	}
	return c.drawJob(a, name)
}

// drawJob draws artwork or a job.
func (c *previewFlags) drawJob(a *app, name string) error {
	t, err := c.begin(a, name, true)
	if err != nil {
		return fault.All(err, c.out.Named())
	}
	if err := c.picture.check(c.out, t.inputs()...); err != nil {
		return err
	}
	w, err := t.make(true)
	if err != nil {
		return err
	}
	s, err := view.OfWork(w)
	if err != nil {
		return err
	}
	a.warn(w.Warnings)
	err = t.stages.run("draw", func() error { return c.draw(a, s) })
	t.stages.print(a.stderr)
	return err
}

// drawWritten draws a file made for a controller.
func (c *previewFlags) drawWritten(a *app, name string) error {
	if err := c.refuseJobFlags(); err != nil {
		return err
	}
	if err := c.picture.check(c.out, name); err != nil {
		return err
	}
	k, err := a.lookAt(name, c.Machine)
	if err != nil {
		return err
	}
	defer k.close()
	s, err := view.OfFile(k.File)
	if err != nil {
		return err
	}
	if err := c.addSettings(&s); err != nil {
		return err
	}
	s.Opts.Caption.Facts = append(s.Opts.Caption.Facts, view.Guesses(k.File, s.Opts.MarkWidthMM)...)
	return c.draw(a, s)
}

// refuseJobFlags refuses flags that mean nothing to a written file.
func (r request) refuseJobFlags() error {
	asked := r
	asked.Machine, asked.Recipe, asked.Fill.MarkWidth, asked.timings = "", "", nil, false
	var none request
	none.flags(pflag.NewFlagSet("", pflag.ContinueOnError))
	if !reflect.DeepEqual(asked, none) {
		return fault.Usagef("a written file is taken as it is: the flags of artwork and fill do not apply").
			Hintf("leave them out, or name the artwork or job")
	}
	return nil
}

// draw draws the subject, and tells how to see small work larger.
func (c *previewFlags) draw(a *app, s view.Subject) error {
	if err := c.picture.draw(a, c.out, s); err != nil {
		return err
	}
	if !c.picture.Crop && c.picture.Window == nil && s.IsSmall() {
		fault.Say(a.stderr, "hint", "the work is small in this picture; --crop shows it larger")
	}
	return nil
}

// addSettings adds to a written file's picture what only the recipe knows.
func (c *previewFlags) addSettings(s *view.Subject) error {
	width := c.Fill.MarkWidth
	if c.Recipe != "" {
		r, err := settings.FindRecipe(c.Recipe)
		if err != nil {
			return err
		}
		s.Tone = view.ToneOf(&r)
		width = value.First(width, value.Given(value.Length(r.MarkWidthMM)))
	}
	if width != nil {
		s.Opts.MarkWidthMM = float64(*width)
	}
	return nil
}
