package main

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"furrow/cmd/furrow/internal/better"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit/clock"
)

// print writes the table and what stands below it. wide is with every column.
func (t *comparison) print(w io.Writer, wide bool) error {
	fmt.Fprintf(w, "%s, %s", t.Job, words.Plural(t.Quantity, "part"))
	if t.Material != "" {
		fmt.Fprintf(w, ", %s", t.Material)
	}
	fmt.Fprintln(w)
	if len(t.Machines)+len(t.Unfit) > 0 {
		fmt.Fprintln(w)
		table := t.table(wide)
		if err := table.Write(w); err != nil {
			return err
		}
	}
	t.printRest(w, "Fits if moved", t.moved())
	t.printRest(w, "Does not fit", t.Unfit)
	t.printRest(w, "Not ranked", t.Unranked)
	t.printOthers(w)
	t.printWarnings(w)
	for _, e := range t.Looked() {
		t.printBetter(w, e)
	}
	t.printNotes(w)
	return nil
}

// moved are the machines that the work fits in another place than the one asked for.
func (t *comparison) moved() (all []*better.Entry) {
	for _, e := range t.Machines {
		if e.Why != "" {
			all = append(all, e)
		}
	}
	return all
}

// column is a column of the table.
type column struct {
	head, unit string
	wide       bool // shown on request alone
	cell       func(t *comparison, e *better.Entry) string
}

// columns are what the table tells of a machine that can do the work.
var columns = []column{
	{head: "MACHINE", cell: func(_ *comparison, e *better.Entry) string { return e.Machine }},
	{head: "FITS", cell: func(_ *comparison, e *better.Entry) string { return e.Fits }},
	{head: "FOR ALL", cell: func(_ *comparison, e *better.Entry) string {
		return words.Time(words.Seconds(3600 * e.Hours))
	}},
	{head: "ONE PART", cell: func(_ *comparison, e *better.Entry) string { return words.Time(e.Work.Clock.Total()) }},
	{head: "BETWEEN", wide: true, cell: func(_ *comparison, e *better.Entry) string { return betweenWords(e) }},
	{head: "MARKING", cell: func(_ *comparison, e *better.Entry) string { return words.Time(e.Work.Clock.Parts.Mark) }},
	{head: "NOT", unit: "MARKING", cell: func(_ *comparison, e *better.Entry) string {
		return orDash(notMarking(e.Work.Clock.Parts))
	}},
	{head: "TURNING", wide: true, cell: func(_ *comparison, e *better.Entry) string {
		return orDash(turning(e.Work.Clock.Parts))
	}},
	{head: "TRAVEL", wide: true, cell: func(_ *comparison, e *better.Entry) string {
		return orDash(travelling(e.Work.Clock.Parts))
	}},
	{head: "DELAYS", wide: true, cell: func(_ *comparison, e *better.Entry) string {
		return orDash(delays(e.Work.Clock.Parts))
	}},
	{head: "LOADING", wide: true, cell: func(t *comparison, _ *better.Entry) string {
		return orDash(words.Seconds(t.LoadingS))
	}},
	{head: "POWER", unit: "W", wide: true, cell: func(_ *comparison, e *better.Entry) string {
		return words.Number(e.MeanPowerW, 1)
	}},
	{head: "ENERGY", unit: "J", wide: true, cell: func(_ *comparison, e *better.Entry) string {
		return words.Number(e.EnergyJ, 0)
	}},
	{head: "TAKEN IN", unit: "J", wide: true, cell: func(_ *comparison, e *better.Entry) string {
		return absorbedWords(e)
	}},
	{head: "DOSE", unit: "J/cm2", wide: true, cell: func(_ *comparison, e *better.Entry) string {
		return ofRows(e.DoseJPerCM2, 1)
	}},
	{head: "RISE", unit: "K", cell: func(_ *comparison, e *better.Entry) string { return e.Heat.Rise() }},
	{head: "SPEED", unit: "mm/s", cell: func(_ *comparison, e *better.Entry) string {
		return ofRows(e.SpeedMMPerS, 0)
	}},
	{head: "QUICKEST", unit: "mm/s", wide: true, cell: func(_ *comparison, e *better.Entry) string {
		return ofRows(e.Quickest, 0)
	}},
	{head: "RECIPE", cell: func(_ *comparison, e *better.Entry) string { return e.Settings }},
	{head: "TESTED", wide: true, cell: func(_ *comparison, e *better.Entry) string { return e.Tested }},
}

