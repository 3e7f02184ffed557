package main

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/settings"
)

// ownMachine returns the id of the machine that a job was made for, by its own
// name or its recipe's, or "" where it names none.
func (j job) ownMachine() string {
	name := j.Machine
	if name == "" && j.Recipe != "" {
		r, err := settings.FindRecipe(j.Recipe)
		if err != nil {
			return ""
		}
		name = r.Machine
	}
	if name == "" {
		return ""
	}
	m, err := settings.FindMachine(name)
	if err != nil {
		return name
	}
	return m.ID
}

// elsewhere returns the job as another machine than its own sees it, and the keys
// that were left out: how the beam is driven there is a recipe's business, or the
// command line's.
func (j job) elsewhere() (job, []string) {
	var left []string
	j.Fill = driven(j.Fill, &left)
	j.Parts = slices.Clone(j.Parts)
	for i := range j.Parts {
		j.Parts[i].fillSpec = driven(j.Parts[i].fillSpec, &left)
	}
	return j, left
}

// driven returns a fill without what depends on the beam, and adds the keys that
// it had to left.
func driven(f fillSpec, left *[]string) fillSpec {
	was := f
	f.Spacing, f.Passes, f.MarkWidth, f.FocusOffset, f.Air = nil, nil, nil, nil, nil
	f.Speed, f.Power, f.Frequency, f.Pulse, f.OutlineSpeed, f.OutlinePower = nil, nil, nil, nil, nil, nil
	is := settings.FieldsOf(reflect.ValueOf(f))
	for i, k := range settings.FieldsOf(reflect.ValueOf(was)) {
		if !k.Value.IsNil() && is[i].Value.IsNil() && !slices.Contains(*left, k.Key) {
			*left = append(*left, k.Key)
		}
	}
	return f
}

// takeElsewhere leaves out what a job says of its own machine's beam when the
// command line names another machine, and says so.
func (b *build) takeElsewhere() {
	own := b.job.ownMachine()
	if b.request.machine == "" || own == "" || own == b.machine.ID {
		return
	}
	j, left := b.job.elsewhere()
	if b.job = j; len(left) > 0 {
		b.notTaken = fmt.Sprintf("%s is for %s: its %s are not taken over", j.name, own, strings.Join(left, ", "))
		b.warn(warning{Message: b.notTaken})
	}
}

// missing adds to what a fill lacks that the job has it for another machine.
func (b *build) missing(err error) error {
	if f, ok := err.(*fault.Failure); ok && b.notTaken != "" {
		return f.Hintf("%s; %s", f.Hint, b.notTaken)
	}
	return err
}
