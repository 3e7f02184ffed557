// Package edits makes, for tests, all that one edit makes of a file of either format,
// and reads the rules that a package's page lists.
package edits

import (
	"fmt"
	"iter"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Language is what a file is made of.
type Language struct {
	Word       *regexp.Regexp // matches a word
	Vocabulary []string       // words that stand in the place of others
}

// Of returns each line deleted, doubled, swapped with the next, each digit changed, each
// word replaced by each of the vocabulary and left out, with a name that tells the edit.
// Line i counts from 0.
func (l Language) Of(file string) iter.Seq2[string, string] {
	lines := strings.SplitAfter(strings.TrimSuffix(file, "\n"), "\n")
	lines[len(lines)-1] += "\n"
	return func(yield func(string, string) bool) {
		for i, line := range lines {
			for edit, lines := range l.ofLine(lines, i) {
				if !yield(fmt.Sprintf("line %d %q %s", i+1, line, edit), strings.Join(lines, "")) {
					return
				}
			}
		}
	}
}

var digit = regexp.MustCompile(`[0-9]`)

// ofLine returns the lines with each of the edits of line i.
func (l Language) ofLine(lines []string, i int) iter.Seq2[string, []string] {
	line := lines[i]
	with := func(replacement ...string) []string { return slices.Concat(lines[:i], replacement, lines[i+1:]) }
	return func(yield func(string, []string) bool) {
		if !yield("deleted", with()) || !yield("doubled", with(line, line)) {
			return
		}
		if i+1 < len(lines) && lines[i+1] != line {
			swapped := slices.Clone(lines)
			swapped[i], swapped[i+1] = lines[i+1], line
			if !yield("swapped", swapped) {
				return
			}
		}
		for changed := range l.changed(line) {
			if !yield("made "+changed, with(changed)) {
				return
			}
		}
	}
}

// changed returns a line with each of its digits and words changed.
func (l Language) changed(line string) iter.Seq[string] {
	return func(yield func(string) bool) {
		for _, d := range digit.FindAllStringIndex(line, -1) {
			if !yield(line[:d[0]] + string('0'+(line[d[0]]-'0'+1)%10) + line[d[1]:]) {
				return
			}
		}
		for _, w := range l.Word.FindAllStringIndex(line, -1) {
			for _, other := range append([]string{""}, l.Vocabulary...) {
				if other != line[w[0]:w[1]] && !yield(line[:w[0]]+other+line[w[1]:]) {
					return
				}
			}
		}
	}
}

var (
	listed = regexp.MustCompile(`(?m)^//\t([a-z-]+) .*(Test\w+)$`)
	named  = regexp.MustCompile(`Rule = "([a-z-]+)"`)
)

// RequireRules wants each rule of rules.go on the page of the package in this folder,
// doc.go, and no other, and those whose test is TestRules to be among the broken.
func RequireRules(t *testing.T, broken []string) {
	t.Helper()
	page, err := os.ReadFile("doc.go")
	require.NoError(t, err)
	source, err := os.ReadFile("rules.go")
	require.NoError(t, err)
	tests := map[string]string{}
	for _, m := range listed.FindAllStringSubmatch(string(page), -1) {
		tests[m[1]] = m[2]
	}
	for _, m := range named.FindAllStringSubmatch(string(source), -1) {
		require.Contains(t, tests, m[1])
		if tests[m[1]] == "TestRules" {
			require.Contains(t, broken, m[1])
		}
		delete(tests, m[1])
	}
	require.Empty(t, tests, "rules that are none")
}
