package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/settings"
	"furrow/emit/gcode"
	"furrow/emit/markvec"
	"furrow/emit/tune"
)

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
	fmt.Fprintf(a.notes, "%-12s %s\n", "first", firstTwo(m))
	fmt.Fprintln(a.notes, "next         beam off at the machine's own switch; nothing in the head's way; time each "+
		"run by a watch,")
	fmt.Fprintf(a.notes, "             furrow log FILE --machine %s --measured 0:40, then furrow tune %s %s -o "+
		"NEW.toml\n", c.named, c.named, c.stopwatch)
	fmt.Fprintf(a.notes, "%-12s %s\n", "caution", settings.Caution)
	return nil
}

// firstTwo says which runs are enough where there is no time for more.
func firstTwo(m settings.Machine) string {
	if m.IsGalvo() {
		return "rows and outlines: these two alone bring other jobs within 5 %"
	}
	return "x and y: these two alone bring jobs of rows within 5 %; outlines need corners too"
}

func encodeTrial(w io.Writer, m settings.Machine, t tune.Trial) error {
	comments := append([]string{"furrow " + version, "stopwatch run, beam off: tells " + t.What}, m.Cautions()...)
	if m.TakesList() {
		return markvec.Encoder{Comments: comments}.Encode(w, t.Moves)
	}
	return gcode.Encoder{Profile: m.Controller(), Comments: comments, BeamOff: true}.Encode(w, t.Moves)
}
