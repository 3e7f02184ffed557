package main

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"furrow/cmd/furrow/internal/better"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit/clock"
)

// print writes the table and what stands below it.
func (t *comparison) print(w io.Writer) error {
	fmt.Fprintf(w, "%s, %s", t.Job, words.Plural(t.Quantity, "part"))
	if t.Material != "" {
		fmt.Fprintf(w, ", %s", t.Material)
	}
	fmt.Fprintln(w)
	if len(t.Machines)+len(t.Unfit) > 0 {
		fmt.Fprintln(w)
	}
	if err := t.printTable(w); err != nil {
		return err
	}
	t.printRest(w, "Does not fit", t.Unfit)
	t.printRest(w, "Not ranked", t.Unranked)
	for _, e := range slices.Concat(t.Machines, t.Unfit) {
		if len(e.Others) > 0 {
			fmt.Fprintf(w, "\n%s has more than one recipe for %s: %s was taken; for another add --use %s=%s\n",
				e.Machine, t.Material, e.Settings, e.Machine, strings.Join(e.Others, " or "))
		}
	}
	for _, e := range t.Machines {
		printWarnings(e, w)
	}
	for _, e := range t.Looked() {
		t.printBetter(w, e)
	}
	t.printNotes(w)
	return nil
}

// printTable prints a row a machine, quickest first, and then those that the work
// does not fit.
func (t *comparison) printTable(w io.Writer) error {
	if len(t.Machines)+len(t.Unfit) == 0 {
		return nil
	}
	tab := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(tab, "MACHINE\tFITS\tHOURS\tONE PART\tBETWEEN\tMARKING\tTURNING\tTRAVEL\tDELAYS\tLOADING\t"+
		"POWER\tENERGY\tDOSE\tRISE\tSPEED\tQUICKEST\tRECIPE")
	fmt.Fprintln(tab, "\t\t\t\t\t\t\t\t\t\tW\tJ\tJ/cm2\tK\tmm/s\tmm/s\t")
	for _, e := range t.Machines {
		p := e.Work.Clock.Parts
		row := []string{
			e.Machine, e.Fits, words.Number(e.Hours, 2), words.Time(p.Total()), betweenWords(e), words.Time(p.Mark),
			orDash(turning(p)), orDash(travelling(p)),
			orDash(delays(p)), orDash(words.Seconds(t.LoadingS)), words.Number(e.MeanPowerW, 1), energyWords(e),
			words.Number(e.DoseJPerCM2, 1), e.Heat.Rise(),
			words.Number(e.SpeedMMPerS, 0), words.Number(e.Quickest, 0), e.Settings + ", " + e.Tested,
		}
		fmt.Fprintln(tab, strings.Join(row, "\t"))
	}
	for _, e := range t.Unfit {
		fmt.Fprintln(tab, e.Machine+"\t"+e.Fits+strings.Repeat("\t-", 14)+"\t"+e.Settings+", "+e.Tested)
	}
	return tab.Flush()
}

// betweenWords tells the span of a part's time, by what is assumed of the machine.
func betweenWords(e *better.Entry) string {
	if e.Figures.Most == 0 {
		return "-"
	}
	return words.Time(words.Seconds(e.Figures.Least)) + " to " + words.Time(words.Seconds(e.Figures.Most))
}

// energyWords tells the energy of a part, and how much of it the material takes
// in, where that is known.
func energyWords(e *better.Entry) string {
	if e.AbsorbedJ == 0 {
		return words.Number(e.EnergyJ, 0)
	}
	return fmt.Sprintf("%s, %s taken in", words.Number(e.EnergyJ, 0), words.Number(e.AbsorbedJ, 0))
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

func turning(p clock.Parts) time.Duration    { return p.Overtravel + p.Turn }
func travelling(p clock.Parts) time.Duration { return p.Travel + p.Corner + p.Jump }

func delays(p clock.Parts) time.Duration { return p.JumpDelay + p.MarkDelay + p.CornerDelay + p.Wait }

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

func printWarnings(e *better.Entry, w io.Writer) {
	told := work.Told(e.Work.Warnings)
	for _, text := range told {
		fmt.Fprintf(w, "\nwarning for %s: %s", e.Machine, text)
	}
	if len(told) > 0 {
		fmt.Fprintln(w)
	}
}

func (t *comparison) printBetter(w io.Writer, e *better.Entry) {
	if len(e.Better) == 0 {
		fmt.Fprintf(w, "\n%s: nothing was found that saves %s %% of its time\n", e.Machine,
			words.Number(100*better.WorthIt, 1))
		return
	}
	one := e.Work.Clock.Total()
	fmt.Fprintf(w, "\n%s would be quicker with\n", e.Machine)
	for _, i := range e.Better {
		fmt.Fprintf(w, "  %s\n    saves %s a part, %s in all; %s\n", i.Change, words.Saving(words.Seconds(i.Saved), one),
			words.Saving(words.Seconds(i.Hours*3600), words.Seconds(3600*e.Hours)), i.Drawback)
	}
}

func (t *comparison) printNotes(w io.Writer) {
	fmt.Fprintln(w)
	if t.LoadingS == 0 {
		fmt.Fprintln(w, "Loading time not included: add --loading SECONDS.")
	}
	for _, e := range t.Machines {
		if len(e.Figures.Assumed) > 0 && !e.Example {
			fmt.Fprintf(w, "The time of %s rests on values that nobody measured: furrow machines check %s lists them.\n", e.Machine, e.Machine)
		}
		if e.Example {
			fmt.Fprintf(w, "%s is a built-in example, not your machine.\n", e.Machine)
		}
	}
	fmt.Fprintln(w, "Doses cannot be compared across wavelengths, or across pulsed and continuous sources.")
	fmt.Fprintln(w, "Guidance only: prove settings on scrap; the machine's manual and local rules come first.")
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
			travelling(p).Seconds(), delays(p).Seconds(), t.LoadingS, e.MeanPowerW, e.EnergyJ, e.AbsorbedJ, e.DoseJPerCM2,
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
