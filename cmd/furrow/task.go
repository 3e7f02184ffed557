package main

import (
	"context"
	"errors"
	"fmt"
	"furrow/cmd/furrow/internal/better"
	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/personal"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/work"
	"io"
	"os"
	"os/signal"
	"slices"
)

// task is a job that a subcommand works on.
type task struct {
	job.Resolved
	app    *app
	bound  *work.Rounds
	stages stages
	cool   better.Cooling
}

// begin reads the job (or bare artwork) of a name and settles what it leaves open.
// What is only to be drawn needs no machine.
func (r *request) begin(a *app, name string, drawing bool) (*task, error) {
	j, err := a.readJob(name)
	if err == nil {
		err = filesThere(j)
	}
	if err != nil {
		return nil, err
	}
	resolved, err := job.Resolve(j, r.Request, drawing)
	return &task{Resolved: resolved, app: a, bound: r.bound, stages: stages{on: r.timings}}, err
}

// filesThere tells of all the files of a job that are not there, before anything is made
// of those that are.
func filesThere(j job.Job) error {
	var missing []error
	for _, name := range []string{j.Artwork.File, j.Table.File, j.Fixture.Pockets} {
		if name == "" || name == "-" {
			continue
		}
		info, err := os.Stat(name)
		switch {
		case err != nil:
			missing = append(missing, fault.Unreadable(err))
		case info.IsDir():
			missing = append(missing, fault.Usagef("%s is a folder", name).Hintf("name a file in it"))
		}
	}
	return fault.All(missing...)
}

// inputs lists the files a task reads.
func (t *task) inputs() []string {
	files := []string{t.Job.Name, t.Job.Artwork.File, t.Job.Table.File}
	if t.Machine != nil {
		files = append(files, t.Machine.File, t.Machine.CorrectionFile())
	}
	if t.Recipe != nil {
		files = append(files, t.Recipe.File)
	}
	return files
}

// make does the work. Where it is only to be looked at, what the machine cannot do is a
// warning.
func (t *task) make(toLookAt bool) (work.Work, error) {
	in := work.NewInput(t.Resolved, work.Drawing{})
	in.Bound, in.Lenient, in.Observe = t.bound, toLookAt, t.app.observer(t.stages.run)
	var part personal.Part
	err := in.Observe.Run("read", func() (err error) {
		part, err = t.app.readPart(t.Resolved)
		in.Drawing = part.Drawing
		return err
	})
	if err != nil {
		return work.Work{}, err
	}
	w, err := t.cooled(in)
	if err == nil && len(part.Codes) > 0 {
		err = in.Observe.Run("read back", func() error { return readBack(part, w) })
	}
	return w, err
}

// cooled does the work in a sequence and with pauses that keep its blank cool, where the
// job asks for them.
func (t *task) cooled(in work.Input) (w work.Work, err error) {
	if in, err = t.cool.Settle(in); err != nil {
		return w, err
	}
	s, err := work.Fill(in)
	if err != nil {
		return w, err
	}
	if s, err = t.cool.Pause(in, s); err != nil {
		return w, err
	}
	return work.Plan(in, in.IntoField(s))
}

// observer shows how far a long search is, which an interrupt ends early: not the work.
func (a *app) observer(stage func(name string, step func() error) error) work.Observer {
	return work.Observer{Stage: stage, Search: func() (context.Context, func(done, total int), func()) {
		ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
		bar := a.progress("sequence")
		return ctx, bar.at, func() {
			bar.end()
			stop()
		}
	}}
}

// readDrawing reads the artwork of a job, with the words and codes of its first part.
func (a *app) readDrawing(j job.Resolved) (work.Drawing, error) {
	part, err := a.readPart(j)
	return part.Drawing, err
}

// readArtwork reads the artwork of a job as it is.
func (a *app) readArtwork(j job.Resolved) (work.Drawing, error) {
	f, err := a.open(j.Job.Artwork.File)
	if err != nil {
		return work.Drawing{}, err
	}
	defer f.Close()
	return drawingFrom(f, j)
}

// drawingFrom reads the artwork of a job from what holds it.
func drawingFrom(r io.Reader, j job.Resolved) (work.Drawing, error) {
	d, err := work.Read(r, j)
	d.Warnings = personal.Heard(j.Job, d)
	return d, unpicked(err, j.Job, j.Asked.Artwork.Selection)
}

// unpicked tells of a text that picks nothing where it comes from. asked is what of
// the selection the command line names.
func unpicked(err error, j job.Job, asked job.Selection) error {
	var slip *work.UnpickedError
	if !errors.As(err, &slip) {
		return err
	}
	return fault.Usagef("%s: %w", whoNames(j, slip.Text, asked), slip).Hintf("%s", fault.Suggest(slip.Text, slip.Near))
}

// whoNames tells the flag, or the line and key of the job file, that a text of a
// selection comes from.
func whoNames(j job.Job, text string, asked job.Selection) string {
	own := j.Artwork.Selection
	for _, l := range []struct {
		name, key  string
		asked, job []string
	}{
		{"--only", "artwork.only", asked.Only, own.Only},
		{"--skip", "artwork.skip", asked.Skip, own.Skip},
		{"", "artwork.invert_in", nil, own.InvertIn}, // in the job file alone
	} {
		switch {
		case slices.Contains(l.asked, text):
			return l.name
		case len(l.asked) == 0 && slices.Contains(l.job, text):
			return settings.At(j.Name, j.Data, l.key)
		}
	}
	if i := slices.Index(j.Picks(), text); i >= 0 {
		return settings.At(j.Name, j.Data, fmt.Sprintf("group[%d].pick", i))
	}
	return settings.At(j.Name, j.Data, j.KeyOfPlace(text))
}
