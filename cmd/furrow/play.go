package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit/machine"
	"furrow/emit/play"

	"github.com/spf13/pflag"
)

var playCommand = command{
	name:     "play",
	synopsis: "OUT.mvl -o SAMPLES.wav|.raw|.csv",
	summary:  "turn a list into samples for two mirrors and a gate",
	about: `The samples are what the mirrors are sent and the gate is given, at the list's speeds,
with its jumps, delays, gate shifts and dots. A .wav has four channels of 16 bit: X, Y,
power, gate, X and Y over the whole field; .raw has the same numbers with a text beside
that says what they are; .csv is for looking. What plays them drives a class 4 laser:
the shutter, the interlock and the stop are the machine's, not the file's.`,
	setup: func(fs *pflag.FlagSet) runner {
		var c playFlags
		outputFlags(fs, &c.out, "the samples")
		fs.IntVar(&c.rate, "rate", 100_000, "samples a second, `HZ`, as the converter can hold")
		fs.StringVar(&c.machine, "machine", "", machineUsage)
		fs.BoolVar(&c.json, "json", false, "print the summary as JSON")
		quietFlag(fs)
		return c.run
	},
}

type playFlags struct {
	out     product.Output
	rate    int
	machine string
	json    bool
}

// playFigures is what play --json prints.
type playFigures struct {
	Samples int64   `json:"samples"`
	Rate    int     `json:"rate_hz"`
	Seconds float64 `json:"seconds"`
	Cut     int     `json:"jumps_closed_early"`
	File    string  `json:"file"`
}

func (c *playFlags) run(a *app, args []string) error {
	name, err := oneFile(args, "mark-vector list")
	if err != nil {
		return err
	}
	format := strings.ToLower(filepath.Ext(c.out.Path))
	if c.out.Path != "" && format != ".wav" && format != ".raw" && format != ".csv" {
		return fault.Usagef("samples %s: the name must end in .wav, .raw or .csv", c.out.Path)
	}
	if c.rate < play.LeastRate || c.rate > play.MostRate {
		return fault.Usagef("--rate %d is out of range: use %d to %d", c.rate, play.LeastRate, play.MostRate)
	}
	if err := c.out.Check(name); err != nil {
		return err
	}
	beside := product.Output{Path: c.out.Path + ".txt", Force: c.out.Force}
	if format == ".raw" {
		if err := beside.Check(name); err != nil {
			return err
		}
	}
	k, err := a.openWritten(name, c.machine, proof.Prove)
	if err != nil {
		return err
	}
	defer k.close()
	if !k.Moves.IsList() {
		return fault.Usagef("%s is G-code: only a mark-vector list can be played", name)
	}
	return c.play(a, k.File, format, beside)
}

// play writes the samples.
func (c *playFlags) play(a *app, f proof.File, format string, beside product.Output) error {
	n := play.Count(f.Report.Total(), c.rate)
	var report play.Report
	err := c.out.Write(a.stdout, func(w io.Writer) (err error) {
		block, err := c.blocks(w, f, format, n)
		if err != nil {
			return err
		}
		report, err = play.Run(f.Moves, profileOf(f), play.Options{Rate: c.rate}, block)
		return err
	})
	if err != nil {
		return err
	}
	if format == ".raw" {
		if err := beside.WriteBytes(a.stdout, []byte(c.rawWords(f, report))); err != nil {
			return err
		}
	}
	if report.Cut > 0 {
		fault.Say(a.stderr, "warning", fmt.Sprintf("the gate closes up to %d us early before %s: the list's mark delay is shorter than its laser-off delay",
			report.CutMost.Microseconds(), words.Plural(report.Cut, "jump")))
	}
	if c.json {
		return product.WriteJSON(a.besides(c.out, true), playFigures{Samples: report.Samples, Rate: c.rate,
			Seconds: f.Report.Total().Seconds(), Cut: report.Cut, File: c.out.Path})
	}
	_, err = fmt.Fprintf(a.besides(c.out, false), "%-12s %s at %s Hz, %s\n%-12s %s\n", "samples",
		words.Thousands(report.Samples),
		words.Thousands(int64(c.rate)), words.Time(f.Report.Total()), "written", c.out.Path)
	return err
}

// blocks returns what writes the samples of a list in a format.
func (c *playFlags) blocks(w io.Writer, f proof.File, format string, n int64) (func([]play.Sample) error, error) {
	switch format {
	case ".csv":
		out, err := play.NewCSV(w, c.rate)
		if err != nil {
			return nil, err
		}
		return out.Write, nil
	case ".wav":
		if err := play.WriteWAVHead(w, c.rate, n); err != nil {
			return nil, fault.Workf("%w", err)
		}
	}
	return play.NewPCM(w, f.Moves.Header.Field).Write, nil
}

// rawWords says what a file of bare numbers holds.
func (c *playFlags) rawWords(f proof.File, r play.Report) string {
	field := f.Moves.Header.Field
	return fmt.Sprintf(`samples of %s by furrow %s
rate        %d a second
samples     %d, %s
numbers     16 bit, signed, little-endian
channels    4 side by side: X, Y, power, gate
X           -32767 to 32767 over the field's width of %s mm
Y           -32767 to 32767 over the field's height of %s mm
power       0 to 32767 at full
gate        0 closed, 32767 open
`, filepath.Base(f.Name), version, c.rate, r.Samples, words.Time(f.Report.Total()), words.Shortest(field.X), words.Shortest(field.Y))
}

// profileOf is the machine's, where one is known.
func profileOf(f proof.File) (p machine.Profile) {
	if f.Machine != nil {
		p = f.Machine.Profile
	}
	return p
}
