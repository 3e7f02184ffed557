package main

import (
	"cmp"
	"fmt"
	"io"
	"reflect"
	"text/tabwriter"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/work"
)

// printOrigins prints each value of a job and where it came from, for
// --explain.
func printOrigins(w io.Writer, b job.Resolved) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "VALUE\t\tFROM")
	row := func(key, value, from string) { fmt.Fprintf(t, "%s\t%s\t%s\n", key, value, from) }
	if b.Machine != nil {
		row("machine", b.Machine.ID, origin(b, b.Asked.Machine, b.Job.Machine, "the recipe"))
	}
	if b.Recipe != nil {
		row("recipe", b.Recipe.ID, origin(b, b.Asked.Recipe, b.Job.Recipe, ""))
	}
	searchOrigins(b, row)
	orderOrigins(b, row)
	artworkOrigins(b, row)
	for i, f := range b.Fills {
		if i > 0 {
			row(work.GroupName(i), b.Job.Groups[i-1].Pick, b.Job.Name)
		}
		fillOrigins(f, row)
	}
	return t.Flush()
}

// origin says which of the places gave a name.
func origin(b job.Resolved, command, job, other string) string {
	switch {
	case command != "":
		return "command line"
	case job != "":
		return b.Job.Name
	}
	return other
}

// searchOrigins lists what is said of the work as a whole.
func searchOrigins(b job.Resolved, row func(key, value, from string)) {
	for _, v := range []struct {
		key        string
		asked, job any
	}{{"tolerance", b.Asked.Tolerance, b.Job.Tolerance}, {"effort", b.Asked.Effort, b.Job.Effort},
		{"spread", b.Asked.Spread, b.Job.Spread}, {"pause_at_k", b.Asked.PauseAt, b.Job.PauseAt}} {
		switch given := reflect.ValueOf(v.job); {
		case given.IsNil():
			row(v.key, "-", "default")
		case !reflect.ValueOf(v.asked).IsNil():
			row(v.key, shown(given), "command line")
		default:
			row(v.key, shown(given), b.Job.Name)
		}
	}
}

// orderOrigins lists what is known of the order and its blank.
func orderOrigins(b job.Resolved, row func(key, value, from string)) {
	for _, table := range []struct {
		name string
		spec any
	}{{"order", b.Job.Order}, {"blank", b.Job.Blank}} {
		for _, f := range settings.FieldsOf(reflect.ValueOf(table.spec)) {
			switch {
			case f.Value.IsZero():
			case b.Asked.Blank != nil && (f.Key == "width" || f.Key == "height"):
				row(table.name+"."+f.Key, shown(f.Value), "command line")
			default:
				row(table.name+"."+f.Key, shown(f.Value), b.Job.Name)
			}
		}
	}
}

func artworkOrigins(b job.Resolved, row func(key, value, from string)) {
	asked := settings.FieldsOf(reflect.ValueOf(b.Asked.Artwork))
	for i, f := range settings.FieldsOf(reflect.ValueOf(b.Job.Artwork)) {
		switch {
		case f.Value.IsZero():
			row("artwork."+f.Key, "-", "default")
		case !asked[i].Value.IsZero():
			row("artwork."+f.Key, shown(f.Value), "command line")
		default:
			row("artwork."+f.Key, shown(f.Value), cmp.Or(b.Job.Name, "command line"))
		}
	}
}

// fillOrigins lists the values of a fill.
func fillOrigins(f job.ResolvedFill, row func(key, value, from string)) {
	for _, k := range settings.FieldsOf(reflect.ValueOf(f.Spec)) {
		if k.Value.IsNil() {
			row("fill."+k.Key, "-", "default")
			continue
		}
		row("fill."+k.Key, shown(k.Value), f.From[k.Key])
	}
}

// shown words a value as it can be typed.
func shown(v reflect.Value) string { return fmt.Sprint(reflect.Indirect(v).Interface()) }
