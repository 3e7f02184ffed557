package main

import (
	"cmp"
	"fmt"
	"io"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit/machine"

	"github.com/spf13/pflag"
)

var machinesCommand = command{
	name: "machines",
	synopsis: "[list | show ID | check FILE.toml | new [ID] -o FILE.toml | set ID KEY=VALUE... | grid ID -o " +
		"FILE.mvl] [flags]",
	summary: "list, show, check and change machine profiles, and write one out to start from",
	about: `list       every profile --machine knows: your own, then the built-in examples
show ID    one profile, as its file would read
check FILE read a profile and say what is wrong with it
new        write a profile from what a plate or manual tells, to the file -o names: asked
           for on a terminal, or --kind, --reach, --rated-power, --wavelength, --top-speed;
           all else is left out, and is assumed until it is measured
new ID     the same from a copy of ID
set ID     other values of a profile of your own: KEY=VALUE, as jump_delay_us=250 or
           spot_mm=0.08,0.1 or keep_out="0,0,20,20;80,0,100,20" (left, bottom, right, top
           of each clamp), and what was read off a card; remarks and layout stay, and the
           file as it was is kept beside it
grid ID    a list that marks numbered crosses over a galvo's field, and a .csv beside it
           to measure them into, which then corrects the field

Your own profiles are the files furrow/machines/*.toml in your settings folder.
The built-in ones are examples and describe no real machine.`,
	example: `furrow machines new -o mine.toml --kind gantry --reach 600,400 --rated-power 40 --wavelength 10600 ` +
		`--top-speed 500
furrow machines set mine.toml accel_mm_s2=4000,1200`,
	words: machineVerbs,
	keeps: "machines",
	setup: func(fs *pflag.FlagSet) runner {
		var out product.Output
		var v machineValues
		var g gridFlags
		var p plate
		outputFlags(fs, &out, "the new profile")
		fs.StringVar(&v.reversal, "reversal", "",
			"set: offsets read off a reversal card, `SPEED=OFFSET,...` as 150=0.3,300=0.45 (mm/s, mm)")
		fs.StringVar(&v.powerCurve, "power-curve", "",
			"set: what was read off a power card, `PERCENT=SHARE,...` as 20=55,50=85: at 20 % the source gives 55 % "+
				"of what 20 % should give")
		fs.BoolVar(&v.dry, "dry", false, "set: say what would change, and write nothing")
		g.flags(fs)
		p.flags(fs)
		quietFlag(fs)
		return func(a *app, args []string) error {
			g.out = out
			if len(args) == 1 && args[0] == "new" {
				return p.write(a, out, g.json)
			}
			if p.given() {
				return fault.Usagef("what a plate tells goes with machines new alone, and with no profile to copy")
			}
			return a.machines(out, v, g, args)
		}
	},
}

var machineVerbs = []string{"list", "show", "check", "new", "set", "grid"}

func (a *app) machines(out product.Output, v machineValues, g gridFlags, args []string) error {
	verb, rest := "list", args
	if len(args) > 0 {
		verb, rest = args[0], args[1:]
	}
	switch verb {
	case "list":
		if len(rest) > 0 {
			return fault.Usagef("machines list takes no names").Hintf("furrow machines show %s", rest[0])
		}
		return a.listMachines(g.json)
	case "show":
		return a.withMachine(rest, func(m settings.Machine) error { return showProfile(a.stdout, m) })
	case "check":
		return a.withMachine(rest, func(m settings.Machine) error {
			if g.json {
				return product.WriteJSON(a.stdout, checkedMachine(m))
			}
			found := "OK"
			if d := m.Doubts(); len(d) > 0 {
				found = words.Plural(len(d), "doubt")
				a.warn(doubtWarnings(m, d))
			}
			fmt.Fprintf(a.notes, "%s: %s, a %s; %s\n", cmp.Or(m.File, m.ID), m.Name, m.Kind, found)
			a.tellAssumed(m)
			if c := correctionOf(m.Profile); c != nil {
				fmt.Fprintf(a.notes, "its field is %s\n", c.words())
			}
			return nil
		})
	case "grid":
		return a.withMachine(rest, func(m settings.Machine) error { return g.run(a, m) })
	case "set":
		v.json = g.json
		return v.set(a, rest)
	case "new":
		return a.withMachine(rest, func(m settings.Machine) error {
			if err := out.Check(m.File); err != nil {
				return err
			}
			return a.writeNew(out, m, g.json)
		})
	}
	return fault.Usagef("machines: unknown word %q", verb).Hintf("%s", fault.Suggest(verb, machineVerbs))
}

// doubtWarnings words doubts with file and line.
func doubtWarnings(m settings.Machine, doubts []*machine.KeyError) []work.Warning {
	data, _ := settings.ReadFile(m.File) // the line is a courtesy
	var all []work.Warning
	for _, d := range doubts {
		all = append(all, work.Warning{Message: settings.At(m.File, data, d.Key) + ": " + d.Problem})
	}
	return all
}

func (a *app) withMachine(args []string, do func(settings.Machine) error) error {
	name, err := oneFile(args, "machine")
	if err != nil {
		return err
	}
	m, err := settings.FindMachine(name)
	if err != nil {
		return err
	}
	return do(m)
}

func writeProfile(w io.Writer, m settings.Machine) error {
	text, err := settings.ProfileTOML(m.Profile)
	if err != nil {
		return err
	}
	head := "# Machine profile for furrow.\n"
	if m.BuiltIn() {
		head += "# An example: it describes no real machine. Change every number to your own.\n"
	}
	_, err = fmt.Fprintf(w, "%s%s", head, text)
	return err
}

func (a *app) listMachines(asJSON bool) error {
	all, err := settings.AllMachines()
	if err != nil {
		return err
	}
	if asJSON {
		return product.WriteJSON(a.stdout, listedMachines(all))
	}
	t := words.Table{Heads: []string{"ID", "KIND", "REACH", "SOURCE", "NAME"}}
	for _, m := range all {
		name := m.Name
		if m.BuiltIn() {
			name += " (built-in example)"
		}
		t.Add(m.ID, m.Kind, settings.Reach(m.Profile), settings.Source(m.Laser), name)
	}
	if err := t.Write(a.stdout); err != nil {
		return err
	}
	return a.tellFolder("machines")
}
