package main

import (
	"errors"
	"regexp"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/proof"
)

// lookAt reads a file that is only to be looked at. What proveFile refuses is told,
// and shown all the same where it is certain what it does.
func (a *app) lookAt(name, machineName string) (openChecked, error) {
	c, refusal := a.openWritten(name, machineName, proof.Prove)
	var f *fault.Failure
	if !errors.As(refusal, &f) || f.Code != fault.CodeWork {
		return c, refusal
	}
	c, err := a.openWritten(name, machineName, proof.Look)
	if err != nil {
		return openChecked{}, err
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
