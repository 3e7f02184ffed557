package main

import (
	"cmp"
	"fmt"
	"io"
	"reflect"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
)

// What --explain tells: what somebody gave, or what holds where nobody did too.
const (
	explainGiven = "given"
	explainAll   = "all"
)

// origins lists the values of a job and where they came from.
type origins struct {
	of    job.Resolved
	all   bool // defaults too
	table words.Table
}

// printOrigins prints each value of a job and where it came from, for --explain.
func printOrigins(w io.Writer, b work.Work, all bool) error {
	o := origins{of: b.Resolved, all: all, table: words.Table{Heads: []string{"VALUE", "", "FROM"}}}
	o.settings()
	o.search()
	o.order()
	o.artwork()
	for i := range o.of.Fills {
		if i > 0 {
			o.table.Add(work.GroupName(i), o.of.Job.Groups[i-1].Pick, o.of.Job.Name)
		}
		o.fill(i, fillDefaults(b, i))
	}
	return o.table.Write(w)
}

// byDefault adds what holds where nobody says anything, if that is asked for and known.
func (o *origins) byDefault(key, value string) {
	if o.all && value != "" {
		o.table.Add(key, value, "default")
	}
}

func (o *origins) settings() {
	if m := o.of.Machine; m != nil {
		o.table.Add("machine", m.ID, o.origin(o.of.Asked.Machine, o.of.Job.Machine, "the recipe"))
	}
	if r := o.of.Recipe; r != nil {
		o.table.Add("recipe", r.ID, o.origin(o.of.Asked.Recipe, o.of.Job.Recipe, ""))
	}
}

// origin says which of the places gave a name.
func (o *origins) origin(command, job, other string) string {
	switch {
	case command != "":
		return "command line"
	case job != "":
		return o.of.Job.Name
	}
	return other
}

// search lists what is said of the work as a whole.
func (o *origins) search() {
	tolerance := "0.01mm"
	if m := o.of.Machine; m != nil && m.IsGalvo() {
		tolerance = "0.002mm"
	}
	for _, v := range []struct {
		key, held  string
		asked, job any
	}{
		{key: "tolerance", held: tolerance, asked: o.of.Asked.Tolerance, job: o.of.Job.Tolerance},
		{key: "effort", held: "normal", asked: o.of.Asked.Effort, job: o.of.Job.Effort},
		{key: "spread", held: "false", asked: o.of.Asked.Spread, job: o.of.Job.Spread},
		{key: "pause_at_k", asked: o.of.Asked.PauseAt, job: o.of.Job.PauseAt},
	} {
		switch given := reflect.ValueOf(v.job); {
		case given.IsNil():
			o.byDefault(v.key, v.held)
		case !reflect.ValueOf(v.asked).IsNil():
			o.table.Add(v.key, shown(given), "command line")
		default:
			o.table.Add(v.key, shown(given), o.of.Job.Name)
		}
	}
}

// order lists what is known of the order and its blank.
func (o *origins) order() {
	for _, table := range []struct {
		name string
		spec any
	}{{"order", o.of.Job.Order}, {"blank", o.of.Job.Blank}} {
		for _, f := range settings.FieldsOf(reflect.ValueOf(table.spec)) {
			switch {
			case f.Value.IsZero():
			case o.of.Asked.Blank != nil && (f.Key == "width" || f.Key == "height"):
				o.table.Add(table.name+"."+f.Key, shown(f.Value), "command line")
			default:
				o.table.Add(table.name+"."+f.Key, shown(f.Value), cmp.Or(o.of.Job.Name, "command line"))
			}
		}
	}
}

func (o *origins) artwork() {
	asked := settings.FieldsOf(reflect.ValueOf(o.of.Asked.Artwork))
	for i, f := range settings.FieldsOf(reflect.ValueOf(o.of.Job.Artwork)) {
		key := "artwork." + f.Key
		switch {
		case f.Value.IsZero():
			o.byDefault(key, artworkDefaults[f.Key])
		case !asked[i].Value.IsZero():
			o.table.Add(key, shown(f.Value), "command line")
		default:
			o.table.Add(key, shown(f.Value), cmp.Or(o.of.Job.Name, "command line"))
		}
	}
}

// artworkDefaults are what holds of the artwork where nobody says anything.
var artworkDefaults = map[string]string{
	"fit": "false", "margin": "0mm", "trim": "false", "rotate": "0", "bare_above": "0.96", "invert": "false",
}

// fill lists the values of a fill: of a group, unless all are asked for, those of its own.
func (o *origins) fill(group int, held map[string]string) {
	f := o.of.Fills[group]
	for _, k := range settings.FieldsOf(reflect.ValueOf(f.Spec)) {
		if k.Value.IsNil() {
			o.byDefault("fill."+k.Key, held[k.Key])
			continue
		}
		if whole := o.of.Fills[0]; !o.all && group > 0 && f.From[k.Key] == whole.From[k.Key] {
			continue // as in the whole
		}
		o.table.Add("fill."+k.Key, shown(k.Value), f.From[k.Key])
	}
}

// fillDefaults are what holds of a fill where nobody says anything, by its key.
func fillDefaults(b work.Work, i int) map[string]string {
	g := b.Groups[i]
	mm := func(v float64) string { return words.Decimal(v, 4) + "mm" }
	held := map[string]string{
		"angle": "0", "cross": "0", "passes": "1", "one_way": "false", "stretch": "false", "interleave": "1",
		"shortest": mm(g.Shortest), "close_gaps": mm(g.CloseGaps), "contour_parallel": "false", "inset": mm(g.Inset),
		"focus_offset": "0mm", "air": "false", "outline": "none",
	}
	if g.Setting.PulseNS > 0 {
		held["pulse_ns"] = words.Decimal(g.Setting.PulseNS, 1)
	}
	return held
}

// shown words a value as it can be typed.
func shown(v reflect.Value) string { return fmt.Sprint(reflect.Indirect(v).Interface()) }
