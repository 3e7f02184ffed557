package main

import (
	"errors"
	"regexp"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/emit/gcode"
)

// lookAt reads a file that is only to be looked at. What proveFile refuses is told,
// and shown all the same where it is certain what it does.
func (a *app) lookAt(name, machineName string) (checked, error) {
	c, refusal := a.proveFile(name, machineName)
	var f *fault.Failure
	if !errors.As(refusal, &f) || f.Code != fault.CodeWork {
		return c, refusal
	}
	c, err := a.readLeniently(name, machineName)
	if err != nil {
		return checked{}, err
	}
	a.tellDoubts(refusal.Error())
	return c, nil
}

// toldOfFile is how many kinds of doubt about a file are told beside its picture.
const toldOfFile = 3

var beforeProblem = regexp.MustCompile(`^.*?line \d+: `)

// tellDoubts prints the first line of each kind.
func (a *app) tellDoubts(refusal string) {
	told := map[string]bool{}
	for _, l := range strings.Split(refusal, "\n") {
		kind := beforeProblem.ReplaceAllString(l, "")
		if told[kind] {
			continue
		}
		if len(told) == toldOfFile {
			fault.Say(a.stderr, "warning", "and more; furrow check lists them")
			return
		}
		told[kind] = true
		fault.Say(a.stderr, "warning", l)
	}
}

// readLeniently is proveFile without a proof.
func (a *app) readLeniently(name, machineName string) (checked, error) {
	asked, err := findAsked(machineName)
	if err != nil {
		return checked{}, err
	}
	w, m, err := a.readWritten(name, asked, gcode.Look)
	if err != nil {
		return checked{}, err
	}
	c := checked{written: w, machine: m}
	err = c.matchKind()
	if err == nil {
		err = c.time()
	}
	if err != nil {
		w.close()
	}
	return c, err
}
