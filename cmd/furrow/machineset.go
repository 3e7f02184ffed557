package main

import (
	"fmt"
	"io"
	"os"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/words"
	"furrow/path"
)

// machineValues is what machines set is to set, besides KEY=VALUE.
type machineValues struct {
	reversal, powerCurve string
	dry, json            bool
}

// set changes values of a profile in its file, and keeps the old file beside it.
func (v machineValues) set(a *app, args []string) error {
	if len(args) == 0 {
		return fault.Usagef("no machine named")
	}
	m, err := settings.FindMachine(args[0])
	if err != nil {
		return err
	}
	c, err := settings.NewChange(m)
	if err != nil {
		return err
	}
	if err := v.apply(c, args[1:]); err != nil {
		return err
	}
	if err := c.Prove(); err != nil {
		return err
	}
	if string(c.New) == string(c.Old) {
		if m.IsGalvo() {
			return fault.Usagef("nothing to set").Hintf("add KEY=VALUE, as jump_delay_us=250")
		}
		return fault.Usagef("nothing to set").Hintf("add KEY=VALUE, as accel_mm_s2=4000,1200, or --reversal 150=0.3")
	}
	kept := freeName(m.File)
	if !v.dry {
		if err := product.Together(a.stdout,
			product.Part{Output: product.Output{Path: kept}, Fn: bytesTo(c.Old)},
			product.Part{Output: product.Output{Path: m.File, Force: true}, Fn: bytesTo(c.New)},
		); err != nil {
			return err
		}
	}
	return v.tell(a, c, kept)
}

// apply makes the changes.
func (v machineValues) apply(c *settings.Change, pairs []string) error {
	for _, pair := range pairs {
		key, text, ok := strings.Cut(pair, "=")
		if !ok {
			return fault.Usagef("%q is not KEY=VALUE: write jump_delay_us=250", pair)
		}
		if err := c.SetOnce(strings.TrimSpace(key), strings.TrimSpace(text)); err != nil {
			return err
		}
	}
	if v.reversal != "" {
		all, err := readings("--reversal", v.reversal, "150=0.3,300=0.45: speed in mm/s = offset in mm")
		if err != nil {
			return err
		}
		if err := c.SetReversal(all); err != nil {
			return err
		}
	}
	if v.powerCurve == "" {
		return nil
	}
	all, err := readings("--power-curve", v.powerCurve, "20=55,50=85: at 20 percent the source "+
		"gives 55 percent of what 20 percent should give; a share as the card has it, not watts")
	if err != nil {
		return err
	}
	for i := range all {
		all[i].Is /= 100
	}
	return c.SetPowerCurve(all)
}

// readings reads pairs as they were read off a card.
func readings(flag, text, example string) (all []settings.Reading, err error) {
	for _, pair := range strings.Split(text, ",") {
		at, is, ok := strings.Cut(pair, "=")
		var r settings.Reading
		if ok {
			r.At, err = path.ParseDecimal(strings.TrimSpace(at))
		}
		if ok && err == nil {
			r.Is, err = path.ParseDecimal(strings.TrimSpace(is))
		}
		if !ok || err != nil {
			return nil, fault.Usagef("%s: %q is not understood: write %s", flag, pair, example)
		}
		all = append(all, r)
	}
	return all, nil
}

// machineSet is what machines set --json prints.
type machineSet struct {
	machineChecked
	Set     []string `json:"set"`
	With    []string `json:"with_it"`
	Written bool     `json:"written"`
	AsWas   string   `json:"as_it_was,omitempty"` // where the file as it was is kept
}

func (v machineValues) figures(c *settings.Change, kept string) machineSet {
	f := machineSet{machineChecked: checkedMachine(c.After), Set: append([]string{}, c.Told...),
		With: append([]string{}, c.Effects()...), Written: !v.dry}
	if f.Written {
		f.AsWas = kept
	}
	return f
}

// tell says what was set, and what else changes.
func (v machineValues) tell(a *app, c *settings.Change, kept string) error {
	if v.json {
		return product.WriteJSON(a.stdout, v.figures(c, kept))
	}
	for i, t := range c.Told {
		fmt.Fprintf(a.notes, "%-12s %s\n", words.OnlyFirst("set", i), t)
	}
	for i, t := range c.Effects() {
		fmt.Fprintf(a.notes, "%-12s %s\n", words.OnlyFirst("with it", i), t)
	}
	if d := c.After.Doubts(); len(d) > 0 {
		a.warn(doubtWarnings(c.After, d))
	}
	if v.dry {
		_, err := fmt.Fprintf(a.notes, "%-12s nothing: --dry\n", "written")
		return err
	}
	_, err := fmt.Fprintf(a.notes, "%-12s %s; as it was: %s\n", "written", c.Before.File, kept)
	return err
}

// freeName is where the old file is kept: beside the new one, with a number that is free.
func freeName(file string) string {
	for n := 1; ; n++ {
		name := fmt.Sprintf("%s.%d", file, n)
		if _, err := os.Lstat(name); err != nil {
			return name
		}
	}
}

// bytesTo writes what is there already.
func bytesTo(data []byte) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	}
}
