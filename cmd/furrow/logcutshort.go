package main

import (
	"fmt"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/journal"
	"furrow/cmd/furrow/internal/words"
)

// logCutShort writes down what is known of runs whose program was killed, and says so.
func (a *app) logCutShort() {
	all, err := journal.Settle()
	for _, c := range all {
		said := fmt.Sprintf("a run of %s on %s was cut short behind line %s, when furrow was ended in the midst of it",
			c.File, c.Run.Machine, words.Thousands(int64(c.Taken)))
		if len(c.Logs) > 0 {
			said += ": written down in " + words.And(c.Logs)
		}
		fault.Say(a.stderr, "warning", said)
		for _, bad := range c.Failed {
			fault.Say(a.stderr, "warning", fmt.Sprintf("its line is missing: %v", bad))
		}
	}
	if err != nil {
		fault.Say(a.stderr, "warning", fmt.Sprintf("the kept place of a run: %v", err))
	}
}
