package main

import (
	"fmt"
	"io"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/path"
	"furrow/path/hatch"
	"furrow/path/inspect"

	"github.com/spf13/pflag"
)

var inspectCommand = command{
	name:     "inspect",
	synopsis: "ART.svg|JOB.toml [flags]",
	summary:  "look into the artwork: what it holds, and what is too thin for the mark",
	about: `Sizes are those that a job asks for, or those of the file. Thin places are where a
mark of --mark-width would close a gap or lose a bridge; X and Y are from the page's
lower-left corner. -o draws the artwork with a ring round each of them, and round the
thinnest bridge and the smallest gap in any case; the numbers are those of the list.`,
	example: "furrow inspect tag.svg --mark-width 0.15mm -o narrow.png",
	setup: func(fs *pflag.FlagSet) runner {
		c := inspectFlags{}
		outputFlags(fs, &c.out, "a picture with the narrow places ringed")
		value.Word(fs, &c.units, []string{"mm", "in"}, "units", "the picture's rulers in `mm` or in (default mm)")
		fs.BoolVar(&c.json, "json", false, "print the findings as JSON")
		value.Limit(value.Flag(fs, &c.markWidth, "mark-width",
			fmt.Sprintf("how wide one line marks, `LENGTH` (default the job's, else %gmm)", inspect.DefaultMarkWidth)),
			job.ValueOf("mark_width").Limits)
		selectionFlags(fs, &c.Selection)
		return c.run
	},
}

type inspectFlags struct {
	job.Selection
	out       product.Output
	units     *string
	json      bool
	markWidth *value.Length
}

// checkPicture refuses, before any work, a picture that cannot be written.
func (c *inspectFlags) checkPicture(inputs ...string) error {
	switch {
	case c.out.Path == "" && c.units != nil:
		return fault.Usagef("--units without a picture").Hintf("add -o FILE.png")
	case c.out.Path == "":
		return nil
	case c.out.ToStdout() && c.json:
		return fault.Usagef("the picture and --json cannot both go to standard output").
			Hintf("name the picture: -o FILE.png")
	}
	if _, err := pictureFormat(c.out); err != nil {
		return err
	}
	return c.out.Check(inputs...)
}

// look reads the artwork of a job and looks into it.
func (c *inspectFlags) look(a *app, j job.Job) (path.Document, inspect.Report, error) {
	f, err := a.open(j.Artwork.File)
	if err != nil {
		return path.Document{}, inspect.Report{}, err
	}
	defer f.Close()
	asked := c.Selection
	j.Artwork.Selection = asked.Over(j.Artwork.Selection)
	doc, err := work.Look(f, j)
	if err != nil {
		return path.Document{}, inspect.Report{}, unpicked(err, j, asked)
	}
	r, err := inspect.Look(doc.Artwork, inspect.Options{
		MarkWidth: float64(value.Or(value.First(c.markWidth, j.Fill.MarkWidth), 0)),
		BareAbove: float64(value.Or(j.Artwork.BareAbove, 0)),
	})
	if err != nil {
		return path.Document{}, inspect.Report{}, fault.Usagef("%s: %w", j.Artwork.File, err)
	}
	return doc, r, nil
}

func (c *inspectFlags) run(a *app, args []string) error {
	name, err := oneFile(args, "artwork or job file")
	if err != nil {
		return err
	}
	j, err := a.readJob(name)
	if err != nil {
		return err
	}
	if err := c.checkPicture(name, j.Artwork.File); err != nil {
		return err
	}
	name = j.Artwork.File
	doc, r, err := c.look(a, j)
	if err != nil {
		return err
	}
	found := newFindings(name, doc, r)
	bareAbove := float64(value.Or(value.First(c.BareAbove, j.Artwork.BareAbove), hatch.DefaultBareAbove))
	found.Warnings = append(found.Warnings, work.SizeWarnings(j.Artwork, doc)...)
	found.Warnings = append(found.Warnings, work.PageWarnings(name, doc.Artwork, bareAbove)...)
	found.Warnings = append(found.Warnings, work.DrawingWarnings(j.Artwork, doc.Artwork)...)
	if r.Coarse() {
		found.Warnings = append(found.Warnings, coarseWarning(name, r))
	}
	if r.Tangle != nil {
		found.Warnings = append(found.Warnings, work.Warning{
			File: name, Message: "bridges and gaps are not measured: " + r.Tangle.Error(),
		})
	}
	if c.out.Path != "" {
		if err := c.draw(a, name, doc.Artwork, r, &found); err != nil {
			return err
		}
	}
	if c.out.ToStdout() {
		return nil
	}
	return product.WriteBuffered(a.stdout, func(w io.Writer) error {
		if c.json {
			return product.WriteJSON(w, found)
		}
		found.print(w, name)
		return nil
	})
}

// coarseWarning says how closely widths were measured, where that is less than usual.
func coarseWarning(name string, r inspect.Report) work.Warning {
	return work.Warning{File: name, Message: fmt.Sprintf(
		"very many curves: the widths of bridges and gaps may be off by %s mm", words.Number(r.Within, 4))}
}
