package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/order"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/runlog"
	"furrow/cmd/furrow/internal/words"
)

// inOrder adds which load of its order a file runs and the parts that it marks, as furrow
// send does.
func (c *logFlags) inOrder(a *app, file string, r *runlog.Run) error {
	in, err := os.Open(file)
	if err != nil {
		return fault.Unreadable(err)
	}
	defer in.Close()
	marks, err := contentsOf(file, in, c.load)
	if err != nil {
		return err
	}
	if len(marks.loads) > 1 {
		fmt.Fprintf(a.notes, "%-12s %s; --load N says which\n", "order", loadsWords(marks.loads))
	}
	r.Load = marks.filling.Load
	if c.parts == "" {
		r.Parts = order.NumbersText(marks.parts())
	}
	return nil
}

// strike withdraws the run that the flags name, or the acceptance of the first article.
func (c *logFlags) strike(a *app, name string, asked runlog.Run) error {
	logs, sum, err := c.logsOf(a, name)
	if err != nil {
		return err
	}
	line, err := c.chosen(logs, name, asked, sum)
	if err != nil {
		return err
	}
	line.What, line.Note = runlog.Withdrawn, c.note
	in, err := standsIn(logs, line)
	if err == nil {
		err = appendRun(in, line)
	}
	if err != nil {
		return err
	}
	if c.json {
		return product.WriteJSON(a.stdout, loggedOf(in, line))
	}
	for _, l := range in {
		fmt.Fprintf(a.notes, "%-12s %s, in %s\n", "withdrawn", runWords(line), l)
	}
	return nil
}

// logsOf are the logs that a run of a file may stand in, and the file's sum; of an
// acceptance the order's alone.
func (c *logFlags) logsOf(a *app, name string) (logs []string, sum string, err error) {
	file, err := c.file(name)
	if err != nil || file == "" {
		return []string{filepath.Join(name, order.LogName)}, "", err
	}
	k, err := a.openWritten(file, c.machine, proof.Look)
	if err != nil {
		return nil, "", err
	}
	defer k.close()
	if k.Machine == nil {
		return nil, "", fault.Usagef("%s names no known profile", file).Hintf("add --machine")
	}
	if sum, err = sumOf(file); err != nil {
		return nil, "", err
	}
	logs, err = runLogs(name, k.Machine.ID)
	return logs, sum, err
}

// chosen is the one run that is meant, the last of those that are alike.
func (c *logFlags) chosen(logs []string, name string, asked runlog.Run, sum string) (runlog.Run, error) {
	var found []runlog.Run
	for _, l := range logs {
		runs, _, err := runlog.Read(l)
		if err != nil {
			return runlog.Run{}, fault.Workf("%s: %w", l, err)
		}
		found = append(found, slices.DeleteFunc(runs, func(r runlog.Run) bool { return !c.means(r, asked, sum) })...)
	}
	var told []string
	for _, r := range found {
		if t := runWords(r); !slices.Contains(told, t) {
			told = append(told, t)
		}
	}
	switch len(told) {
	case 0:
		return runlog.Run{}, fault.Workf("no such run of %s stands in %s", name, strings.Join(logs, " or "))
	case 1:
		return found[len(found)-1], nil
	}
	return runlog.Run{}, fault.Workf("%s of %s stand in the log:\n  %s", words.Plural(len(told), "run"), name,
		strings.Join(told, "\n  ")).
		Hintf("--measured TIME, --date DAY and --load N say which one")
}

// means reports that a line is one that the flags name.
func (c *logFlags) means(r, asked runlog.Run, sum string) bool {
	switch {
	case c.accept:
		return r.What == runlog.Accepted && (asked.Date == "" || r.Date == asked.Date)
	case r.What == runlog.Accepted || r.SHA256 != sum:
		return false
	}
	return (asked.MeasuredS == 0 || stopwatch(r.MeasuredS) == stopwatch(asked.MeasuredS)) &&
		(asked.Date == "" || r.Date == asked.Date) && (asked.Load == 0 || r.Load == asked.Load)
}

// standsIn are those of the logs in which a line stands that the run withdraws.
func standsIn(logs []string, withdrawal runlog.Run) (in []string, err error) {
	for _, l := range logs {
		runs, _, bad := runlog.Read(l)
		err = errors.Join(err, bad)
		if slices.ContainsFunc(runs, withdrawal.Withdraws) {
			in = append(in, l)
		}
	}
	return in, err
}

// runWords tells a line of the log from others.
func runWords(r runlog.Run) string {
	if r.What == runlog.Accepted || r.SHA256 == "" {
		return "accepted on " + r.Date
	}
	text := r.File + " of " + r.Date + ", in a time that is not known"
	if r.MeasuredS > 0 {
		text = r.File + " of " + r.Date + ", " + stopwatch(r.MeasuredS)
	}
	if r.Load > 0 {
		text += fmt.Sprintf(", load %d", r.Load)
	}
	return text
}
