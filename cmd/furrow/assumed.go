package main

import (
	"bytes"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit/machine"
)

// tellAssumed lists what is assumed of a machine, and what to do about it.
func (a *app) tellAssumed(m settings.Machine) {
	all := m.Assumed()
	if len(all) == 0 {
		return
	}
	fmt.Fprintf(a.notes, "assumed, not measured:\n")
	for _, g := range all {
		fmt.Fprintf(a.notes, "  %-30s %-12s %s; %s\n", g.Key, valueWords(g, m.Profile, 1),
			restsOn(g, m.Profile), g.Find)
	}
}

// restsOn tells whether times rest on a value, and how far it may be off.
func restsOn(g machine.Guess, p machine.Profile) string {
	switch {
	case !g.Moves():
		return "no time rests on it"
	case g.SlowWord != "":
		return g.SlowWord + " is plausible too"
	}
	return fmt.Sprintf("%s to %s is plausible", valueWords(g, p, min(g.Slow, g.Fast)),
		valueWords(g, p, max(g.Slow, g.Fast)))
}

// valueWords writes what a profile takes for a key, times a factor.
func valueWords(g machine.Guess, p machine.Profile, times float64) string {
	if word, ok := g.Text(p); ok {
		return word
	}
	var all []string
	for _, v := range g.Value(p) {
		all = append(all, words.Decimal(v*times, 3))
	}
	return strings.Join(all, ", ")
}

// writeNewProfile writes a profile to start from. What no plate tells is left out of a
// copy: an assumed value must not pass as the shop's own.
func writeNewProfile(w io.Writer, m settings.Machine) error {
	p := m.Complete(func(key string) bool { return !slices.Contains(m.Guessed, key) })
	return writeLeavingOut(w, m, func(g machine.Guess) string {
		return valueWords(g, p, 1) + " is assumed until you know it (furrow machines check)"
	})
}

// showProfile writes a profile as its file reads, and what is taken for what it leaves out.
func showProfile(w io.Writer, m settings.Machine) error {
	return writeLeavingOut(w, m, func(g machine.Guess) string {
		if m.BuiltIn() {
			return "the example takes " + valueWords(g, m.Profile, 1) + ", which is invented"
		}
		return valueWords(g, m.Profile, 1) + " is assumed (furrow machines check)"
	})
}

// writeLeavingOut makes remarks of keys that are assumed.
func writeLeavingOut(w io.Writer, m settings.Machine, remark func(machine.Guess) string) error {
	var b bytes.Buffer
	if err := writeProfile(&b, m); err != nil {
		return err
	}
	text := b.Bytes()
	for _, g := range m.Assumed() {
		_, key, _ := strings.Cut(g.Key, ".")
		line := regexp.MustCompile(`(?m)^` + regexp.QuoteMeta(key) + ` = .*$`)
		text = line.ReplaceAllLiteral(text, []byte("# left out: "+remark(g)+"\n#"+key+" ="))
	}
	_, err := w.Write(text)
	return err
}
