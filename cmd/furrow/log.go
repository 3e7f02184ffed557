package main

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/order"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/runlog"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit/clock"

	"github.com/spf13/pflag"
)

var logCommand = command{
	name:     "log",
	synopsis: "DIR|OUT.nc|OUT.mvl --measured TIME | --accept | --withdraw [flags]",
	summary:  "write down a measured time, or that the first article is accepted",
	about: `The time goes to runs.csv in the order's folder and to the machine's own log in your
settings folder, beside the time that was predicted. Lines are only ever added:
--withdraw strikes out a wrong one by one more, and furrow tune then leaves both out. Of
several runs of a file, --measured and --date say which.`,
	example: `furrow log spring --load 1 --measured 28:40
furrow log spring --accept`,
	setup: func(fs *pflag.FlagSet) runner {
		var c logFlags
		fs.StringVar(&c.measured, "measured", "", "the time by a watch, `TIME` as 12:30, 1:02:30 or 45s")
		fs.BoolVar(&c.accept, "accept", false, "the first article is accepted")
		fs.BoolVar(&c.withdraw, "withdraw", false,
			"strike the run of this file that was written down, or with --accept the acceptance")
		fs.Var((*nth)(&c.load), "load", "load `N` of the order's folder")
		fs.StringVar(&c.parts, "parts", "", "the parts that were made, `PARTS` as 3-5")
		fs.StringVar(&c.note, "note", "", "anything else, `TEXT`")
		fs.StringVar(&c.date, "date", "", "`DAY` of the run, as 2026-12-01 (default today)")
		fs.StringVar(&c.machine, "machine", "", machineUsage)
		fs.BoolVar(&c.sure, "sure", false, "write it down although the time is far off the prediction, or stands in "+
			"the log already")
		fs.BoolVar(&c.json, "json", false, "print what was written down as JSON")
		quietFlag(fs)
		return c.run
	},
}

type logFlags struct {
	measured, parts, note, date, machine string
	accept, withdraw, json, sure         bool
	load                                 int
}

func (c *logFlags) run(a *app, args []string) error {
	name, err := oneFile(args, "order's folder or written file")
	if err != nil {
		return err
	}
	r, err := c.begin()
	if err != nil {
		return err
	}
	a.logCutShort()
	if c.withdraw {
		return c.strike(a, name, r)
	}
	file, err := c.file(name)
	if err != nil {
		return err
	}
	if file != "" {
		if err := c.predict(a, file, &r); err != nil {
			return err
		}
		if err := c.inOrder(a, file, &r); err != nil {
			return err
		}
	}
	return c.write(a, name, r)
}

// anyOrder is more parts than any order has.
const anyOrder = 1_000_000

// begin is the run as far as the flags tell it.
func (c *logFlags) begin() (runlog.Run, error) {
	r := runlog.Run{Date: c.date, Load: c.load, Parts: c.parts, Note: c.note, What: runlog.Ran}
	switch {
	case c.withdraw && c.accept && c.measured == "":
		r.What = runlog.Accepted
	case c.withdraw && c.measured == "":
	case c.accept && c.measured != "":
		return r, fault.Usagef("--accept and --measured at once").Hintf("write each down by itself")
	case !c.accept && c.measured == "":
		return r, fault.Usagef("nothing to write down").Hintf("add --measured 12:30, or --accept for the first article")
	case c.accept:
		r.What = runlog.Accepted
	default:
		if _, err := order.ParseNumbers(c.parts, anyOrder); c.parts != "" && err != nil {
			return r, err
		}
		took, err := words.ParseTime(c.measured)
		if err != nil {
			return r, fault.Usagef("--measured: %w", err)
		}
		r.MeasuredS = took.Seconds()
	}
	if r.Date == "" && !c.withdraw {
		r.Date = time.Now().Format(time.DateOnly)
	} else if _, err := time.Parse(time.DateOnly, r.Date); r.Date != "" && err != nil {
		return r, fault.Usagef("--date: %q is not a day: write it as 2026-12-01", r.Date)
	}
	return r, nil
}

