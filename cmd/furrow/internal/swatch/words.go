package swatch

import (
	"fmt"
	"strings"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/words"
)

// markingWords says how fast and how strong something is marked.
func markingWords(f job.Fill) string {
	var all []string
	for _, k := range Kinds {
		if v, ok := k.Of(f); ok && k.Word != "spacing" && shown(k, v) {
			all = append(all, k.Words(v))
		}
	}
	return strings.Join(all, ", ")
}

// Lines are what a summary says of cards that belong together: a head and a text each.
func Lines(cards []Made) [][2]string {
	s, n := cards[0].Spec, 0
	for _, c := range cards {
		n += len(c.Patches)
	}
	size := fmt.Sprintf("%s x %s mm", words.Decimal(cards[0].Size.X, 1), words.Decimal(cards[0].Size.Y, 1))
	first := fmt.Sprintf("%s on %s of %s", words.Plural(n, "patch"), words.Plural(len(cards), "card"), size)
	lines := [][2]string{{s.Kind, first}}
	add := func(head, text string) {
		if text != "" {
			lines = append(lines, [2]string{head, text})
		}
	}
	add("across", axisWords(s.Columns))
	add("down", axisWords(s.Rows))
	add("fixed", fixedWords(s))
	add("letters", markingWords(s.Letters))
	add("dose", doseWords(cards))
	for i, l := range LeftOut(cards) {
		add(words.OnlyFirst("left out", i), l)
	}
	return lines
}

// fixedWords are the values that no patch varies.
func fixedWords(s Spec) string {
	var all []string
	for _, v := range s.fixed() {
		all = append(all, v.Kind.Word+" "+v.Kind.Words(v.V))
	}
	if s.Recipe != "" {
		all = append(all, "the rest as in recipe "+s.Recipe)
	}
	return strings.Join(all, ", ")
}

// doseWords say from what to what the dose goes.
func doseWords(cards []Made) string {
	var low, high Patch
	from, to := -1.0, -1.0
	for _, c := range cards {
		for _, p := range c.Patches {
			d := p.Facts(c.Spec.Machine).DoseJPerCM2
			if from < 0 || d < from {
				low, from = p, d
			}
			if d > to {
				high, to = p, d
			}
		}
	}
	switch {
	case to <= 0:
		return ""
	case to-from < 1e-9*to:
		return words.Decimal(to, 2) + " J/cm2 in each patch"
	}
	return fmt.Sprintf("%s J/cm2 (%s) to %s J/cm2 (%s), the coolest first", words.Decimal(from, 2), low.Name,
		words.Decimal(to, 2), high.Name)
}

// LeftOut says which patches are left out, and why.
func LeftOut(cards []Made) (all []string) {
	var found []words.Shared
	for _, c := range cards {
		for _, l := range c.Out {
			found = words.Share(found, l.Name, l.Why)
		}
	}
	for _, f := range found {
		all = append(all, list(f.Names)+": "+f.Text)
	}
	return all
}
