package job

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
)

// Request is what the command line asks of a job: everything in it wins over
// the job file.
type Request struct {
	Machine   string
	Recipe    string
	Artwork   Artwork
	Blank     *value.Point // its width and height
	Bleed     *value.Length
	Fill      Fill
	Tolerance *value.Length
	Effort    *string
	Spread    *bool
	PauseAt   *value.Number
	Starts    map[string]int // of counters, by their names
}

// over returns the job with what is asked for in place of its own, but for the
// fills, which resolve looks up one by one.
func (r Request) over(j Job) Job {
	j.Artwork = r.Artwork.over(j.Artwork)
	j.Blank = j.Blank.Over(r.Blank, r.Bleed)
	j.Tolerance = value.First(r.Tolerance, j.Tolerance)
	j.Effort = value.First(r.Effort, j.Effort)
	j.Spread, j.PauseAt = value.First(r.Spread, j.Spread), value.First(r.PauseAt, j.PauseAt)
	j.Differing = j.Differing.StartingAt(r.Starts)
	return j
}

// Resolved is a job with nothing left open: the command line over it, its machine
// and recipe found, each of its fills complete.
type Resolved struct {
	Job      Job
	Asked    Request
	Machine  *settings.Machine  // nil where there is only a picture to draw
	Recipe   *settings.Recipe   // nil when none is used
	HeatsAs  *settings.Material // nil where the blank's thickness or its numbers are not known
	Fills    []ResolvedFill     // of the whole, then of each group
	Alike    []Alike            // recipes for the material whose doses can be compared
	NotTaken string             // what the job says for another machine, in words
	Fonts    *Fonts             // what letters are set from besides folders; nil where that is not noted
}

// ResolvedFill is the fill of the whole or of a group, and where each of its
// values came from, by its key.
type ResolvedFill struct {
	name string // of the part in messages, empty for the whole
	Spec Fill
	From map[string]string
}

// Resolve settles what the job leaves open. What is only to be drawn needs no
// machine.
func Resolve(j Job, asked Request, drawing bool) (Resolved, error) {
	if err := j.Differing.checkStarts(asked.Starts); err != nil {
		return Resolved{}, err
	}
	r := Resolved{Job: asked.over(j), Asked: asked}
	if err := r.findSettings(drawing); err != nil {
		return Resolved{}, err
	}
	if err := r.findMaterial(); err != nil {
		return Resolved{}, err
	}
	r.findAlike()
	r.takeElsewhere()
	r.Fills = r.resolveFills()
	return r, r.complete()
}

// complete refuses fills without a value that they need. What the whole lacks is not
// told of each group again.
func (r Resolved) complete() error {
	var all []error
	whole := r.Fills[0].Spec.lacks(r.Machine)
	for i, f := range r.Fills {
		if i > 0 && len(whole) > 0 && slices.Equal(whole, f.Spec.lacks(r.Machine)) {
			continue
		}
		if err := f.Spec.Complete(r.Machine, f.name); err != nil {
			all = append(all, r.missing(err))
		}
	}
	return fault.All(all...)
}

// findSettings finds the machine and the recipe. Each may be named by the other.
func (r *Resolved) findSettings(drawing bool) error {
	recipeErr := r.findRecipe()
	name := strings.TrimSpace(cmp.Or(r.Asked.Machine, r.Job.Machine))
	if name == "" && r.Recipe != nil {
		name = r.Recipe.Machine
	}
	if name == "" && (drawing || recipeErr != nil) {
		return recipeErr
	}
	if name == "" {
		return r.resolveFills()[0].Spec.withoutMachine()
	}
	m, err := settings.FindMachine(name)
	if err != nil {
		if recipeErr == nil && !drawing {
			err = fault.All(err, r.resolveFills()[0].Spec.withoutSettings())
		}
		return fault.All(recipeErr, err)
	}
	r.Machine = &m
	if recipeErr != nil {
		return recipeErr
	}
	return r.matchRecipe()
}

// findRecipe finds the recipe, if one is named.
func (r *Resolved) findRecipe() error {
	name := strings.TrimSpace(cmp.Or(r.Asked.Recipe, r.Job.Recipe))
	if name == "" {
		return nil
	}
	found, err := settings.FindRecipe(name)
	if err == nil {
		r.Recipe = &found
	}
	return err
}

// findMaterial finds how the blank takes heat, where it is known to be a plate.
func (r *Resolved) findMaterial() error {
	b := r.Job.Blank
	if b.Thickness == nil && b.HeatAs == "" {
		return nil
	}
	all, err := settings.AllMaterials()
	if err != nil {
		return err
	}
	if b.HeatAs == "" {
		name := b.Material
		if name == "" && r.Recipe != nil {
			name = r.Recipe.Material
		}
		r.HeatsAs = settings.MaterialOf(all, name)
		return nil
	}
	if r.HeatsAs, err = settings.MaterialByID(all, b.HeatAs); err != nil {
		return fault.Usagef("%s: %w", settings.At(r.Job.Name, r.Job.Data, "blank.heat_as"), err)
	}
	return nil
}

func (r *Resolved) matchRecipe() error {
	if r.Recipe != nil && r.Recipe.Machine != r.Machine.ID {
		return fault.Usagef("recipe %s was made on %s, and the machine is %s", r.Recipe.ID,
			r.Recipe.Machine, r.Machine.ID).
			Hintf("prove the settings on %s, then save them as a recipe of its own", r.Machine.ID)
	}
	return nil
}

// resolveFills takes the fill of the whole and of each group from the command line,
// the group, the job and the recipe, in this sequence.
func (r *Resolved) resolveFills() []ResolvedFill {
	j := r.Job
	under := []Layer{{j.Name, j.Fill}}
	if r.Recipe != nil {
		under = append(under, Layer{"recipe " + r.Recipe.ID, RecipeFill(r.Recipe.Recipe)})
	}
	all := make([]ResolvedFill, 1+len(j.Groups))
	for i := range all {
		layers := []Layer{{"command line", r.Asked.Fill}}
		if i > 0 {
			layers = append(layers, Layer{fmt.Sprintf("%s, group %d", j.Name, i), j.Groups[i-1].Fill})
			all[i].name = fmt.Sprintf(" for group %q", j.Groups[i-1].Pick)
		}
		all[i].Spec, all[i].From = Layered(append(layers, under...)...)
	}
	return all
}

// Shown is the name of the artwork for people.
func (r Resolved) Shown() string { return filepath.Base(r.Job.Artwork.File) }
