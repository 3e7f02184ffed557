package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/data"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/order"
	"furrow/cmd/furrow/internal/settings"
)

// tellSame says what of an order is as it was although it is another one, and how that is
// changed.
func (c *repeatFlags) tellSame(a *app, o *order.Order) {
	var same, flags []string
	if c.due == nil && o.Job.Order.Due != nil {
		same, flags = append(same, "due "+o.Job.Order.Due.String()), append(flags, "--due DAY")
	}
	if c.name == "" && o.Job.Order.Name != nil {
		same, flags = append(same, fmt.Sprintf("named %q", *o.Job.Order.Name)), append(flags, "--name TEXT")
	}
	if len(same) > 0 {
		fmt.Fprintf(a.notes, "%-12s %s: %s for another\n", "as before", strings.Join(same, ", "),
			strings.Join(flags, ", "))
	}
}

// tellCounters says which numbers of a counter stand on parts of the order already, where not
// some of these are made again, and how it goes on.
func (c *repeatFlags) tellCounters(a *app, old order.Old, kept []order.Kept, o *order.Order) error {
	first, _ := old.Input(order.JobFile)
	before, err := job.Parse(old.Outside(first), dataOf(kept, order.JobFile))
	if err != nil || c.chosen() != "" {
		return err
	}
	was := before.StartingAt(c.before).Count()
	for _, n := range o.Job.Count() {
		i := slices.IndexFunc(was, func(w data.Counter) bool { return w.Name == n.Name })
		if i < 0 || !n.Meets(o.Quantity(), was[i], old.Parts) {
			continue
		}
		next := data.Counter{Start: was[i].Start, Step: was[i].Step}
		text, err := next.At(old.Parts)
		if err != nil {
			continue // it counts down, and below 0
		}
		fmt.Fprintf(a.notes, "%-12s %s counts numbers that stand on parts of %s: --counter %s=%s goes on\n", "counter",
			n.Name, old.Dir, n.Name, text)
	}
	return nil
}

// tellProfile says of files for a profile that is another one today how they are checked and
// sent.
func (c *repeatFlags) tellProfile(a *app, old order.Old, now []order.Kept, o *order.Order) error {
	kept, ok := old.Input(order.Profile)
	i := slices.IndexFunc(now, func(k order.Kept) bool { return k.Role == order.Profile && k.Data != nil })
	if !ok || i < 0 {
		return nil
	}
	name := now[i].Name
	if now[i].BuiltIn {
		name = old.Machine
	}
	today, err := settings.FindMachine(name)
	if err != nil || today.Hash() == o.Machine.Hash() {
		return nil
	}
	fmt.Fprintf(a.notes, "%-12s as it was: furrow check, send and resume take these files with --machine %s alone\n",
		"profile", filepath.Join(c.dir, kept.Kept))
	return nil
}
