package main

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
	"time"
)

// print writes the table and what stands below it.
func (t *comparison) print(w io.Writer) error {
	fmt.Fprintf(w, "%s, %s", t.Job, plural(t.Quantity, "part"))
	if t.Material != "" {
		fmt.Fprintf(w, ", %s", t.Material)
	}
	fmt.Fprint(w, "\n\n")
	if len(t.Machines) > 0 {
		if err := t.printRanked(w); err != nil {
			return err
		}
	}
	t.printRest(w, "Does not fit", t.Unfit)
	t.printRest(w, "Not ranked", t.Unranked)
	for _, e := range t.Machines {
		e.printWarnings(w)
	}
	for _, e := range t.Machines[:min(len(t.Machines), maxBetter)] {
		t.printBetter(w, e)
	}
	t.printNotes(w)
	return nil
}

func (t *comparison) printRanked(w io.Writer) error {
	tab := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(tab, "MACHINE\tHOURS\tONE PART\tMARKING\tOVERTRAVEL\tTRAVEL\tDELAYS\tLOADING\tMEAN POWER\tENERGY\tDOSE\tRECIPE")
	for _, e := range t.Machines {
		p := e.b.clocked.Parts
		fmt.Fprintf(tab, "%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s W\t%s J\t%s J/cm2\t%s\n",
			e.Machine, decimal(e.Hours, 2), clockTime(p.Total()),
			clockTime(p.Mark), orDash(p.Overtravel+p.Turn), orDash(p.Travel+p.Corner+p.Jump), orDash(p.JumpDelay+p.MarkDelay+p.CornerDelay+p.Wait),
			orDash(seconds(t.LoadingS)), decimal(e.MeanPowerW, 1), decimal(e.EnergyJ, 0), decimal(e.DoseJPerCM2, 1),
			strings.Join([]string{e.Settings, e.Tested}, ", "))
	}
	return tab.Flush()
}

// orDash words a part of a time, and none of it as a dash.
func orDash(d time.Duration) string {
	if d == 0 {
		return "-"
	}
	return clockTime(d)
}

func (t *comparison) printRest(w io.Writer, head string, list []*entry) {
	for i, e := range list {
		if i == 0 {
			fmt.Fprintf(w, "\n%s\n", head)
		}
		fmt.Fprintf(w, "  %s: %s\n", e.Machine, e.Why)
		if e.Hint != "" {
			fmt.Fprintf(w, "    %s\n", e.Hint)
		}
	}
}

func (e *entry) printWarnings(w io.Writer) {
	for _, text := range e.Warnings {
		fmt.Fprintf(w, "\nwarning for %s: %s", e.Machine, text)
	}
	if len(e.Warnings) > 0 {
		fmt.Fprintln(w)
	}
}

func (t *comparison) printBetter(w io.Writer, e *entry) {
	if len(e.Better) == 0 {
		fmt.Fprintf(w, "\n%s: nothing was found that saves a hundredth of its time\n", e.Machine)
		return
	}
	fmt.Fprintf(w, "\n%s would be quicker with\n", e.Machine)
	for _, i := range e.Better {
		fmt.Fprintf(w, "  %s\n    saves %s a part, %s in all; %s\n", i.Change, duration(seconds(i.Saved)), duration(seconds(i.Hours*3600)), i.Price)
	}
}

func (t *comparison) printNotes(w io.Writer) {
	fmt.Fprintln(w)
	if t.LoadingS == 0 {
		fmt.Fprintln(w, "Loading is not counted: add --loading SECONDS.")
	}
	for _, e := range t.Machines {
		if e.Example {
			fmt.Fprintf(w, "%s is a built-in example, not your machine.\n", e.Machine)
		}
	}
	fmt.Fprintln(w, "Doses do not compare between wavelengths, or between pulsed and continuous sources.")
	fmt.Fprintln(w, "Guidance only: prove settings on scrap; the machine's manual and local rules come first.")
}

// writeCSV writes a line for each machine, with units in the heads.
func (t *comparison) writeCSV(w io.Writer) error {
	c := csv.NewWriter(w)
	c.Write([]string{"machine", "status", "why_not", "settings", "tested", "hours", "part_s", "mark_s", "overtravel_and_turn_s",
		"travel_s", "delays_s", "loading_s", "mean_power_w", "energy_j", "dose_j_cm2"})
	for _, e := range t.Machines {
		p := e.b.clocked.Parts
		row := []string{e.Machine, "fits", "", e.Settings, e.Tested}
		for _, v := range []float64{e.Hours, p.Total().Seconds(), p.Mark.Seconds(), (p.Overtravel + p.Turn).Seconds(),
			(p.Travel + p.Corner + p.Jump).Seconds(), (p.JumpDelay + p.MarkDelay + p.CornerDelay + p.Wait).Seconds(),
			t.LoadingS, e.MeanPowerW, e.EnergyJ, e.DoseJPerCM2} {
			row = append(row, shortest(v))
		}
		c.Write(row)
	}
	for status, list := range t.rest() {
		for _, e := range list {
			c.Write(append([]string{e.Machine, status, e.Why, e.Settings, e.Tested}, make([]string, 10)...))
		}
	}
	c.Flush()
	return c.Error()
}

// rest yields the machines that are not in the table.
func (t *comparison) rest() func(func(string, []*entry) bool) {
	return func(yield func(string, []*entry) bool) {
		if yield("does not fit", t.Unfit) {
			yield("not ranked", t.Unranked)
		}
	}
}
