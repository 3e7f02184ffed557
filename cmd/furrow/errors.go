package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"furrow/emit"

	"github.com/spf13/pflag"
)

// The exit codes.
const (
	exitDone  = 0
	exitWork  = 1 // the work cannot be done
	exitUsage = 2 // wrong usage, or input that cannot be read
)

// failure is an error with its exit code and, where there is one, a remedy.
type failure struct {
	code int
	err  error
	hint string
}

func (f *failure) Error() string { return f.err.Error() }
func (f *failure) Unwrap() error { return f.err }

// hintf adds the remedy; an empty one adds nothing.
func (f *failure) hintf(format string, args ...any) *failure {
	f.hint = fmt.Sprintf(format, args...)
	return f
}

// usagef is for wrong usage and unreadable input.
func usagef(format string, args ...any) *failure {
	return &failure{code: exitUsage, err: fmt.Errorf(format, args...)}
}

// workf is for work that cannot be done.
func workf(format string, args ...any) *failure {
	return &failure{code: exitWork, err: fmt.Errorf(format, args...)}
}

// refused is for moves that the machine cannot make.
func refused(err error) *failure {
	f := workf("%w", err)
	var fe *emit.FieldError
	if errors.As(err, &fe) {
		f.hint = fieldHint(fe)
	}
	return f
}

// hinter is what an error of the libraries offers when it knows a remedy.
type hinter interface{ Hint() string }

// report prints err as every error is printed and returns its exit code.
func report(stderr io.Writer, err error) int {
	code, hint := exitWork, ""
	var f *failure
	if errors.As(err, &f) {
		code, hint = f.code, f.hint
	}
	var h hinter
	if hint == "" && errors.As(err, &h) {
		hint = h.Hint()
	}
	say(stderr, "error", err.Error())
	if hint != "" {
		say(stderr, "hint", hint)
	}
	return code
}

// flagError words a failure of the flag parser, with a near name for a
// mistyped flag.
func flagError(err error, fs *pflag.FlagSet) *failure {
	var unknown *pflag.NotExistError
	if errors.As(err, &unknown) && len(unknown.GetSpecifiedName()) > 1 {
		var names []string
		fs.VisitAll(func(f *pflag.Flag) { names = append(names, "--"+f.Name) })
		name := "--" + strings.TrimLeft(unknown.GetSpecifiedName(), "-")
		if near := nearest(name, names); near != "" {
			return usagef("unknown flag %s: did you mean %s?", name, near)
		}
		return usagef("unknown flag %s", name)
	}
	var value *pflag.InvalidValueError
	if errors.As(err, &value) {
		return usagef("--%s: %w", value.GetFlag().Name, value.Unwrap())
	}
	return usagef("%w", err)
}

// suggest words the nearest of the known names, or lists them.
func suggest(name string, known []string) string {
	if near := nearest(name, known); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	if len(known) == 0 {
		return ""
	}
	list := strings.Join(known[:min(len(known), mostSuggested)], ", ")
	if more := len(known) - mostSuggested; more > 0 {
		list += fmt.Sprintf(" and %d more", more)
	}
	return "known are " + list
}

// mostSuggested is how many names a hint lists.
const mostSuggested = 24

// nearest returns the known name at most two edits (of a short one: one edit) away
// from name, else the first that starts with it, or "".
func nearest(name string, known []string) string {
	best, bestDist := "", 3
	if len(name) < 5 {
		bestDist = 2 // of a short word too little would be left
	}
	for _, k := range known {
		if d := editDistance(name, k); d < bestDist {
			best, bestDist = k, d
		}
	}
	for _, k := range known {
		if best == "" && len(name) > 1 && strings.HasPrefix(k, name) {
			best = k
		}
	}
	return best
}

// editDistance counts the insertions, deletions and replacements between two
// words (Levenshtein).
func editDistance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diagonal
			if a[i] != b[j] {
				cost++
			}
			diagonal = row[j+1]
			row[j+1] = min(cost, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
