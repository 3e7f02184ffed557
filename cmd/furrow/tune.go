package main

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/runlog"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit"
	"furrow/emit/machine"
	"furrow/emit/tune"

	"github.com/spf13/pflag"
)

var tuneCommand = command{
	name:     "tune",
	synopsis: "MACHINE [FILE|DIR ...] -o NEW.toml | MACHINE --stopwatch DIR",
	summary:  "fit a machine's profile to the times that furrow log wrote down",
	about: `The logged runs of the files and folders named are timed again with other values until
the times agree: on a gantry the acceleration of each axis, the corner error, and what
the head does where travel meets marking; on a galvo the jump speed and the delays. The
new profile never replaces the old file.

--stopwatch writes short runs with the beam off that tell these values apart. Run each at
the machine, beam off at its own switch, and time it with a watch; then furrow log each
file with --measured, once for each reading, and tune. The first two alone, x and y of a gantry or
rows and outlines of a galvo, are enough for other jobs within 5 %, but for a gantry's
outlines, which need corners too. What the runs leave open is said, with the run that would
settle it. A reading 1 % off makes an acceleration 2 % wrong and a corner error 4 %;
three readings of each bring all but a galvo's jump delay within 3 %.`,
	example: `furrow tune mine --stopwatch runs
furrow tune mine runs -o tuned.toml`,
	setup: func(fs *pflag.FlagSet) runner {
		var c tuneFlags
		outputFlags(fs, &c.out, "the new profile")
		fs.StringVar(&c.stopwatch, "stopwatch", "", "write short runs with the beam off into the folder `DIR`")
		fs.StringVar(&c.date, "date", "", "the `DAY` that the values are marked with, as 2026-12-01 (default today)")
		fs.StringVar(&c.id, "id", "", "the `ID` of the new profile (default: that of the old one)")
		fs.BoolVar(&c.json, "json", false, "print the fit as JSON")
		quietFlag(fs)
		return c.run
	},
}

type tuneFlags struct {
	out                 product.Output
	stopwatch, date, id string
	named               string // the machine, as it was
	json                bool
	opened              map[string]openChecked // by their names
	files               []string               // of the runs, in their sequence
}

func (c *tuneFlags) run(a *app, args []string) error {
	if len(args) == 0 {
		return fault.Usagef("no machine named").Hintf("furrow machines lists them")
	}
	m, err := settings.FindMachine(args[0])
	if err != nil {
		return err
	}
	if c.named = args[0]; c.stopwatch != "" {
		return c.writeTrials(a, m, args[1:])
	}
	if err := c.check(m, args[1:]); err != nil {
		return err
	}
	defer func() {
		for _, f := range c.opened {
			f.close()
		}
	}()
	runs, err := c.logged(a, m, args[1:])
	if err != nil {
		return err
	}
	fit, err := tune.Fit(m.Profile, runs)
	if err != nil {
		return fault.Workf("%w", err)
	}
	p := c.marked(fit)
	if err := p.Validate(); err != nil {
		return c.noProfile(fit, err)
	}
	a.doubtFit(m, p, c.out.Path)
	err = c.out.Write(a.stdout, func(w io.Writer) error {
		return writeNewProfile(w, settings.Machine{Profile: p, File: c.out.Path})
	})
	if err != nil {
		return err
	}
	return product.WriteBuffered(a.besides(c.out, c.json), func(w io.Writer) error {
		if c.json {
			return product.WriteJSON(w, figuresOf(p.ID, fit))
		}
		if err := c.print(w, m, fit); err != nil {
			return err
		}
		return c.tellNext(w, m, p)
	})
}

// fitFigures is what tune --json prints.
type fitFigures struct {
	Machine string        `json:"machine"`
	Values  []tune.Value  `json:"values"`
	Runs    []tune.Fitted `json:"runs"`
	Rest    *bool         `json:"rests_at_travel,omitempty"` // left out where the runs do not tell
}

func figuresOf(id string, fit tune.Result) fitFigures {
	f := fitFigures{Machine: id, Values: fit.Values, Runs: fit.Runs}
	if fit.RestTold {
		f.Rest = &fit.Rest
	}
	return f
}

func (c *tuneFlags) check(m settings.Machine, files []string) error {
	if c.date == "" {
		c.date = time.Now().Format(time.DateOnly)
	} else if _, err := time.Parse(time.DateOnly, c.date); err != nil {
		return fault.Usagef("--date: %q is not a day: write it as 2026-12-01", c.date)
	}
	if len(files) == 0 {
		return fault.Usagef("no files of runs named").
			Hintf("name the files that were run, or the folders that they lie in")
	}
	return c.out.Check(m.File)
}