// table has a row for each machine, the quickest first, and then those that the work
// does not fit.
func (t *comparison) table(wide bool) words.Table {
	var table words.Table
	rows := make([][]string, len(t.Machines)+len(t.Unfit))
	for _, c := range columns {
		if c.wide && !wide {
			continue
		}
		table.Heads, table.Units = append(table.Heads, c.head), append(table.Units, c.unit)
		for i, e := range t.Machines {
			rows[i] = append(rows[i], c.cell(t, e))
		}
		for i, e := range t.Unfit {
			rows[len(t.Machines)+i] = append(rows[len(t.Machines)+i], unfitCell(c.head, e))
		}
	}
	table.Rows = rows
	return table
}

// unfitCell is what a column tells of a machine that the work does not fit.
func unfitCell(head string, e *better.Entry) string {
	told := map[string]string{"MACHINE": e.Machine, "FITS": e.Fits, "RECIPE": e.Settings, "TESTED": e.Tested}
	return cmp.Or(told[head], "-")
}

// betweenWords tells the span of a part's time, by what is assumed of the machine; none where
// it rounds to nothing.
func betweenWords(e *better.Entry) string {
	least, most := stopwatch(e.Figures.Least), stopwatch(e.Figures.Most)
	if e.Figures.Most == 0 || least == most {
		return "-"
	}
	return least + " to " + most
}

// absorbedWords tells the energy that the material takes in, where that is known.
func absorbedWords(e *better.Entry) string {
	if e.AbsorbedJ == 0 {
		return "-"
	}
	return words.Number(e.AbsorbedJ, 0)
}

// printStages prints what --timings measured, where it was asked for.
func (t *comparison) printStages(w io.Writer) {
	for _, list := range [][]*better.Entry{t.Machines, t.Unfit} {
		for _, e := range list {
			if s := t.stages[e.Machine]; s != nil && len(s.done) > 0 {
				fmt.Fprintf(w, "furrow: %s\n", e.Machine)
				s.print(w)
			}
		}
	}
}

// The parts of a time that the table puts together.

func notMarking(p clock.Parts) time.Duration { return p.Total() - p.Mark }

func turning(p clock.Parts) time.Duration    { return p.Overtravel + p.Turn }
func travelling(p clock.Parts) time.Duration { return p.Travel + p.Corner + p.Jump }

func delays(p clock.Parts) time.Duration { return p.JumpDelay + p.MarkDelay + p.CornerDelay + p.Wait }

// ofRows words what work has that has rows, and a dash for what is an outline alone.
func ofRows(v float64, decimals int) string {
	if v == 0 {
		return "-"
	}
	return words.Number(v, decimals)
}

// orDash words a part of a time, and none of it as a dash.
func orDash(d time.Duration) string {
	if d == 0 {
		return "-"
	}
	return words.Time(d)
}

