package main

import (
	"fmt"
	"io"
	"slices"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/gcode"
	"furrow/emit/machine"
	"furrow/emit/markvec"
	"furrow/path"

	"github.com/spf13/pflag"
)

var locateCommand = command{
	name:     "locate",
	synopsis: "ART.svg|JOB.toml|OUT.nc|OUT.mvl -o TRACE --machine ID [flags]",
	summary:  "write a trace of where the marks and the head will be, to set up by",
	about: `On a gantry the head goes slowly round the marks, then round its whole travel with
the run-up, and back to X0 Y0, with the beam off. A galvo shows its visible guide
round the marks. On a round blank, or one that lies aslant, the blank's own edge takes
the place of the rectangle round the marks; with --beam-percent the beam stays on the
blank, on its edge drawn in as far as the marks reach. Give the file that was written
for the job, or the job's own flags: they decide how much room the head needs.`,
	example: "furrow locate tag.nc -o trace.nc",
	setup: func(fs *pflag.FlagSet) runner {
		var c locateFlags
		outputFlags(fs, &c.out, "the trace")
		quietFlag(fs)
		value.Limit(value.Flag(fs, &c.feed, "trace-speed", "of a gantry's trace, `MM/S` (default 20)"),
			value.Limits{Least: 0.01, Most: 1_000_000, Unit: "mm/s"})
		fs.Float64Var(&c.percent, "beam-percent", 0,
			"trace the marks with the beam on at this `PERCENT`, where the machine allows it")
		fs.BoolVar(&c.json, "json", false, "print the summary as JSON")
		c.flags(fs)
		return c.run
	},
}

type locateFlags struct {
	json bool
	request
	out     product.Output
	feed    *value.Number
	percent float64
}

// traceSpeed is the default of --trace-speed: slow enough to follow by eye, mm/s.
const traceSpeed = 20

// traceTolerance is how far the chords of a trace may be from a curve, mm: that of curves in
// G-code, and less than anybody sees.
const traceTolerance = 0.01

// ground is what a trace goes round, and where it must not go.
type ground struct {
	machine *settings.Machine
	clock.Report
	keepOut []path.Rect
	forms   []path.Form // to go round in place of the marks' rectangle; none on upright blanks
	round   string      // what that is, in words
}

// on finds the forms to go round, of blanks of which one is round or lies aslant.
func (g *ground) on(blanks []emit.Blank, moves emit.Moves, lit bool) (err error) {
	g.round = "the rectangle round the marks"
	odd := func(b emit.Blank) bool { return b.Known() && (b.Round || b.Turn != 0) }
	if !slices.ContainsFunc(blanks, odd) {
		return nil
	}
	if g.round = "the edge of " + blankWords(blanks); lit {
		g.round += ", drawn in to its marks"
		g.forms, err = emit.RingsOf(emit.AsMarked(moves, g.machine.Profile), blanks)
		return err
	}
	for _, b := range blanks {
		g.forms = append(g.forms, b.Form())
	}
	return nil
}

func blankWords(all []emit.Blank) string {
	if len(all) > 1 {
		return "each of " + words.Plural(len(all), "blank")
	}
	return "the blank of " + words.Size(all[0].Rect)
}

// trace makes the moves, and proves that the machine can make them. Where it cannot go round
// a blank's edge, which clamps may hold, it goes round the marks.
func (c *locateFlags) trace(g *ground) (moves emit.Moves, cannot error, err error) {
	var ways [][]path.Point
	for _, f := range g.forms {
		ways = append(ways, f.Edge(traceTolerance))
	}
	feed := float64(value.Or(c.feed, traceSpeed))
	if moves, err = emit.Locate(g.Marks, g.Moves, g.machine.Profile, feed, c.percent, ways...); err != nil {
		return moves, nil, fault.Workf("%w", err)
	}
	if err = emit.Check(moves, g.machine.Profile, g.keepOut...); err == nil {
		return moves, nil, nil
	}
	if len(g.forms) == 0 || c.percent > 0 {
		return moves, nil, fault.Workf("%w", err)
	}
	cannot, g.forms, g.round = err, nil, "the rectangle round the marks"
	moves, _, err = c.trace(g)
	return moves, cannot, err
}

