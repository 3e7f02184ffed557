package main

import (
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/view"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/emit/play"
	"furrow/path"

	"github.com/spf13/pflag"
)

var playCommand = command{
	name:     "play",
	synopsis: "OUT.mvl -o SAMPLES.wav|.raw|.csv",
	summary:  "turn a list into samples for two mirrors and a gate",
	about: `The samples drive the mirrors and the gate at the list's speeds, with its jumps, delays,
gate shifts and dots. A .wav has four channels of 16 bit: X, Y,
power, gate, with X and Y over the whole field; .raw has the same numbers, and a text
beside it that says what they are; .csv is for looking. A list whose places are not corrected yet is
corrected as the machine's profile says. What plays the samples drives a class 4 laser:
the shutter, the interlock and the stop are the machine's, not the file's.

With --as-driven the samples are where the mirrors get to, not where they are sent. They
show what the delays do, and are not for playing; furrow preview --show rows --as-driven
draws the same.`,
	example: "furrow play tag.mvl -o tag.wav --rate 48000",
	setup: func(fs *pflag.FlagSet) runner {
		var c playFlags
		outputFlags(fs, &c.out, "the samples")
		c.rate = 100_000
		fs.Var((*hertz)(&c.rate), "rate", "samples a second, `HZ` as 48000 or 48kHz, as the converter can hold")
		value.Add(fs, &c.driven, value.Entry{Name: "as-driven", Takes: "LAG", Alone: view.ProfileLag,
			Usage: "where mirrors get to that trail their command, by the profile's tracking lag or by LAG " +
				"microseconds"})
		fs.StringVar(&c.machine, "machine", "", machineUsage)
		fs.BoolVar(&c.json, "json", false, "print the summary as JSON")
		quietFlag(fs)
		return c.run
	},
}

type playFlags struct {
	out     product.Output
	rate    int
	driven  *view.Lag
	machine string
	json    bool
}

// hertz is a whole number of times a second, with or without its unit.
type hertz int

func (h *hertz) Set(text string) error {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil {
		var f float64
		if f, err = path.ParseFrequency(text); err != nil || f != math.Trunc(f) || f > math.MaxInt32 {
			return fmt.Errorf("%q is no whole number of Hz: write 48000 or 48kHz", text)
		}
		n = int(f)
	}
	*h = hertz(n)
	return nil
}

func (h *hertz) String() string { return strconv.Itoa(int(*h)) }

// Type names no type in the help: the unit is in the text.
func (*hertz) Type() string { return "hertz" }

// playFigures is what play --json prints.
type playFigures struct {
	Samples   int64    `json:"samples"`
	Rate      int      `json:"rate_hz"`
	Seconds   float64  `json:"seconds"`
	Corrected bool     `json:"corrected_here"`
	LagUS     float64  `json:"as_driven_lag_us,omitempty"`
	Cut       int      `json:"jumps_closed_early"`
	Lost      []string `json:"not_in_the_samples,omitempty"`
	File      string   `json:"file"`
}

// played is a list that is ready to be played.
type played struct {
	name      string
	moves     emit.Moves
	profile   machine.Profile // the zero value where none is known
	total     time.Duration
	lag       time.Duration // of mirrors that follow; 0 without
	corrected bool          // here, by the profile
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
	k, err := a.openWritten(name, c.machine, proof.ProveToPlay)
	if err != nil {
		return err
	}
	defer k.close()
	p, err := c.prepare(k.File)
	if err != nil {
		return err
	}
	return c.play(a, p, format, beside)
}

// prepare corrects a list where it has to be, and times it.
func (c *playFlags) prepare(f proof.File) (p played, err error) {
	if !f.Moves.IsList() {
		return p, fault.Usagef("%s is G-code: only a mark-vector list can be played", f.Name)
	}
	p = played{name: f.Name, moves: f.Moves, total: f.Report.Total()}
	if f.Machine != nil {
		p.profile = f.Machine.Profile
	}
	if c.driven != nil {
		if p.lag, err = c.driven.Of(known(f)); err != nil {
			return p, err
		}
	}
	if p.moves, p.corrected, err = emit.Corrected(f.Moves, p.profile); err != nil {
		return p, fault.Workf("%s: %w", f.Name, err)
	}
	if p.corrected {
		r, err := clock.Run(p.moves, p.profile)
		if err != nil {
			return p, fault.Workf("%s: %w", f.Name, err)
		}
		p.total = r.Total()
	}
	return p, nil
}

// known is the machine's profile, nil where none is.
func known(f proof.File) *machine.Profile {
	if f.Machine == nil {
		return nil
	}
	return &f.Machine.Profile
}