func (t *comparison) printRest(w io.Writer, head string, list []*better.Entry) {
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

// printOthers names the recipes that were not taken.
func (t *comparison) printOthers(w io.Writer) {
	for _, e := range slices.Concat(t.Machines, t.Unfit) {
		if len(e.Others) > 0 {
			fmt.Fprintf(w, "\n%s has more than one recipe for %s: %s was taken; for another add --use %s=%s\n",
				e.Machine, t.Material, e.Settings, e.Machine, strings.Join(e.Others, " or "))
		}
	}
}

// printWarnings tells each warning once, with the machines that it is for.
func (t *comparison) printWarnings(w io.Writer) {
	var all []words.Shared
	for _, e := range t.Machines {
		for _, text := range work.Told(e.Work.Warnings) {
			all = words.Share(all, e.Machine, text)
		}
	}
	for i, s := range all {
		if i == 0 {
			fmt.Fprintln(w, "\nWarnings")
		}
		names := slices.Compact(s.Names)
		who := strings.Join(names, ", ")
		if len(names) == len(t.Machines) && len(names) > 1 {
			who = "all"
		}
		fmt.Fprint(w, words.Wrapped(who+": "+s.Text, "  ", tableWidth))
	}
}

// tableWidth is how wide the narrow table and what stands below it may be.
const tableWidth = 100

func (t *comparison) printBetter(w io.Writer, e *better.Entry) {
	if len(e.Better) == 0 {
		fmt.Fprintf(w, "\n%s: nothing was found that saves %s %% of its time\n", e.Machine,
			words.Number(100*better.WorthIt, 1))
		return
	}
	one := e.Work.Clock.Total()
	fmt.Fprintf(w, "\n%s would be quicker with\n", e.Machine)
	for _, i := range e.Better {
		fmt.Fprintf(w, "  %s\n", i.Change)
		text := fmt.Sprintf("saves %s a part, %s in all; %s", words.Saving(words.Seconds(i.Saved), one),
			words.Saving(words.Seconds(i.Hours*3600), words.Seconds(3600*e.Hours)), i.Drawback)
		fmt.Fprint(w, words.Wrapped(text, "    ", tableWidth))
	}
}

func (t *comparison) printNotes(w io.Writer) {
	fmt.Fprintln(w)
	if t.LoadingS == 0 {
		fmt.Fprintln(w, "Loading time not included: add --loading SECONDS.")
	}
	var examples, untested []string
	for _, e := range t.Machines {
		if e.Example {
			examples = append(examples, e.Machine)
		}
		if e.Untested {
			untested = append(untested, e.Settings)
		}
	}
	note := func(format string, all []string) {
		if len(all) > 0 {
			fmt.Fprint(w, words.Wrapped(fmt.Sprintf(format, strings.Join(all, ", ")), "", tableWidth))
		}
	}
	assumed, fitted := t.ranges()
	note("One part, until what is assumed is measured (furrow machines check lists it): %s.", assumed)
	note("One part, by the measured runs: %s.", fitted)
	note("Built-in examples, not your machines: %s.", examples)
	note("Never tested on scrap: %s.", untested)
	note("Built-in examples left out, since you have machines of your own; --machine names one: %s.", t.leftOut)
	fmt.Fprintln(w, "Doses cannot be compared across wavelengths, or across pulsed and continuous sources.")
	fmt.Fprintln(w, "Guidance only: prove settings on scrap; the machine's manual and local rules come first.")
}

// ranges are those of a part's time on each machine, until more of it is measured, or by the
// runs that it was fitted to.
func (t *comparison) ranges() (assumed, fitted []string) {
	for _, e := range t.Machines {
		between := e.Machine + " " + betweenWords(e)
		switch {
		case betweenWords(e) == "-":
		case len(e.Figures.Assumed) > 0:
			assumed = append(assumed, between)
		default:
			fitted = append(fitted, between)
		}
	}
	return assumed, fitted
}

// writeCSV writes a line for each machine, with units in the heads.
func (t *comparison) writeCSV(w io.Writer) error {
	c := csv.NewWriter(w)
	c.Write([]string{"machine", "fits", "why_not", "settings", "tested", "hours", "part_s", "mark_s",
		"overtravel_and_turn_s",
		"travel_s", "delays_s", "loading_s", "mean_power_w", "energy_j", "absorbed_j", "dose_j_cm2", "speed_mm_s",
		"quickest_mm_s"})
	for _, e := range t.Machines {
		p := e.Work.Clock.Parts
		row := []string{e.Machine, e.Fits, "", e.Settings, e.Tested}
		for _, v := range []float64{e.Hours, p.Total().Seconds(), p.Mark.Seconds(), turning(p).Seconds(),
			travelling(p).Seconds(), delays(p).Seconds(), t.LoadingS, e.MeanPowerW, e.EnergyJ,
			e.AbsorbedJ, e.DoseJPerCM2,
			e.SpeedMMPerS, e.Quickest} {
			row = append(row, words.Shortest(v))
		}
		c.Write(row)
	}
	for _, list := range [][]*better.Entry{t.Unfit, t.Unranked} {
		for _, e := range list {
			c.Write(append([]string{e.Machine, cmp.Or(e.Fits, "not ranked"), e.Why, e.Settings, e.Tested},
				make([]string, 13)...))
		}
	}
	c.Flush()
	return c.Error()
}
