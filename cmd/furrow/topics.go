package main

import (
	"embed"
	"fmt"
	"reflect"
	"strings"

	"furrow/emit/machine"
)

// topic is a page of furrow help that belongs to no subcommand. Its file's first
// line is the summary.
type topic struct{ name, summary, text string }

//go:embed topics
var topicFiles embed.FS

// topicNames lists the topics in the sequence of the list.
var topicNames = []string{"units", "files", "machines", "recipes", "jobs", "gcode", "markvec", "stagger", "safety"}

// topics returns all pages. What the program knows of keys and ranges is told
// from the structs, so that no page falls behind them.
func topics() []topic {
	added := map[string]string{
		"units":    rangeWords(),
		"machines": keyPages(machine.Profile{}),
		"recipes":  keyPages(machine.Recipe{}),
		"jobs":     keyPages(job{}),
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
	fields := fieldsOf(reflect.New(t).Elem())
	for _, f := range fields {
		if isTable(f.value.Type()) || told[f.key+f.comment] {
			continue
		}
		told[f.key+f.comment] = true
		fmt.Fprintf(b, "  %s\n%s", f.key, wrapped(f.meaning(), "      ", topicWidth))
	}
	for _, f := range fields {
		if !isTable(f.value.Type()) {
			continue
		}
		head := "[" + inTable(table, f.key) + "]"
		if f.value.Kind() == reflect.Slice {
			head = "[" + head + "]"
		}
		fmt.Fprintf(b, "\n%s", wrapped(strings.TrimSpace(head+"  "+f.comment), "", topicWidth))
		writeKeys(b, inTable(table, f.key), tableOf(f.value.Type()), told)
	}
}

// topicWidth is the longest line of a page.
const topicWidth = 86

// wrapped breaks text into lines of a width, each with an indent.
func wrapped(text, indent string, width int) string {
	var b strings.Builder
	line := indent
	for _, word := range strings.Fields(text) {
		if len(line) > len(indent) && len(line)+1+len(word) > width {
			b.WriteString(line + "\n")
			line = indent
		}
		if len(line) > len(indent) {
			line += " "
		}
		line += word
	}
	b.WriteString(line + "\n")
	return b.String()
}