// logged finds the files of the machine's log among those named.
func (c *tuneFlags) logged(a *app, m settings.Machine, names []string) ([]tune.Run, error) {
	name, err := machineLog(m.ID)
	if err != nil {
		return nil, err
	}
	all, damaged, err := runlog.Read(name)
	if err != nil {
		return nil, fault.Unreadable(err)
	}
	for _, d := range damaged {
		fault.Say(a.stderr, "warning", fmt.Sprintf("%s: %v: left out", name, d))
	}
	files, err := byDigest(names)
	if err != nil {
		return nil, err
	}
	var runs []tune.Run
	for _, r := range all {
		file, ok := files[r.SHA256]
		if ok && r.What == runlog.Doubtful {
			tellDoubtful(a, file, r)
		}
		if !ok || r.MeasuredS <= 0 || r.What != runlog.Ran && r.What != runlog.Dry {
			continue
		}
		moves, err := c.movesOf(a, m, file)
		if err != nil {
			return nil, err
		}
		c.files = append(c.files, file)
		runs = append(runs, tune.Run{Name: r.File + " " + r.Date, File: file, Moves: moves, MeasuredS: r.MeasuredS})
	}
	if len(runs) == 0 {
		return nil, fault.Workf("none of these files stands with a measured time in %s", name).
			Hintf("furrow log FILE --measured 12:30 writes one down; furrow tune %s --stopwatch DIR makes short runs",
				c.named)
	}
	return runs, nil
}

// movesOf opens a file of runs, of which there may be many, once: the clock reads it again and again.
func (c *tuneFlags) movesOf(a *app, m settings.Machine, file string) (emit.Moves, error) {
	if f, had := c.opened[file]; had {
		return f.Moves, nil
	}
	f, err := a.openWritten(file, m.ID, proof.Look)
	if err != nil && m.File != "" {
		f, err = a.openWritten(file, m.File, proof.Look)
	}
	if err != nil {
		return emit.Moves{}, err
	}
	if c.opened == nil {
		c.opened = map[string]openChecked{}
	}
	c.opened[file] = f
	return f.Moves, nil
}

// tellDoubtful names a run that is left out since its time was never said to be right.
func tellDoubtful(a *app, file string, r runlog.Run) {
	fault.Say(a.stderr, "warning", fmt.Sprintf("%s: left out: furrow send found it doubtful, where %s was predicted; "+
		"furrow log %s --measured TIME --sure writes down what a watch says", runWords(r),
		stopwatch(r.Predicted.TotalS), file))
}

// noProfile names the runs at fault for values that no machine has: the one furthest off
// what the profile says, and those that are half as far off or more.
func (c *tuneFlags) noProfile(fit tune.Result, err error) error {
	off := func(i int) float64 { return math.Abs(math.Log(fit.Runs[i].BeforeS / fit.Runs[i].MeasuredS)) }
	worst := 0
	for i := range fit.Runs {
		if off(i) > off(worst) {
			worst = i
		}
	}
	text := ""
	for i, r := range fit.Runs {
		if off(i) >= off(worst)/2 {
			text += fmt.Sprintf("\n  %s: measured %s, by the profile %s", r.Name, stopwatch(r.MeasuredS),
				stopwatch(r.BeforeS))
		}
	}
	return fault.Workf("the values that fit make no profile: %w\nthe runs furthest off what the profile says:%s",
		err, text).
		Hintf("one that was written down wrongly is struck by furrow log %s --withdraw; a run that is not named is "+
			"left out too", c.files[worst])
}

// byDigest lists controllers' files by their SHA-256, those in folders too.
func byDigest(names []string) (map[string]string, error) {
	files := map[string]string{}
	for _, name := range names {
		err := filepath.WalkDir(name, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || path != name && !isWritten(path) {
				return err
			}
			data, err := os.Open(path)
			if err != nil {
				return err
			}
			defer data.Close()
			sum := sha256.New()
			if _, err := io.Copy(sum, data); err != nil {
				return err
			}
			files[hex.EncodeToString(sum.Sum(nil))] = path
			return nil
		})
		if err != nil {
			return nil, fault.Unreadable(err)
		}
	}
	return files, nil
}

