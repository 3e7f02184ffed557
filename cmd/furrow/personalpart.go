package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"furrow/cmd/furrow/internal/data"
	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/personal"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
)

// readPart reads the artwork of a job, with the words and codes of its first part
// where parts differ.
func (a *app) readPart(j job.Resolved) (personal.Part, error) {
	drawing, err := a.readArtwork(j)
	if err != nil || !j.Job.Any() {
		return personal.Part{Drawing: drawing}, err
	}
	setter, parts, problems, err := a.prepareParts(j, drawing)
	if err != nil {
		return personal.Part{}, err
	}
	part, _ := setter.Set(parts[0])
	for _, p := range problems.List { // warnings are left
		part.Drawing.Warnings = append(part.Drawing.Warnings, work.Warning{Message: p.String(), File: problems.File})
	}
	part.Drawing.Warnings = append(part.Drawing.Warnings, partWarnings(part, len(parts))...)
	return part, nil
}

// prepareParts makes the parts of a job from its data.
func (a *app) prepareParts(j job.Resolved, d work.Drawing) (*personal.Setter, []data.Part, *data.Problems, error) {
	var content []byte
	if j.Job.Table.File != "" {
		f, err := a.open(j.Job.Table.File)
		if err != nil {
			return nil, nil, nil, err
		}
		defer f.Close()
		if content, err = io.ReadAll(f); err != nil {
			return nil, nil, nil, fault.Unreadable(err)
		}
	}
	return prepareFrom(j, d, content)
}

// prepareFrom makes the parts of a job from what its data hold.
func prepareFrom(j job.Resolved, d work.Drawing, content []byte) (*personal.Setter, []data.Part,
	*data.Problems, error) {
	setter, parts, problems, err := personal.Prepare(work.NewInput(j, d), content)
	return setter, parts, problems, coded(err)
}

// coded gives an error of the parts its exit code: a file that is wrong cannot be read,
// a part that is wrong cannot be made.
func coded(err error) error {
	var own *fault.Failure
	var problems *data.Problems
	switch {
	case err == nil || errors.As(err, &own):
		return err
	case errors.As(err, &problems) && problems.OfParts():
		return fault.Workf("%w", err)
	}
	return fault.Usagef("%w", err)
}

// partWarnings say which part it is, and what was done to its words.
func partWarnings(p personal.Part, of int) (all []work.Warning) {
	if of > 1 {
		all = append(all, work.Warning{Message: fmt.Sprintf("this is part 1 of %d, %s", of, partWords(p))})
	}
	for _, t := range p.Texts {
		if t.Size < 1 || t.Squeeze < 1 || len(t.Lines) > 1 {
			all = append(all, work.Warning{Message: fmt.Sprintf("%s: %q is set %s", t.Pick, t.Words, howSet(t))})
		}
	}
	return all
}

// partWords tells a part by its texts, or else its codes.
func partWords(p personal.Part) string {
	var quoted []string
	for _, t := range p.Texts {
		quoted = append(quoted, fmt.Sprintf("%q", t.Words))
	}
	for _, c := range p.Codes {
		if len(p.Texts) == 0 {
			quoted = append(quoted, fmt.Sprintf("%q", c.Symbol.Value))
		}
	}
	return strings.Join(quoted, ", ")
}

func howSet(t personal.Text) string {
	var how []string
	if len(t.Lines) > 1 {
		how = append(how, fmt.Sprintf("on %d lines", len(t.Lines)))
	}
	if t.Size < 1 {
		how = append(how, fmt.Sprintf("at %.0f %% of its size", 100*t.Size))
	}
	if t.Squeeze < 1 {
		how = append(how, fmt.Sprintf("with letters %.0f %% as wide", 100*t.Squeeze))
	}
	return strings.Join(how, ", ")
}

// readBack reads the codes of a part from their marks.
func readBack(p personal.Part, w work.Work) error {
	if err := p.ReadBack(w.Strokes); err != nil {
		return fault.Workf("%w", err).
			Hintf("make its rectangle larger, or the rows finer; --mark-width says how wide a line marks")
	}
	return nil
}

// letteringSaves says what lettering in single lines saves against the artwork's own
// letters, filled. It says nothing where those cannot be made.
func (t *task) letteringSaves(w work.Work) []string {
	filled := *t
	filled.Job.Texts = slices.Clone(t.Job.Texts)
	lined := false
	for i := range filled.Job.Texts {
		lined = lined || filled.Job.Texts[i].Font != nil
		filled.Job.Texts[i].Font = nil
	}
	if !lined {
		return nil
	}
	filled.stages, filled.bound = stages{}, nil
	other, err := filled.make(true)
	saved := other.Clock.Total() - w.Clock.Total()
	if err != nil || saved < time.Second/100 {
		return nil
	}
	return []string{"single-line lettering saves " + words.Saving(saved, w.Clock.Total()) + " against the filled font"}
}
