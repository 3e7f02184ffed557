package main

import (
	"bytes"
	"fmt"
	"io"
	"regexp"
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
		rests := "no time rests on it"
		if g.Moves() {
			rests = fmt.Sprintf("%s to %s is plausible", valueWords(g, m.Profile, min(g.Slow, g.Fast)), valueWords(g, m.Profile, max(g.Slow, g.Fast)))
		}
		fmt.Fprintf(a.notes, "  %-30s %-12s %s; %s\n", g.Key, valueWords(g, m.Profile, 1), rests, g.Find)
	}
}

// valueWords writes what a profile takes for a key, times a factor.
func valueWords(g machine.Guess, p machine.Profile, times float64) string {
	var all []string
	for _, v := range g.Value(p) {
		all = append(all, words.Decimal(v*times, 3))
	}
	return strings.Join(all, ", ")
}

// writeNewProfile writes a profile to start from. What no plate tells is left out of a
// copy: an assumed value must not pass as the shop's own.
func writeNewProfile(w io.Writer, m settings.Machine) error {
	var b bytes.Buffer
	if err := writeProfile(&b, m); err != nil {
		return err
	}
	_, err := w.Write(leaveOut(b.Bytes(), m.Assumed()))
	return err
}

// leaveOut makes remarks of keys.
func leaveOut(text []byte, all []machine.Guess) []byte {
	for _, g := range all {
		_, key, _ := strings.Cut(g.Key, ".")
		line := regexp.MustCompile(`(?m)^` + regexp.QuoteMeta(key) + ` = .*$`)
		text = line.ReplaceAll(text, []byte("# left out: assumed until you measure it (furrow machines check)\n#"+key+" ="))
	}
	return text
}