// file is the controller's file that was run; none where only the folder is known.
func (c *logFlags) file(name string) (string, error) {
	info, err := os.Stat(name)
	if err != nil {
		return "", fault.Unreadable(err)
	}
	if !info.IsDir() {
		return name, nil
	}
	old, err := order.Open(name)
	if err != nil {
		return "", err
	}
	if c.accept {
		return "", nil
	}
	if _, err := order.ParseNumbers(c.parts, old.Parts); c.parts != "" && err != nil {
		return "", err
	}
	file, err := old.FileOfLoad(c.load)
	return filepath.Join(name, file), err
}

// predict adds what the file is and how long it should take.
func (c *logFlags) predict(a *app, file string, r *runlog.Run) error {
	k, err := a.openWritten(file, c.machine, proof.Prove)
	if err != nil {
		return err
	}
	defer k.close()
	if k.Machine == nil || !k.Timed {
		return fault.Usagef("%s names no known profile", file).Hintf("add --machine")
	}
	if err := c.plausible(r.MeasuredS, k.File); err != nil {
		return err
	}
	sum, err := sumOf(file)
	if err != nil {
		return err
	}
	describe(r, k.File, sum)
	return nil
}

// sumOf is the SHA-256 of a file, in hex.
func sumOf(file string) (string, error) {
	data, err := os.Open(file)
	if err != nil {
		return "", fault.Unreadable(err)
	}
	defer data.Close()
	sum := sha256.New()
	if _, err := io.Copy(sum, data); err != nil {
		return "", err
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}

// describe adds what a file of a known machine is, and how long it should take.
func describe(r *runlog.Run, f proof.File, sum string) {
	r.File, r.SHA256 = filepath.Base(f.Name), sum
	r.Machine, r.Profile, r.Predicted = f.Machine.ID, f.Machine.Hash(), splitOf(f.Report.Parts)
}

// farOff is how many times a measured time may lie beyond what is predicted and, by what
// nobody measured of the machine, possible. Our own choice.
const farOff = 1.5

// plausible bounds the measured times that a file of a known machine may have taken, s.
func plausible(f proof.File) (least, most float64) {
	least, most = f.Report.Total().Seconds(), f.Report.Total().Seconds()
	if f.Span.Known() {
		least, most = f.Span.Low.Seconds(), f.Span.High.Seconds()
	}
	return least / farOff, most * farOff
}

// plausible asks about a time that is no time of the file's: a log is only added to.
func (c *logFlags) plausible(measuredS float64, f proof.File) error {
	least, most := plausible(f)
	if c.sure || measuredS == 0 || measuredS >= least && measuredS <= most {
		return nil
	}
	return fault.Workf("measured %s, where %s takes %s%s", words.Time(words.Seconds(measuredS)), f.Name,
		words.Time(f.Report.Total()), f.Span.Words()).
		Hintf("%sis it the file that was run, and all of it? --sure writes it down all the same",
			slipWords(measuredS, least/farOff, most*farOff))
}

// slipWords asks about minutes that were written as hours, or the other way round.
func slipWords(measuredS, least, most float64) string {
	for _, times := range []float64{60, 1. / 60} {
		if s := measuredS * times; s >= least && s <= most {
			as := "minutes and seconds"
			if s >= 3600 {
				as = "hours, minutes and seconds"
			}
			return fmt.Sprintf("--measured %s would fit, in %s; ", words.Time(words.Seconds(s)), as)
		}
	}
	return ""
}

// notTwice asks about a run that stands in the log already.
func (c *logFlags) notTwice(name string, r runlog.Run) error {
	if c.sure {
		return nil
	}
	old, _, err := runlog.Read(name)
	if err != nil {
		return fault.Workf("%s: %w", name, err)
	}
	if slices.Contains(old, r) {
		return fault.Workf("the same run stands in %s already", name).Hintf("--sure writes it down once more")
	}
	return nil
}

// splitOf is a time in the columns of the log.
func splitOf(p clock.Parts) runlog.Split {
	return runlog.Split{
		TotalS: p.Total().Seconds(), MarkS: p.Mark.Seconds(), OvertravelS: p.Overtravel.Seconds(),
		TurnS:   p.Turn.Seconds(),
		TravelS: p.Travel.Seconds(), CornerS: p.Corner.Seconds(), JumpS: p.Jump.Seconds(),
		JumpDelayS: p.JumpDelay.Seconds(),
		MarkDelayS: p.MarkDelay.Seconds(), CornerDelayS: p.CornerDelay.Seconds(), WaitS: p.Wait.Seconds(),
	}
}

// loggedFigures is what log --json and send --json print.
type loggedFigures struct {
	Logs       []string `json:"logs"`
	What       string   `json:"what"`
	Date       string   `json:"date"`
	File       string   `json:"file,omitempty"`
	Machine    string   `json:"machine,omitempty"`
	Load       int      `json:"load,omitempty"`
	Parts      string   `json:"parts,omitempty"`
	MeasuredS  float64  `json:"measured_s,omitempty"`
	PredictedS float64  `json:"predicted_s,omitempty"`
}

// write adds a run to the logs, unless it stands there already.
func (c *logFlags) write(a *app, name string, r runlog.Run) error {
	logs, err := runLogs(name, r.Machine)
	if err != nil {
		return err
	}
	for _, l := range logs {
		if err := c.notTwice(l, r); err != nil {
			return err
		}
	}
	if c.json {
		return a.writeRunJSON(name, r)
	}
	return a.writeRun(name, r)
}

// writeRunJSON is writeRun that prints what was written down for a program.
func (a *app) writeRunJSON(name string, r runlog.Run) error {
	logs, err := runLogs(name, r.Machine)
	if err == nil {
		err = appendRun(logs, r)
	}
	if err != nil {
		return err
	}
	return product.WriteJSON(a.stdout, loggedOf(logs, r))
}

func loggedOf(logs []string, r runlog.Run) loggedFigures {
	return loggedFigures{Logs: logs, What: string(r.What), Date: r.Date, File: r.File, Machine: r.Machine,
		Load: r.Load, Parts: r.Parts, MeasuredS: r.MeasuredS, PredictedS: r.Predicted.TotalS}
}

// runLogs are the logs that a run of a file, or of an order's folder, on a machine belongs into.
func runLogs(name, machine string) (logs []string, err error) {
	if dir := orderFolder(name); dir != "" {
		logs = append(logs, filepath.Join(dir, order.LogName))
	}
	if machine == "" {
		return logs, nil
	}
	own, err := machineLog(machine)
	return append(logs, own), err
}

func appendRun(logs []string, r runlog.Run) error {
	for _, l := range logs {
		if err := runlog.Append(l, r); err != nil {
			return fault.Workf("%s: %w", l, err)
		}
	}
	return nil
}

// writeRun adds a run of a file, or of an order's folder, to the logs.
func (a *app) writeRun(name string, r runlog.Run) error {
	logs, err := runLogs(name, r.Machine)
	if err == nil {
		err = appendRun(logs, r)
	}
	if err != nil {
		return err
	}
	for _, l := range logs {
		fmt.Fprintf(a.notes, "%-12s %s\n", "written", l)
	}
	if r.MeasuredS > 0 && r.Predicted.TotalS > 0 && r.What != runlog.Stopped && r.What != runlog.Withdrawn {
		fmt.Fprintf(a.notes, "%-12s %s, predicted %s: %+.1f %%\n", "measured", words.Time(words.Seconds(r.MeasuredS)),
			words.Time(words.Seconds(r.Predicted.TotalS)), 100*(r.MeasuredS/r.Predicted.TotalS-1))
	}
	return nil
}

// orderFolder is the order's folder that a name is, or lies in; "" for none.
func orderFolder(name string) string {
	for _, dir := range []string{name, filepath.Dir(name)} {
		if _, err := os.Stat(filepath.Join(dir, order.RecordName)); err == nil {
			return dir
		}
	}
	return ""
}

// machineLog is the log of a machine in the folder of settings, which is made.
func machineLog(id string) (string, error) {
	dir, err := settings.Folder("runs")
	if err != nil {
		return "", err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil && !errors.Is(err, fs.ErrExist) {
		return "", fault.Usagef("%w", err)
	}
	return filepath.Join(dir, strings.ReplaceAll(id, string(filepath.Separator), "-")+".csv"), nil
}
