package main

import (
	"errors"
	"io"
	"regexp"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/settings"
)

// lookAt reads a file that is only to be looked at. What is refused of it is told, and
// shown all the same where it is certain what it does.
func (a *app) lookAt(name, machineName string) (openChecked, error) {
	var refused *proof.Refusal
	c, err := a.openWritten(name, machineName,
		func(name string, r io.ReaderAt, asked *settings.Machine) (proof.File, error) {
			c, err := proof.Prove(name, r, asked)
			if !errors.As(err, &refused) {
				return c, err
			}
			return proof.Look(name, r, asked)
		})
	if err != nil {
		return openChecked{}, err
	}
	if refused != nil {
		a.tellDoubts(refused.Error())
	}
	a.tellWhole(c)
	return c, nil
}

// tellWhole warns of a file that may have lost lines without a sign of it.
func (a *app) tellWhole(c openChecked) {
	if c.Format == figures.GCode && !c.Moves.Header.Whole {
		fault.Say(a.stderr, "warning", c.Name+": "+proof.CannotBeWhole)
	}
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
