package personal

import (
	"errors"
	"fmt"
	"slices"

	"furrow/cmd/furrow/internal/data"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
)

// Prepare makes the parts of a job: one for each row of its data, whose bytes content
// is, or as many as are ordered where it has none. It sets each of them once, and
// tells all that is wrong with any as *data.Problems, whose warnings stand in it
// without an error too. The setter and the parts are whole where the error is nil.
func Prepare(in work.Input, content []byte) (*Setter, []data.Part, *data.Problems, error) {
	s, err := New(in)
	if err != nil {
		return nil, nil, nil, err
	}
	table, problems, err := read(in.Job.Table, content)
	if err != nil {
		return nil, nil, problems, err
	}
	parts := makeParts(in.Job, table, problems)
	s.check(parts, problems)
	return s, parts, problems, problems.Err()
}

// read reads the table of a job, if it has one. Problems of its rows are told with
// those of the parts.
func read(t job.Table, content []byte) (data.Table, *data.Problems, error) {
	if t.File == "" {
		return data.Table{}, &data.Problems{}, nil
	}
	table, err := data.Read(t.File, content, data.Options{
		Encoding: value.Or(t.Encoding, ""), Sheet: value.Or(t.Sheet, ""),
	})
	problems := &data.Problems{File: table.File}
	if errors.As(err, &problems) && len(table.Rows) > 0 {
		err = nil
	}
	return table, problems, err
}

// Count returns how many parts the data of a job make, 1 where there are none or where they
// cannot be read, which Prepare tells.
func Count(j job.Job, content []byte) int {
	table, _, err := read(j.Table, content)
	if err != nil || j.Table.File == "" {
		return 1
	}
	parts, _ := data.Parts(table, nil, data.Rules{})
	return max(1, len(parts))
}

func makeParts(j job.Job, table data.Table, problems *data.Problems) []data.Part {
	ordered := int(value.Or(j.Order.Quantity, 0))
	parts, more := data.Parts(table, j.Count(), data.Rules{
		Unique: j.Table.Unique, Used: used(j.Differing), Quantity: max(1, ordered),
	})
	problems.List = append(problems.List, more.List...)
	if j.Table.File != "" && ordered > 0 && ordered != len(parts) {
		problems.List = append(problems.List, data.Problem{
			What: fmt.Sprintf("the data make %d parts, and %d are ordered: leave order.quantity out",
				len(parts), ordered),
		})
	}
	return parts
}

// used lists the names that placeholders have.
func used(d job.Differing) (names []string) {
	for _, v := range templates(d) {
		t, err := data.ParseTemplate(v)
		if err != nil {
			continue // the job file has been checked
		}
		for _, n := range t.Names() {
			if !slices.Contains(names, n) {
				names = append(names, n)
			}
		}
	}
	return names
}

// templates lists those of the texts, and then of the codes.
func templates(d job.Differing) (all []string) {
	for _, t := range d.Texts {
		all = append(all, t.Value)
	}
	for _, c := range d.Codes {
		all = append(all, c.Value)
	}
	return all
}