// marked is the fitted profile with what the runs tell marked as measured. What they
// do not tell stays as it was, assumed or not.
func (c *tuneFlags) marked(fit tune.Result) machine.Profile {
	p := fit.Profile
	if c.id != "" {
		p.ID = c.id
	}
	if fit.RestTold {
		p = junctionSaid(p, fit.Rest)
	}
	percent, told := map[string]float64{}, map[string]bool{}
	var keys []string
	for _, v := range fit.Values {
		if !slices.Contains(keys, v.Key) {
			keys = append(keys, v.Key)
			told[v.Key] = true
		}
		percent[v.Key], told[v.Key] = math.Max(percent[v.Key], v.Percent), told[v.Key] && v.Told
	}
	for _, key := range keys {
		if !told[key] {
			continue
		}
		p.Guessed = without(p.Guessed, key)
		p.Measured = slices.DeleteFunc(slices.Clone(p.Measured), func(m machine.Measured) bool { return m.Key == key })
		p.Measured = append(p.Measured, machine.Measured{Key: key, Date: c.date,
			Percent: math.Round(percent[key]*10) / 10})
	}
	return p
}

// junctionSaid is the profile with what the head does where travel meets marking.
func junctionSaid(p machine.Profile, rest bool) machine.Profile {
	g := *p.Gantry
	g.TravelJunction = machine.JunctionCorner
	if rest {
		g.TravelJunction = machine.JunctionRest
	}
	p.Gantry, p.Guessed = &g, without(p.Guessed, "gantry.travel_junction")
	return p
}

func without(keys []string, key string) []string {
	return slices.DeleteFunc(slices.Clone(keys), func(k string) bool { return k == key })
}

// print shows each run before and after, and the values.
func (c *tuneFlags) print(w io.Writer, m settings.Machine, fit tune.Result) error {
	runs := words.Table{Heads: []string{"RUN", "MEASURED", "BEFORE", "AFTER", "OFF BY"}}
	for _, r := range fit.Runs {
		off := fmt.Sprintf("%+.1f %%", 100*(r.AfterS/r.MeasuredS-1))
		if r.Outlier {
			off += ", left out: no values explain it"
		}
		runs.Add(r.Name, stopwatch(r.MeasuredS), stopwatch(r.BeforeS), stopwatch(r.AfterS), off)
	}
	values := words.Table{Heads: []string{"VALUE", "BEFORE", "AFTER", "PLUS OR MINUS"}}
	var open []string
	for _, v := range fit.Values {
		within := words.Number(v.Percent, 1) + " %"
		if !v.Told {
			within = "these runs do not tell it"
			if v.After != v.Before {
				within = "told with others only"
			}
			open = append(open, v.What+toldBy(m, v.What))
		}
		values.Add(v.What, words.Number(v.Before, 4), words.Number(v.After, 4), within)
	}
	if err := runs.Write(w); err != nil {
		return err
	}
	fmt.Fprintln(w)
	if err := values.Write(w); err != nil {
		return err
	}
	if m.IsGantry() && fit.RestTold {
		fmt.Fprintf(w, "\nWhere travel meets marking: %s\n", junctionWords(fit.Rest))
	} else if m.IsGantry() {
		open = append(open, tune.AtTravel+toldBy(m, tune.AtTravel))
	}
	if half := halfTold(m, fit); len(half) > 0 {
		fmt.Fprintf(w, "\nTold and not written, since what stands in the same key is not told: %s.\n",
			strings.Join(half, ", "))
	}
	if len(open) > 0 {
		fmt.Fprintf(w, "\nNot told: %s; furrow tune %s --stopwatch DIR writes the runs.\n",
			strings.Join(open, ", "), c.named)
	}
	return nil
}

// halfTold lists values that are told while another one of their key is not: where the key was
// assumed it stays so, or the other would pass as measured.
func halfTold(m settings.Machine, fit tune.Result) (all []string) {
	for _, v := range fit.Values {
		half := slices.ContainsFunc(fit.Values, func(o tune.Value) bool { return o.Key == v.Key && !o.Told })
		if v.Told && half && slices.Contains(m.Guessed, v.Key) {
			all = append(all, v.What)
		}
	}
	return all
}

// toldBy names the stopwatch run that tells a value.
func toldBy(m settings.Machine, what string) string {
	for _, t := range tune.Trials(m.Profile, 1) {
		if t.What == what {
			return " (the run " + t.Name + " would)"
		}
	}
	return ""
}

func junctionWords(rest bool) string {
	if rest {
		return "the head stops (rest)"
	}
	return "the head runs on as over any corner (corner)"
}

func stopwatch(s float64) string { return words.Time(words.Seconds(s)) }