// play writes the samples.
func (c *playFlags) play(a *app, p played, format string, beside product.Output) error {
	lost, err := p.lost()
	if err != nil {
		return err
	}
	var report play.Report
	err = c.out.Write(a.stdout, func(w io.Writer) (err error) {
		block, err := c.blocks(w, p, format)
		if err != nil {
			return err
		}
		if p.lag > 0 {
			block = play.AsDriven(p.lag, c.rate, block)
		}
		report, err = play.Run(p.moves, p.profile, play.Options{Rate: c.rate}, block)
		return err
	})
	if err != nil {
		return err
	}
	if format == ".raw" {
		if err := beside.WriteBytes(a.stdout, []byte(c.rawWords(p, report, lost))); err != nil {
			return err
		}
	}
	for _, l := range lost {
		fault.Say(a.stderr, "warning", l)
	}
	if report.Cut > 0 {
		fault.Say(a.stderr, "warning", fmt.Sprintf("the gate closes up to %d us early before %s: the list's mark "+
			"delay is shorter than its laser-off delay",
			report.CutMost.Microseconds(), words.Plural(report.Cut, "jump")))
	}
	if c.json {
		return product.WriteJSON(a.besides(c.out, true), playFigures{Samples: report.Samples, Rate: c.rate,
			Seconds: p.total.Seconds(), Corrected: p.corrected, LagUS: float64(p.lag) / 1000, Cut: report.Cut,
			Lost: lost, File: c.out.Path})
	}
	return c.tell(a.besides(c.out, false), p, report)
}

func (c *playFlags) tell(w io.Writer, p played, report play.Report) (err error) {
	line := func(head, text string) {
		if err == nil {
			_, err = fmt.Fprintf(w, "%-12s %s\n", head, text)
		}
	}
	line("samples", fmt.Sprintf("%s at %s Hz, %s", words.Thousands(report.Samples), words.Thousands(int64(c.rate)),
		words.Time(p.total)))
	line("field", p.fieldWords())
	if p.lag > 0 {
		line("as driven", p.drivenWords())
	}
	line("written", c.out.Path)
	return err
}

// fieldWords says whether the samples are corrected for the lens, and by what.
func (p played) fieldWords() string {
	size := fmt.Sprintf("%s x %s mm, ", words.Shortest(p.moves.Header.Field.X), words.Shortest(p.moves.Header.Field.Y))
	switch {
	case p.corrected:
		return size + "corrected by the profile of " + p.profile.ID
	case p.moves.Header.Corrected:
		return size + "corrected in the list"
	case p.moves.Header.Bare:
		return size + "not corrected on purpose, to measure the field by"
	case p.profile.ID == "":
		return size + "not corrected: no machine profile"
	}
	return size + "not corrected: the profile of " + p.profile.ID + " has no correction"
}

func (p played) drivenWords() string {
	return "where mirrors with a lag of " + words.Decimal(float64(p.lag)/1000, 3) +
		" us get to: to look at, not to play"
}

// blocks returns what writes the samples of a list in a format.
func (c *playFlags) blocks(w io.Writer, p played, format string) (func([]play.Sample) error, error) {
	switch format {
	case ".csv":
		out, err := play.NewCSV(w, c.rate)
		if err != nil {
			return nil, err
		}
		return out.Write, nil
	case ".wav":
		if err := play.WriteWAVHead(w, c.rate, play.Count(p.total, c.rate)); err != nil {
			return nil, fault.Workf("%w", err)
		}
	}
	return play.NewPCM(w, p.moves.Header.Field).Write, nil
}

// rawWords says what a file of bare numbers holds.
func (c *playFlags) rawWords(p played, r play.Report, lost []string) string {
	field := p.moves.Header.Field
	text := fmt.Sprintf(`samples of %s by furrow %s
rate        %d a second
samples     %d, %s
numbers     16 bit, signed, little-endian
channels    4 side by side: X, Y, power, gate
X           -32767 to 32767 over the field's width of %s mm
Y           -32767 to 32767 over the field's height of %s mm
power       0 to 32767 at full
gate        0 closed, 32767 open
field       %s
`, filepath.Base(p.name), version, c.rate, r.Samples, words.Time(p.total), words.Shortest(field.X),
		words.Shortest(field.Y), p.fieldWords())
	if p.lag > 0 {
		text += "as driven   " + p.drivenWords() + "\n"
	}
	for _, l := range lost {
		text += "caution     " + l + "\n"
	}
	return text
}
