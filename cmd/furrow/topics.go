package main

import (
	"cmp"
	"embed"
	"fmt"
	"reflect"
	"strings"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit/heat"
	"furrow/emit/machine"

	"github.com/spf13/pflag"
)

// rangeWords lists the ranges of the flags of a job, for help units.
func rangeWords() string {
	var b strings.Builder
	fs, _ := hatchCommand.flags()
	fs.VisitAll(func(f *pflag.Flag) {
		if l := value.LimitsOfFlag(f); l != (value.Limits{}) {
			fmt.Fprintf(&b, "  --%-15s %s\n", f.Name, l)
		}
	})
	return b.String()
}

// topic is a page of furrow help that belongs to no subcommand. Its file's first
// line is the summary.
type topic struct{ name, summary, text string }

//go:embed topics
var topicFiles embed.FS

// topicNames lists the topics in the sequence of the list.
var topicNames = []string{"units", "files", "machines", "recipes", "materials", "jobs", "gcode", "markvec",
	"stagger", "safety"}

// topics returns all pages. What the program knows of keys and ranges is told
// from the structs, so that no page falls behind them.
func topics() []topic {
	added := map[string]string{
		"units":     rangeWords(),
		"machines":  keyPages(machine.Profile{}) + defaultsByKind(),
		"recipes":   keyPages(machine.Recipe{}),
		"materials": materialList() + keyPages(heat.Material{}),
		"jobs":      keyPages(job.Job{}),
	}
	var all []topic
	for _, name := range topicNames {
		data, err := topicFiles.ReadFile("topics/" + name + ".txt")
		if err != nil {
			panic(err) // TestTopics reads them all
		}
		summary, text, _ := strings.Cut(string(data), "\n")
		all = append(all, topic{name, summary, text + added[name]})
	}
	return all
}

// defaultsByKind lists what is assumed of a machine whose profile leaves it out.
func defaultsByKind() string {
	var b strings.Builder
	for _, p := range []machine.Profile{
		{Kind: machine.KindGantry, Gantry: &machine.Gantry{}, GCode: &machine.GCode{}},
		{Kind: machine.KindGalvo, Galvo: &machine.Galvo{}, Laser: machine.Laser{FrequencyKHz: &[2]float64{1, 1}}},
	} {
		fmt.Fprintf(&b, "\nAssumed of a %s where it is left out, until it is measured or looked up:\n", p.Kind)
		p = p.Complete(func(string) bool { return false })
		for _, g := range p.Assumed() {
			fmt.Fprintf(&b, "  %-28s %s\n", g.Key, cmp.Or(g.Rule, valueWords(g, p, 1)))
		}
	}
	return b.String()
}

// materialList lists the built-in materials with their sources.
func materialList() string {
	var b strings.Builder
	for _, m := range heat.Materials() {
		fmt.Fprintf(&b, "  %s\n%s\n", m.ID, words.Wrapped(m.Source, "    ", 76))
	}
	return b.String() + "\nKeys:\n"
}

// topicText returns the page of a topic, or "".
func topicText(name string) string {
	for _, t := range topics() {
		if t.name == name {
			return t.text
		}
	}
	return ""
}

// keyPages lists the keys of a settings struct with their meanings.
func keyPages(spec any) string {
	var b strings.Builder
	writeKeys(&b, "", reflect.TypeOf(spec), map[string]bool{})
	return b.String()
}

// writeKeys tells the keys of a table, but for those told already.
func writeKeys(b *strings.Builder, table string, t reflect.Type, told map[string]bool) {
	fields := settings.FieldsOf(reflect.New(t).Elem())
	for _, f := range fields {
		if settings.IsTable(f.Value.Type()) || told[f.Key+f.Comment] {
			continue
		}
		told[f.Key+f.Comment] = true
		fmt.Fprintf(b, "  %s\n%s", f.Key, words.Wrapped(f.Meaning(), "      ", topicWidth))
	}
	for _, f := range fields {
		if !settings.IsTable(f.Value.Type()) {
			continue
		}
		head := "[" + settings.InTable(table, f.Key) + "]"
		if f.Value.Kind() == reflect.Slice {
			head = "[" + head + "]"
		}
		fmt.Fprintf(b, "\n%s", words.Wrapped(strings.TrimSpace(head+"  "+f.Comment), "", topicWidth))
		writeKeys(b, settings.InTable(table, f.Key), settings.TableOf(f.Value.Type()), told)
	}
}

// topicWidth is the longest line of a page.
const topicWidth = 86