func (c *locateFlags) run(a *app, args []string) error {
	name, err := oneFile(args, "artwork, job or written file")
	if err != nil {
		return err
	}
	g, err := c.ground(a, name)
	if err != nil {
		return err
	}
	if c.feed != nil && g.machine.TakesList() {
		return fault.Usagef("--trace-speed is for a gantry, and %s is a galvo", g.machine.ID).
			Hintf("its guide jumps at the profile's jump_speed_mm_s; leave --trace-speed out")
	}
	if err := fitsFormat(c.out, g.machine); err != nil {
		return err
	}
	moves, cannot, err := c.trace(&g)
	if err != nil {
		return err
	}
	if cannot != nil {
		a.warn([]work.Warning{{Message: "the trace does not go round the blank's edge: " + cannot.Error()}})
	}
	if err := c.out.Write(a.stdout, func(w io.Writer) error { return c.encode(w, moves, g) }); err != nil {
		return err
	}
	return c.summary(a.besides(c.out, c.json), g)
}

// ground finds the machine and what marks and head cover, from a job or from a
// file written for one.
func (c *locateFlags) ground(a *app, name string) (ground, error) {
	if !isWritten(name) {
		t, err := c.begin(a, name, false)
		if err != nil {
			return ground{}, fault.All(err, c.out.Named())
		}
		err = c.out.Check(t.inputs()...)
		var w work.Work
		if err == nil {
			w, err = t.make(false)
		}
		if err != nil {
			return ground{}, err
		}
		a.warn(w.Warnings)
		t.stages.print(a.stderr)
		g := ground{machine: w.Machine, Report: w.Clock, keepOut: machine.Clamps(w.Job.KeepOut)}
		err = g.on([]emit.Blank{w.Blank()}, w.Moves, c.percent > 0)
		return g, err
	}
	if err := c.refuseJobFlags(); err != nil {
		return ground{}, err
	}
	if err := c.out.Check(name); err != nil {
		return ground{}, err
	}
	k, err := a.openWritten(name, c.Machine, proof.Prove)
	if err != nil {
		return ground{}, err
	}
	defer k.close()
	if k.Machine == nil {
		return ground{}, fault.Usagef("%s names no known profile", name).Hintf("add --machine")
	}
	g := ground{machine: k.Machine, Report: k.Report}
	err = g.on(k.Moves.Header.Blanks, k.Moves, c.percent > 0)
	return g, err
}

func (c *locateFlags) encode(w io.Writer, moves emit.Moves, g ground) error {
	m := g.machine
	comments := append([]string{"furrow " + version, "locating trace: " + c.beamWords(m)}, boundsWords(g.Report)...)
	if len(g.forms) > 0 {
		comments = append(comments, "goes round "+g.round)
	}
	comments = append(comments, c.cautions(m)...)
	if moves.IsList() {
		return markvec.Encoder{Comments: comments}.Encode(w, moves)
	}
	return gcode.Encoder{Profile: *m.GCode, Comments: comments, BeamOff: c.percent == 0}.Encode(w, moves)
}

// beamWords says what the beam does, with the caution that goes with it.
func (c *locateFlags) beamWords(m *settings.Machine) string {
	switch {
	case m.TakesList():
		return "visible guide on, beam off"
	case c.percent == 0:
		return "beam off throughout"
	}
	return fmt.Sprintf("beam on at %g percent round the marks: a class 4 beam at low power is still one", c.percent)
}

func (c *locateFlags) cautions(m *settings.Machine) []string {
	if c.percent == 0 {
		return settings.CautionLines(m.Laser)
	}
	return m.Cautions()
}

func boundsWords(r clock.Report) []string {
	return []string{"marks " + words.Rect(r.Marks), "moves " + words.Rect(r.Moves)}
}

// locateFigures is what locate --json prints.
type locateFigures struct {
	Machine string     `json:"machine"`
	MarksMM [4]float64 `json:"bounds_mm"`
	HeadMM  [4]float64 `json:"travel_bounds_mm"`
	Round   string     `json:"goes_round"`
	Beam    string     `json:"beam"`
	File    string     `json:"file"`
}

func (c *locateFlags) summary(w io.Writer, g ground) error {
	if c.json {
		return product.WriteJSON(w, locateFigures{Machine: g.machine.ID, MarksMM: figures.Corners(g.Marks),
			HeadMM: figures.Corners(g.Moves), Round: g.round, Beam: c.beamWords(g.machine), File: c.out.Path})
	}
	s := fmt.Sprintf("%-12s %s\n%-12s %s\n%-12s %s\n%-12s %s\n%-12s %s\n", "marks", words.Rect(g.Marks), "moves",
		words.Rect(g.Moves), "goes round", g.round,
		"beam", c.beamWords(g.machine), "machine", g.machine.NameWords())
	s += fmt.Sprintf("%-12s %s\n", "written", c.out.Path)
	s += fmt.Sprintf("%-12s %s\n", "caution", settings.Caution)
	_, err := io.WriteString(w, s)
	return err
}
