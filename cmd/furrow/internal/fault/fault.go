package fault

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"
	"syscall"
)

// The exit codes.
const (
	CodeDone  = 0
	CodeWork  = 1 // the work cannot be done
	CodeUsage = 2 // wrong usage, or input that cannot be read
)

// Failure is an error with its exit code and, where there is one, a remedy.
type Failure struct {
	Code int
	err  error
	Hint string
}

func (f *Failure) Error() string { return f.err.Error() }
func (f *Failure) Unwrap() error { return f.err }

// Hintf adds the remedy; an empty one adds nothing.
func (f *Failure) Hintf(format string, args ...any) *Failure {
	f.Hint = fmt.Sprintf(format, args...)
	return f
}

// Usagef is for wrong usage and unreadable input.
func Usagef(format string, args ...any) *Failure {
	return &Failure{Code: CodeUsage, err: fmt.Errorf(format, args...)}
}

// Workf is for work that cannot be done.
func Workf(format string, args ...any) *Failure {
	return &Failure{Code: CodeWork, err: fmt.Errorf(format, args...)}
}

// Hinter is what an error of the libraries offers when it knows a remedy.
type Hinter interface{ Hint() string }

// Several are failures that are told at once, so that a person mends them at once.
type Several struct{ all []error }

// All returns the errors that are none of nil as one: nil for none.
func All(errs ...error) error {
	var all []error
	for _, err := range errs {
		var s *Several
		switch {
		case err == nil:
		case errors.As(err, &s):
			all = append(all, s.all...)
		default:
			all = append(all, err)
		}
	}
	switch len(all) {
	case 0:
		return nil
	case 1:
		return all[0]
	}
	return &Several{all}
}

func (s *Several) Error() string {
	var all []string
	for _, err := range s.all {
		all = append(all, err.Error())
	}
	return strings.Join(all, "; ")
}

// Unwrap returns the failures.
func (s *Several) Unwrap() []error { return s.all }

// Report prints err as every error is printed and returns its exit code: of several
// that of the first.
func Report(stderr io.Writer, err error) int {
	var s *Several
	if !errors.As(err, &s) {
		return report(stderr, err)
	}
	code := CodeDone
	for _, err := range s.all {
		if c := report(stderr, err); code == CodeDone {
			code = c
		}
	}
	return code
}

func report(stderr io.Writer, err error) int {
	code, hint := CodeWork, ""
	var f *Failure
	if errors.As(err, &f) {
		code, hint = f.Code, f.Hint
	}
	var h Hinter
	if hint == "" && errors.As(err, &h) {
		hint = h.Hint()
	}
	if hint == "" {
		hint = ofSystem(err)
	}
	Say(stderr, "error", err.Error())
	if hint != "" {
		Say(stderr, "hint", hint)
	}
	return code
}

// ofSystem returns the way out of what the system refuses.
func ofSystem(err error) string {
	switch {
	case errors.Is(err, fs.ErrPermission) || errors.Is(err, syscall.EROFS):
		return "you may not read or write there: name another place, or have its rights changed"
	case errors.Is(err, syscall.ENOSPC):
		return "make room on the disk, or name a place on another"
	}
	return ""
}

// Unreadable is for a file that cannot be opened or read.
func Unreadable(err error) *Failure {
	var pe *fs.PathError
	if errors.As(err, &pe) && errors.Is(err, fs.ErrNotExist) {
		return Usagef("no file %s", pe.Path).Hintf("check the name and the folder")
	}
	return Usagef("%w", err)
}
