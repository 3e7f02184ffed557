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
	"furrow/emit/gcode"
	"furrow/emit/machine"
	"furrow/emit/markvec"
	"furrow/emit/tune"

	"github.com/spf13/pflag"
)

var tuneCommand = command{
	name:     "tune",
	synopsis: "MACHINE [FILE|DIR ...] -o NEW.toml | MACHINE --stopwatch DIR",
	summary:  "fit a machine's profile to the times that furrow log wrote down",
	about: `Logged runs whose files are among those named, or in the folders named, are played by
the clock with other values until the times agree: of a gantry the acceleration of each
axis, the corner error, and what the head does where travel meets marking; of a galvo
jump speed and delays. The new profile never takes the place of the old file.

--stopwatch writes short runs with the beam off that tell these values apart best, a value
a run. Run each at the machine, beam off at its own switch, by a watch; then furrow log
each file with --measured, and tune. Two readings tell two values: x and y what rows
take; what they leave open is said, with the run that would tell it. A reading that is off
by 1 % makes an acceleration 2 % wrong and a corner error 4 %.`,
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
	json                bool
	opened              []openChecked
}

func (c *tuneFlags) run(a *app, args []string) error {
	if len(args) == 0 {
		return fault.Usagef("no machine named").Hintf("furrow machines lists them")
	}
	m, err := settings.FindMachine(args[0])
	if err != nil {
		return err
	}
	if c.stopwatch != "" {
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
		return fault.Workf("the values that fit make no profile: %w", err)
	}
	err = c.out.Write(a.stdout, func(w io.Writer) error {
		return writeNewProfile(w, settings.Machine{Profile: p, File: c.out.Path})
	})
	if err != nil {
		return err
	}
	return product.WriteBuffered(a.besides(c.out, c.json), func(w io.Writer) error {
		if c.json {
			return product.WriteJSON(w, fitFigures{Machine: p.ID, Values: fit.Values, Runs: fit.Runs, Rest: fit.Rest})
		}
		return c.print(w, m, fit)
	})
}

// fitFigures is what tune --json prints.
type fitFigures struct {
	Machine string        `json:"machine"`
	Values  []tune.Value  `json:"values"`
	Runs    []tune.Fitted `json:"runs"`
	Rest    bool          `json:"rests_at_travel"`
}

func (c *tuneFlags) check(m settings.Machine, files []string) error {
	if c.date == "" {
		c.date = time.Now().Format(time.DateOnly)
	} else if _, err := time.Parse(time.DateOnly, c.date); err != nil {
		return fault.Usagef("--date: %q is not a day: write it as 2026-12-01", c.date)
	}
	if len(files) == 0 {
		return fault.Usagef("no files of runs named").Hintf("name the files that were run, or the folders that they lie in")
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
		if !ok || r.MeasuredS <= 0 || r.What != runlog.Ran && r.What != runlog.Dry {
			continue
		}
		f, err := a.openWritten(file, m.ID, proof.Look)
		if err != nil && m.File != "" {
			f, err = a.openWritten(file, m.File, proof.Look)
		}
		if err != nil {
			return nil, err
		}
		c.opened = append(c.opened, f) // the clock reads it again and again
		runs = append(runs, tune.Run{Name: r.File + " " + r.Date, Moves: f.Moves, MeasuredS: r.MeasuredS})
	}
	if len(runs) == 0 {
		return nil, fault.Workf("none of these files stands with a measured time in %s", name).
			Hintf("furrow log FILE --measured 12:30 writes one down; furrow tune %s --stopwatch DIR makes short runs", m.ID)
	}
	return runs, nil
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
		p.Guessed = slices.DeleteFunc(slices.Clone(p.Guessed), func(k string) bool { return k == key })
		p.Measured = slices.DeleteFunc(slices.Clone(p.Measured), func(m machine.Measured) bool { return m.Key == key })
		p.Measured = append(p.Measured, machine.Measured{Key: key, Date: c.date, Percent: math.Round(percent[key]*10) / 10})
	}
	return p
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
	if m.IsGantry() {
		fmt.Fprintf(w, "\nWhere travel meets marking: %s\n", junctionWords(fit.Rest))
	}
	if len(open) > 0 {
		fmt.Fprintf(w, "\nNot told: %s; furrow tune %s --stopwatch DIR writes the runs.\n", strings.Join(open, ", "), m.ID)
	}
	fmt.Fprintf(w, "\n%-12s %s\n", "written", c.out.Path)
	return nil
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

// writeTrials writes the runs for a watch.
func (c *tuneFlags) writeTrials(a *app, m settings.Machine, rest []string) error {
	if len(rest) > 0 || c.out.Path != "" {
		return fault.Usagef("--stopwatch takes a machine and a folder alone")
	}
	if err := os.MkdirAll(c.stopwatch, 0o755); err != nil {
		return fault.Usagef("%w", err)
	}
	for _, t := range tune.Trials(m.Profile, tune.TrialS) {
		out := product.Output{Path: filepath.Join(c.stopwatch, t.Name+".nc"), Force: c.out.Force}
		if m.TakesList() {
			out.Path = filepath.Join(c.stopwatch, t.Name+".mvl")
		}
		if err := out.Check(m.File); err != nil {
			return err
		}
		if err := out.Write(a.stdout, func(w io.Writer) error { return encodeTrial(w, m, t) }); err != nil {
			return err
		}
		fmt.Fprintf(a.notes, "%-12s %s: tells %s\n", "written", out.Path, t.What)
	}
	fmt.Fprintln(a.notes, "next         beam off at the machine's own switch; nothing in the head's way; time each run by a watch,")
	fmt.Fprintf(a.notes, "             furrow log FILE --machine %s --measured 0:40, then furrow tune %s %s -o NEW.toml\n", m.ID, m.ID, c.stopwatch)
	for i, text := range m.Cautions() {
		fmt.Fprintf(a.notes, "%-12s %s\n", words.OnlyFirst("caution", i), text)
	}
	return nil
}

func encodeTrial(w io.Writer, m settings.Machine, t tune.Trial) error {
	comments := append([]string{"furrow " + version, "stopwatch run, beam off: tells " + t.What}, m.Cautions()...)
	if m.TakesList() {
		return markvec.Encoder{Comments: comments}.Encode(w, t.Moves)
	}
	return gcode.Encoder{Profile: m.Controller(), Comments: comments, BeamOff: true}.Encode(w, t.Moves)
}
