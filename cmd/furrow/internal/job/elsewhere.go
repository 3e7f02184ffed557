package job

import (
	"fmt"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/settings"
)

// MachineName returns the machine that a job was made for, as it or its recipe names
// it, or "" where neither does.
func (j Job) MachineName() string {
	if j.Machine != "" || j.Recipe == "" {
		return j.Machine
	}
	r, err := settings.FindRecipe(j.Recipe)
	if err != nil {
		return ""
	}
	return r.Machine
}

// OwnMachine returns the id of the machine that a job was made for, or "" where it names
// none.
func (j Job) OwnMachine() string {
	name := j.MachineName()
	if name == "" {
		return ""
	}
	m, err := settings.FindMachine(name)
	if err != nil {
		return name
	}
	return m.ID
}

// Elsewhere returns the job as another machine than its own sees it, and the keys
// that were left out: how the beam is driven there is a recipe's business, or the
// command line's.
func (j Job) Elsewhere() (Job, []string) {
	var left []string
	j.Fill = driven(j.Fill, &left)
	j.Groups = slices.Clone(j.Groups)
	for i := range j.Groups {
		j.Groups[i].Fill = driven(j.Groups[i].Fill, &left)
	}
	return j, left
}

// driven returns a fill without what depends on the beam, and adds the keys that
// it had to left.
func driven(f Fill, left *[]string) Fill {
	fields := FieldsOf(&f)
	for _, v := range Values {
		if !v.beam || fields[v.Key].IsNil() {
			continue
		}
		fields[v.Key].SetZero()
		if !slices.Contains(*left, v.Key) {
			*left = append(*left, v.Key)
		}
	}
	return f
}

// takeElsewhere leaves out what a job says of its own machine's beam when the
// command line names another machine.
func (r *Resolved) takeElsewhere() {
	own := r.Job.OwnMachine()
	if r.Asked.Machine == "" || own == "" || own == r.Machine.ID {
		return
	}
	j, left := r.Job.Elsewhere()
	if r.Job = j; len(left) > 0 {
		r.NotTaken = fmt.Sprintf("%s is for %s: its %s are not taken over", j.Name, own, strings.Join(left, ", "))
	}
}

// missing adds to what a fill lacks that the job has it for another machine.
func (r *Resolved) missing(err error) error {
	if f, ok := err.(*fault.Failure); ok && r.NotTaken != "" {
		return f.Hintf("%s; %s", f.Hint, r.NotTaken)
	}
	return err
}
