package main

import (
	"cmp"
	"fmt"
	"io"
	"reflect"
	"text/tabwriter"

	"furrow/cmd/furrow/internal/settings"
)

// printOrigins prints each value of a build and where it came from, for
// --explain.
func (b *build) printOrigins(w io.Writer) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "VALUE\t\tFROM")
	row := func(key, value, from string) { fmt.Fprintf(t, "%s\t%s\t%s\n", key, value, from) }
	if b.machine != nil {
		row("machine", b.machine.ID, b.origin(b.request.machine, b.job.Machine, "the recipe"))
	}
	if b.recipe != nil {
		row("recipe", b.recipe.ID, b.origin(b.request.recipe, b.job.Recipe, ""))
	}
	b.orderOrigins(row)
	b.artworkOrigins(row)
	for i, f := range b.resolved {
		if i > 0 {
			row(b.partName(i), b.job.Parts[i-1].Pick, b.job.name)
		}
		f.origins(row)
	}
	return t.Flush()
}

// origin says which of the places gave a name.
func (b *build) origin(command, job, other string) string {
	switch {
	case command != "":
		return "command line"
	case job != "":
		return b.job.name
	}
	return other
}

// orderOrigins lists what is known of the order and its blank.
func (b *build) orderOrigins(row func(key, value, from string)) {
	for _, table := range []struct {
		name string
		spec any
	}{{"order", b.job.Order}, {"blank", b.job.Blank}} {
		for _, f := range settings.FieldsOf(reflect.ValueOf(table.spec)) {
			switch {
			case f.Value.IsZero():
			case b.request.blank != nil && (f.Key == "width" || f.Key == "height"):
				row(table.name+"."+f.Key, shown(f.Value), "command line")
			default:
				row(table.name+"."+f.Key, shown(f.Value), b.job.name)
			}
		}
	}
}

func (b *build) artworkOrigins(row func(key, value, from string)) {
	asked := settings.FieldsOf(reflect.ValueOf(b.request.artwork))
	for i, f := range settings.FieldsOf(reflect.ValueOf(b.job.Artwork)) {
		switch {
		case f.Value.IsZero():
			row("artwork."+f.Key, "-", "default")
		case !asked[i].Value.IsZero():
			row("artwork."+f.Key, shown(f.Value), "command line")
		default:
			row("artwork."+f.Key, shown(f.Value), cmp.Or(b.job.name, "command line"))
		}
	}
}

// origins lists the values of a fill.
func (f resolvedFill) origins(row func(key, value, from string)) {
	for _, k := range settings.FieldsOf(reflect.ValueOf(f.spec)) {
		if k.Value.IsNil() {
			row("fill."+k.Key, "-", "default")
			continue
		}
		row("fill."+k.Key, shown(k.Value), f.from[k.Key])
	}
}

// shown words a value as it can be typed.
func shown(v reflect.Value) string { return fmt.Sprint(reflect.Indirect(v).Interface()) }
